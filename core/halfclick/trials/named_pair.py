"""The named pair: two fresh brews, which had the habit, and how sure; evidence pair by pair.

Two wagers run from the first pair and are averaged: one on the taster's own sureness, one on right
and wrong alone. An average of two martingales is one, so it may be looked at after every pair.
Beside them runs a bet that the difference is smaller than a bound chosen before the first pair.
All limits and shares here are our own defaults; `tests/benchmarks/trials.py` measures them.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from halfclick.model.trial_kinds import Sureness
from halfclick.trials.betting import BAR, Interval, likelihood_ratio_path, share_any_time
from halfclick.trials.estimate import dprime_interval as on_dprime
from halfclick.trials.psychometric import Floats, Protocol, share_right

# What each word stakes: the share of right answers that it claims.
CLAIMED = {Sureness.GUESS: 0.55, Sureness.LEANING: 0.75, Sureness.SURE: 0.9}
# What is bet on by counts alone.
COUNTED = 0.85
GUESSING = 0.5
PLANNED_PAIRS = 12
SMALLER_THAN_DPRIME = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class PairAnswer:
    """One pair that was not voided: whether the answer was right, and how sure it was."""

    right: bool
    sureness: Sureness


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """Where the evidence stood after each pair; each tuple has one entry a pair.

    `evidence` is the average that counts; `smaller` is against differences of `bound_dprime` or
    more. `shown_at` and `smaller_at` are the first pair (from 1) at which a bar was reached.
    """

    sureness: tuple[float, ...]
    counts: tuple[float, ...]
    evidence: tuple[float, ...]
    smaller: tuple[float, ...]
    bar: float
    smaller_bar: float
    bound_dprime: float
    shown_at: int | None
    smaller_at: int | None
    right: int


def run(
    answers: Sequence[PairAnswer],
    *,
    bound_dprime: float = SMALLER_THAN_DPRIME,
    bar: float = BAR,
    smaller_bar: float = BAR,
) -> Running:
    """Return the evidence after each answer, in their order.

    Args:
        answers: those that were not voided, in their order; none is fine.
        bound_dprime: chosen before the first pair; above 0.
        bar: evidence that is called shown (`betting.bar_for`).
        smaller_bar: evidence that is called smaller than the bound.

    Raises:
        ValueError: the bound is not above 0.
    """
    if bound_dprime <= 0:
        raise ValueError(f"the bound must be above 0, got {bound_dprime}")
    right = np.array([one.right for one in answers], dtype=float)  # (n,)
    claimed = np.array([CLAIMED[one.sureness] for one in answers], dtype=float)  # (n,)
    sureness = np.cumprod(np.where(right > 0, claimed, 1 - claimed) / GUESSING)
    counts = likelihood_ratio_path(right, COUNTED, GUESSING)
    evidence = (sureness + counts) / 2
    bound_share = float(share_right(Protocol.PAIR, bound_dprime))
    smaller = likelihood_ratio_path(right, GUESSING, bound_share)
    return Running(
        sureness=tuple(sureness.tolist()),
        counts=tuple(counts.tolist()),
        evidence=tuple(evidence.tolist()),
        smaller=tuple(smaller.tolist()),
        bar=bar,
        smaller_bar=smaller_bar,
        bound_dprime=bound_dprime,
        shown_at=_first_at(evidence, bar),
        smaller_at=_first_at(smaller, smaller_bar),
        right=int(right.sum()),
    )


def next_factors(sureness: Sureness) -> tuple[float, float]:
    """Return by what the sureness wager is multiplied if right and if wrong, e.g. 1.8 and 0.2."""
    return CLAIMED[sureness] / GUESSING, (1 - CLAIMED[sureness]) / GUESSING


def dprime_interval(right: int, asked: int, level: float = 0.95) -> Interval:
    """Return the d' that no look at any time excludes, from 0 up (infinite where all are right)."""
    return on_dprime(Protocol.PAIR, share_any_time(right, asked, level))


def _first_at(path: Floats, bar: float) -> int | None:
    reached = np.flatnonzero(path >= bar)
    return int(reached[0]) + 1 if len(reached) else None
