"""How named pairs go for a taster of a given difference: simulated, both stops active.

A pair is perceived as a difference that is normal with mean d' and deviation sqrt 2. The taster
believes in a difference of their own, and how sure they are follows from it: at a perceived |y|
the answer is right with 1 / (1 + exp(-|y| d)).
"""

from dataclasses import dataclass

import numpy as np
from scipy import special

from halfclick.model.trial_kinds import Sureness
from halfclick.trials.betting import BAR
from halfclick.trials.named_pair import CLAIMED, COUNTED, GUESSING, SMALLER_THAN_DPRIME
from halfclick.trials.psychometric import Floats, Protocol, share_right

BELIEVED_DPRIME = 1.5
# How sure a taster is from which "leaning" and "sure" are said: round numbers between what the
# words claim (own default).
LEANING_FROM = 0.65
SURE_FROM = 0.85


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """How trials went, as shares of all runs, and the pairs used on average until a stop."""

    shown: float
    smaller: float
    pairs: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Taster:
    """Who tastes: the true difference, the one they believe in, and what disturbs them.

    `brew_sd` is the spread from brew to brew in perceptual deviations, `lapses` the share of
    answers given at random.
    """

    dprime: float
    believed_dprime: float = BELIEVED_DPRIME
    brew_sd: float = 0.0
    lapses: float = 0.0


def course(
    random: np.random.Generator,
    taster: Taster,
    pairs: int,
    *,
    runs: int = 20_000,
    bound_dprime: float = SMALLER_THAN_DPRIME,
    sureness_alone: bool = False,
) -> Course:
    """Return how so many trials of at most so many pairs go, looked at after every pair.

    Args:
        random: what chance is drawn from.
        taster: who tastes.
        pairs: the most of a trial.
        runs: how many trials are simulated.
        bound_dprime: of "smaller than".
        sureness_alone: whether the wager on sureness alone counts, and not the average.
    """
    shown_at, smaller_at = _stops(
        random, taster, pairs, runs, bound_dprime, sureness_alone=sureness_alone
    )
    used = np.minimum(np.minimum(shown_at, smaller_at) + 1, pairs)
    return Course(
        shown=float(np.mean((shown_at < pairs) & (shown_at <= smaller_at))),
        smaller=float(np.mean((smaller_at < pairs) & (smaller_at < shown_at))),
        pairs=float(used.mean()),
    )


def shown_curve(
    random: np.random.Generator,
    taster: Taster,
    most: int,
    *,
    runs: int = 20_000,
    bound_dprime: float = SMALLER_THAN_DPRIME,
) -> Floats:
    """Return the chance that a difference is shown within 1 to `most` pairs, shape (most,)."""
    shown_at, smaller_at = _stops(random, taster, most, runs, bound_dprime, sureness_alone=False)
    first = shown_at[(shown_at < most) & (shown_at <= smaller_at)]
    return np.asarray(np.cumsum(np.bincount(first, minlength=most)) / runs, dtype=float)


def _stops(
    random: np.random.Generator,
    taster: Taster,
    pairs: int,
    runs: int,
    bound_dprime: float,
    *,
    sureness_alone: bool,
) -> tuple[np.ndarray, np.ndarray]:
    """Return the pair at which each run was shown, and was smaller; `pairs` where never."""
    right, sure = _answers(random, taster, (pairs, runs))
    claimed = np.select(
        [sure >= SURE_FROM, sure >= LEANING_FROM],
        [CLAIMED[Sureness.SURE], CLAIMED[Sureness.LEANING]],
        CLAIMED[Sureness.GUESS],
    )
    evidence = np.cumprod(np.where(right, claimed, 1 - claimed) / GUESSING, axis=0)
    if not sureness_alone:
        counts = np.cumprod(np.where(right, COUNTED, 1 - COUNTED) / GUESSING, axis=0)
        evidence = (evidence + counts) / 2
    bound = float(share_right(Protocol.PAIR, bound_dprime))
    small = np.cumprod(np.where(right, GUESSING / bound, GUESSING / (1 - bound)), axis=0)
    return _first(evidence >= BAR), _first(small >= BAR)


def _answers(
    random: np.random.Generator, taster: Taster, shape: tuple[int, int]
) -> tuple[np.ndarray, Floats]:
    """Return which answers are right, and how sure the taster is of each, both of a shape."""
    spread = np.sqrt(2.0 + 2.0 * taster.brew_sd**2)
    seen = taster.dprime + spread * random.standard_normal(shape)
    if taster.lapses:
        elsewhere = random.random(shape) < taster.lapses
        seen = np.where(elsewhere, np.sqrt(2.0) * random.standard_normal(shape), seen)
    return seen > 0, np.asarray(special.expit(np.abs(seen) * taster.believed_dprime))


def _first(reached: np.ndarray) -> np.ndarray:
    """Return the first pair (from 0) at which a run reached its bar; the number of pairs: never.

    Args:
        reached: shape (pairs, runs).
    """
    return np.asarray(np.where(reached.any(axis=0), reached.argmax(axis=0), len(reached)))
