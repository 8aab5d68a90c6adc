"""Many brews liked in pairs: one scale of liking, with ties and what serving first does.

Davidson's law of ties beside Bradley and Terry's of wins: of brews a and b, a served first, with
x = a - b + first, the odds are exp(x / 2) : tie : exp(-x / 2). A normal prior keeps a brew that
never lost from running off, and lets brews be compared that never met.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy import special

from halfclick.trials.psychometric import Floats

# On the logit scale: two brews 1 apart, and the better is liked 73 % of the time.
PRIOR_SD = 1.0
# A tie term below which there are none.
NO_TIES = -30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Liking:
    """What pairs tell of many brews.

    `abilities` and `covariance` are on the logit scale, of shapes (b,) and (b, b), their mean 0;
    `first` is what standing first adds, and `tie` the weight of a tie between equals beside a win.
    """

    abilities: Floats
    covariance: Floats
    first: float
    tie: float

    def better_share(self, one: int, other: int) -> float:
        """Return how sure it is that one brew is liked better than another, 0 to 1."""
        gap = self.abilities[one] - self.abilities[other]
        spread = self.covariance[one, one] + self.covariance[other, other]
        spread -= 2.0 * self.covariance[one, other]
        return float(special.ndtr(gap / np.sqrt(max(spread, 1e-300))))


def abilities(
    wins: Floats, ties: Floats | None = None, *, prior_sd: float | None = PRIOR_SD
) -> Liking:
    """Return the most likely liking of each brew, and how sure it is.

    Args:
        wins: how often the row's brew, served first or second, was liked better than the column's,
            shape (b, b); or of shape (2, b, b) with those served first in the first plane and those
            served second in the other, and then the place of serving is estimated too.
        ties: how often neither was, shape (b, b), those of the row's brew served first.
        prior_sd: of the abilities, on the logit scale; None for none, where every brew must have
            won and lost.

    Raises:
        ValueError: shapes do not fit, or without a prior some brew never won or never lost.
    """
    from scipy.optimize import minimize  # loaded late: it takes long

    by_place = np.asarray(wins, dtype=float)
    placed = by_place.ndim == 3
    if not placed:
        # Half of them with the row's brew first, so that the place cancels.
        by_place = np.stack([by_place / 2, by_place / 2])
    b = by_place.shape[-1]
    drawn = np.zeros((b, b)) if ties is None else np.asarray(ties, dtype=float)
    if by_place.shape != (2, b, b) or drawn.shape != (b, b):
        raise ValueError(f"shapes do not fit: {by_place.shape} and {drawn.shape}")
    total = by_place.sum(axis=0)
    if prior_sd is None and (np.any(total.sum(axis=0) == 0) or np.any(total.sum(axis=1) == 0)):
        raise ValueError("without a prior every brew must have won and lost")
    tied = bool(drawn.sum())

    def lost(at: Floats) -> float:
        return -_log_posterior(at, by_place, drawn, prior_sd, placed=placed, tied=tied)

    best = minimize(lost, np.zeros(b + placed + tied), method="BFGS", options={"gtol": 1e-9})
    at = np.asarray(best.x, dtype=float)
    found = at[:b] - at[:b].mean()
    centre = np.eye(b) - 1.0 / b
    inverse = np.linalg.pinv(_curvature(lost, at), hermitian=True, rcond=1e-9)
    return Liking(
        abilities=found,
        covariance=centre @ inverse[:b, :b] @ centre,
        first=float(at[b]) if placed else 0.0,
        tie=float(np.exp(at[-1])) if tied else 0.0,
    )


def _log_posterior(
    at: Floats, wins: Floats, ties: Floats, prior_sd: float | None, *, placed: bool, tied: bool
) -> float:
    b = ties.shape[0]
    likings = at[:b]
    first = at[b] if placed else 0.0
    tie = at[-1] if tied else NO_TIES
    gap = likings[:, None] - likings[None, :]  # (b, b), row less column
    said = 0.0
    # The row's brew first, then second.
    for sign, won in ((1.0, wins[0]), (-1.0, wins[1])):
        x = gap + sign * first
        said += float(np.sum(won * (x / 2 - _whole(x, tie))))
    x = gap + first
    said += float(np.sum(ties * (tie - _whole(x, tie)))) if tied else 0.0
    if prior_sd is None:
        # Only differences are told; this holds the mean at 0 and bends nothing else.
        return said - float(likings.mean() ** 2)
    rest = at[b:]
    return said - float(np.sum(likings**2) / prior_sd**2 + np.sum(rest**2) / prior_sd**2) / 2


def _whole(x: Floats, tie: float) -> Floats:
    """Return the logarithm of the sum of the odds, shape as x."""
    return np.asarray(np.logaddexp(np.logaddexp(x / 2, -x / 2), tie), dtype=float)


def _curvature(lost: Callable[[Floats], float], at: Floats, step: float = 1e-4) -> Floats:
    n = len(at)
    steps = np.eye(n) * step
    bent = np.empty((n, n))
    for i in range(n):
        for j in range(n):
            corners = [
                lost(at + p * steps[i] + q * steps[j]) * p * q for p in (1, -1) for q in (1, -1)
            ]
            bent[i, j] = sum(corners) / (4 * step * step)
    return bent
