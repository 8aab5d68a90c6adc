"""d' of pairs whose answers say which way and how much: preference with ties, graded pairs.

An answer falls into one of the ordered steps -m to m. The difference perceived is normal with mean
d' and deviation sqrt 2, and the limits between steps lie symmetrically about 0, so that neither
side is favoured. With one step each way and "neither" it is the 2-AC model (Christensen, twoAC in
sensR 1.5-3). Limits are found with d', and d' has an interval by the profile likelihood.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from halfclick.trials.betting import Interval
from halfclick.trials.psychometric import Floats

# Where the search for d' ends, on both sides; beyond it all answers fall to one side.
_FARTHEST = 12.0
# The least width of a step, in perceptual deviations.
_LEAST_STEP = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderedFit:
    """What ordered answers tell of a difference.

    `dprime` is below 0 where they point the other way and infinite where all point one way and
    nothing bounds it. `limits` are the edges of the steps above 0, from the innermost. `p` is that
    of the likelihood ratio against no difference, two-sided.
    """

    dprime: float
    within: Interval
    limits: tuple[float, ...]
    p: float


def fit_ordered(answers: Sequence[int], level: float = 0.95, *, few: bool = False) -> OrderedFit:
    """Return the difference that answers point at.

    Args:
        answers: steps from -m to m, one a pair; 0 is neither.
        level: of the interval.
        few: whether the interval allows for few answers, by Student's law in place of the normal;
            `tests/benchmarks/trials.py` measures how often both hold.

    Raises:
        ValueError: there are no answers, or all are 0.
    """
    from scipy.optimize import brentq, minimize_scalar  # loaded late: they take long

    below, neither, above = _counts(answers)
    if not above.sum() + below.sum():
        raise ValueError("no answer points anywhere")

    def lost(dprime: float) -> float:
        return _profile(dprime, below, neither, above)[0]

    one_way = not above.sum() or not below.sum()
    sign = 1.0 if above.sum() else -1.0
    # An answer of neither bounds the difference even where no other points back.
    free = one_way and not neither
    if free:
        best = sign * _FARTHEST
    else:
        best = float(minimize_scalar(lost, bounds=_BOUNDS, method="bounded", options=_FINE).x)
    least = lost(best)
    allowed = float(special.chdtri(1, 1.0 - level)) / 2.0
    if few and len(answers) > 1:
        allowed = float(special.stdtrit(len(answers) - 1, (1.0 + level) / 2.0)) ** 2 / 2.0

    def beyond(dprime: float) -> float:
        return lost(dprime) - least - allowed

    low = float(brentq(beyond, -_FARTHEST, best, xtol=1e-7)) if beyond(-_FARTHEST) > 0 else -np.inf
    high = float(brentq(beyond, best, _FARTHEST, xtol=1e-7)) if beyond(_FARTHEST) > 0 else np.inf
    return OrderedFit(
        dprime=sign * float("inf") if free else best,
        within=Interval(low=low, high=high, level=level),
        limits=_profile(best, below, neither, above)[1],
        p=float(special.chdtrc(1, max(0.0, 2.0 * (lost(0.0) - least)))),
    )


_BOUNDS = (-_FARTHEST, _FARTHEST)
_FINE = {"xatol": 1e-7}


def step_shares(dprime: float, limits: Floats) -> Floats:
    """Return how likely each step is from the lowest, shape (2 m + 1,), at limits of shape (m,)."""
    edges = np.concatenate([-limits[::-1], limits])
    shares = special.ndtr((edges - dprime) / np.sqrt(2))
    return np.diff(np.concatenate([[0.0], shares, [1.0]]))


def _counts(answers: Sequence[int]) -> tuple[Floats, int, Floats]:
    """Return how many answers fell on each step below, on none, and on each above 0.

    Steps of a size that nobody used tell nothing and are left out.
    """
    given = np.asarray(answers, dtype=int)
    sizes = np.unique(np.abs(given[given != 0]))
    below = np.array([np.sum(given == -size) for size in sizes], dtype=float)
    above = np.array([np.sum(given == size) for size in sizes], dtype=float)
    return below, int(np.sum(given == 0)), above


def _profile(
    dprime: float, below: Floats, neither: int, above: Floats
) -> tuple[float, tuple[float, ...]]:
    """Return the least loss of log likelihood at a difference, and the limits that give it."""
    from scipy.optimize import minimize

    # Where nobody said neither, the innermost limit is 0; the others follow by positive widths.
    inner = np.zeros(0 if neither else 1)
    free = len(below) - len(inner)
    counts = np.concatenate([below[::-1], [neither], above])

    def limits_of(widths: Floats) -> Floats:
        return np.cumsum(np.concatenate([inner, np.exp(widths)]))

    if not free:
        return _loss(dprime, inner, counts)[0], (0.0,)

    def lost(widths: Floats) -> tuple[float, Floats]:
        loss, by_limit = _loss(dprime, limits_of(widths), counts)
        # A width moves its own limit and all beyond it.
        by_width = np.cumsum(by_limit[::-1])[::-1][len(inner) :]
        return loss, by_width * np.exp(widths)

    bounds = [(np.log(_LEAST_STEP), np.log(_FARTHEST * 2))] * free
    start = np.full(free, -0.5)
    found = minimize(lost, start, jac=True, bounds=bounds, method="L-BFGS-B", options=_CLOSE)
    return float(found.fun), tuple(limits_of(found.x).tolist())


_CLOSE = {"ftol": 1e-14, "gtol": 1e-9}


def _loss(dprime: float, limits: Floats, counts: Floats) -> tuple[float, Floats]:
    """Return the loss of log likelihood, and its slope by each limit, shape (m,)."""
    shares = np.maximum(step_shares(dprime, limits), 1e-300)
    edges = np.concatenate([-limits[::-1], limits])
    density = np.exp(-((edges - dprime) ** 2) / 4) / np.sqrt(4 * np.pi)
    each = counts / shares
    by_edge = density * (each[1:] - each[:-1])  # an edge takes from the step above it
    m = len(limits)
    return -float(np.sum(special.xlogy(counts, shares))), by_edge[m:] - by_edge[:m][::-1]
