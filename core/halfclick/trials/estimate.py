"""What so many right answers tell: exact tests, d' with its spread, and intervals.

For a number of answers that was planned before the first and looked at after the last; what may be
looked at any time is in `betting`. Laws: Christensen, Statistical methodology for sensory
discrimination tests.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from halfclick.trials.betting import Interval
from halfclick.trials.psychometric import (
    GUESSED,
    LARGEST_DPRIME,
    Protocol,
    discriminators,
    dprime_of,
    share_right,
    slope,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """The difference that answers point at.

    `dprime_sd` is None at or below chance and where all are right: no standard error is defined.
    """

    right_share: float
    discriminating_share: float
    dprime: float
    dprime_sd: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AlikeTest:
    """Whether several tests, perhaps of several protocols, can share one d'."""

    common_dprime: float
    chi2: float
    degrees: int
    p: float


def difference_p(right: int, asked: int, guessed: float) -> float:
    """Return how often guessing does as well or better: P(X >= right), exact.

    Raises:
        ValueError: not 0 to `asked` are right.
    """
    _require(right, asked)
    return 1.0 if right == 0 else float(special.betainc(right, asked - right + 1, guessed))


def two_sided_p(one: int, other: int) -> float:
    """Return the exact p of so many for one and for the other where both are alike likely."""
    asked = one + other
    return min(1.0, 2.0 * difference_p(max(one, other), asked, 0.5)) if asked else 1.0


def similarity_p(right: int, asked: int, right_share: float) -> float:
    """Return how often tasters who are right with a share do as badly or worse: P(X <= right).

    Small: the difference is below the one that gives that share.

    Raises:
        ValueError: not 0 to `asked` are right.
    """
    _require(right, asked)
    if right == asked:
        return 1.0
    return float(special.betainc(asked - right, right + 1, 1.0 - right_share))


def estimate(protocol: Protocol, right: int, asked: int) -> Estimate:
    """Return the d' of a share of right answers, with its standard error where there is one.

    Raises:
        ValueError: nothing was asked, or not 0 to `asked` are right.
    """
    _require(right, asked)
    if asked == 0:
        raise ValueError("nothing was asked")
    share = right / asked
    dprime = dprime_of(protocol, share)
    inside = 0.0 < dprime < float("inf")
    return Estimate(
        right_share=share,
        discriminating_share=discriminators(protocol, share),
        dprime=dprime,
        dprime_sd=float(np.sqrt(spread_factor(protocol, dprime) / asked)) if inside else None,
    )


def spread_factor(protocol: Protocol, dprime: float) -> float:
    """Return the variance of d' times the number of answers, by the delta method; d' above 0."""
    share = float(share_right(protocol, dprime))
    return share * (1.0 - share) / float(slope(protocol, dprime)) ** 2


def exact_share(right: int, asked: int, level: float = 0.95) -> Interval:
    """Return the shares of right answers that an exact test leaves possible (Clopper and Pearson).

    Raises:
        ValueError: not 0 to `asked` are right.
    """
    _require(right, asked)
    tail = (1.0 - level) / 2.0
    low = float(special.betaincinv(right, asked - right + 1, tail)) if right else 0.0
    high = float(special.betaincinv(right + 1, asked - right, 1.0 - tail)) if right < asked else 1.0
    return Interval(low=low, high=high, level=level)


def likelihood_share(right: int, asked: int, level: float = 0.95) -> Interval:
    """Return the shares that the likelihood ratio leaves possible; for large numbers of answers.

    Raises:
        ValueError: not 0 to `asked` are right.
    """
    _require(right, asked)
    share = right / asked if asked else 0.5
    # Twice the loss of log likelihood at the limit.
    allowed = float(special.chdtri(1, 1.0 - level))

    def beyond(p: float) -> float:
        lost = special.xlogy(right, share) + special.xlogy(asked - right, 1 - share)
        lost -= special.xlogy(right, p) + special.xlogy(asked - right, 1 - p)
        return 2.0 * float(lost) - allowed

    low = _limit(beyond, share, 0.0) if right else 0.0
    high = _limit(beyond, share, 1.0) if right < asked else 1.0
    return Interval(low=low, high=high, level=level)


def dprime_interval(protocol: Protocol, shares: Interval) -> Interval:
    """Return an interval of shares as one of d'; shares at chance or below are d' 0."""
    return Interval(
        low=dprime_of(protocol, shares.low),
        high=dprime_of(protocol, shares.high),
        level=shares.level,
    )


def largest_dprime(protocol: Protocol, right: int, asked: int, level: float = 0.95) -> float:
    """Return the d' that the difference is below, one-sided and exact (Clopper and Pearson)."""
    high = exact_share(right, asked, 2.0 * level - 1.0).high
    return dprime_of(protocol, high)


def alike(protocols: Sequence[Protocol], right: Sequence[int], asked: Sequence[int]) -> AlikeTest:
    """Return whether tests of several protocols share one d', by the likelihood ratio.

    Raises:
        ValueError: fewer than two tests, or not 0 to `asked` right in each.
    """
    from scipy.optimize import minimize_scalar  # loaded late: it takes long

    if len(protocols) < 2:
        raise ValueError("one test cannot differ from itself")
    k, n = np.asarray(right, dtype=float), np.asarray(asked, dtype=float)
    for one, of in zip(right, asked, strict=True):
        _require(one, of)

    def log_likelihood(shares: np.ndarray) -> float:
        return float(np.sum(special.xlogy(k, shares) + special.xlogy(n - k, 1 - shares)))

    def lost(dprime: float) -> float:
        return -log_likelihood(np.array([float(share_right(p, dprime)) for p in protocols]))

    own = np.maximum(k / n, [GUESSED[p] for p in protocols])
    most = min(LARGEST_DPRIME, max(dprime_of(p, s) for p, s in zip(protocols, own, strict=True)))
    best = minimize_scalar(lost, bounds=(0.0, max(most, 1e-6)), method="bounded", options=_FINE)
    chi2 = max(0.0, 2.0 * (log_likelihood(own) + float(best.fun)))
    degrees = len(protocols) - 1
    p = float(special.chdtrc(degrees, chi2))
    return AlikeTest(common_dprime=float(best.x), chi2=chi2, degrees=degrees, p=p)


_FINE = {"xatol": 1e-10}


def _limit(beyond: Callable[[float], float], inner: float, outer: float) -> float:
    from scipy.optimize import brentq  # loaded late: it takes long

    # Right at 0 or 1 the likelihood is nothing, and its logarithm no number to search with.
    outer = abs(outer - 1e-12)
    return float(brentq(beyond, min(inner, outer), max(inner, outer), xtol=1e-12))


def _require(right: int, asked: int) -> None:
    if not 0 <= right <= asked:
        raise ValueError(f"{right} of {asked} cannot be right")
