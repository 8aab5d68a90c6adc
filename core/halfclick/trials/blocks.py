"""Rankings in which a sitting holds only some of the brews: tested over the orders within sittings.

Where nothing differs, each sitting's ranks are any order of them, alike likely, whatever sittings
were held. In a balanced design the sum of squares here orders all outcomes as Durbin's T does
(Conover 1999); it needs no balance to be right, so a sitting that was set aside does no harm.

Axes: s sittings, b brews; None is a brew that a sitting did not hold.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations
from math import factorial, prod

import numpy as np

from halfclick.trials.psychometric import Floats
from halfclick.trials.ranking import MOST_ORDERS

Row = Sequence[int | None]
# Orders drawn where they are too many to go through; the same each time.
DRAWS = 20_000
SEED = 20_260_103


@dataclass(frozen=True, slots=True, kw_only=True)
class BlocksTest:
    """How seldom chance ranks so: over every order of every sitting, or over drawn ones.

    `places` are the brews' mean ranks less the middle rank of their sittings; below 0 is better.
    """

    p: float
    exact: bool
    places: tuple[float, ...]


def blocks_test(rows: Sequence[Row], predicted: Sequence[int] | None = None) -> BlocksTest:
    """Return the test of incomplete rankings.

    Args:
        rows: the rank of each brew in each sitting from 1, shape (s, b).
        predicted: the rank that each brew was predicted to have, shape (b,); then the test is for
            that order, one-sided.
    """
    held = [[brew for brew, rank in enumerate(row) if rank is not None] for row in rows]
    scores = np.array([_scores(row) for row in rows])  # (s, b), nan where not held
    sums = np.nansum(scores, axis=0)
    weights = None if predicted is None else np.asarray(predicted, dtype=float)
    observed = _statistic(sums[None, :], weights)[0] - 1e-9
    count = prod(factorial(len(brews)) for brews in held)
    exact = count <= MOST_ORDERS
    if exact:
        p = float(np.mean(_statistic(_every_sum(held, scores.shape[1]), weights) >= observed))
    else:
        drawn = _statistic(drawn_sums(held, scores.shape[1], DRAWS), weights)
        # The outcome itself is one of the orders, so that p is never nothing.
        p = float((1 + np.sum(drawn >= observed)) / (1 + DRAWS))
    times = np.maximum(np.sum(~np.isnan(scores), axis=0), 1)
    return BlocksTest(p=p, exact=exact, places=tuple((sums / times).tolist()))


def drawn_sums(held: Sequence[Sequence[int]], brews: int, draws: int) -> Floats:
    """Return the brews' sums of middled ranks in so many drawn orders, shape (draws, b)."""
    random = np.random.default_rng(SEED)
    sums = np.zeros((draws, brews))
    for row in held:
        ranks = np.argsort(random.random((draws, len(row))), axis=1) + 1.0
        sums[:, list(row)] += ranks - (len(row) + 1) / 2
    return sums


def spread_of(sums: Floats) -> Floats:
    """Return how far sums lie from one another, shape (draws,) of (draws, b)."""
    return np.asarray(np.sum(sums**2, axis=1), dtype=float)


def _scores(row: Row) -> list[float]:
    middle = (sum(rank is not None for rank in row) + 1) / 2
    return [np.nan if rank is None else rank - middle for rank in row]


def _statistic(sums: Floats, weights: Floats | None) -> Floats:
    return spread_of(sums) if weights is None else np.asarray(sums @ weights, dtype=float)


def _every_sum(held: Sequence[Sequence[int]], brews: int) -> Floats:
    sums = np.zeros((1, brews))
    for row in held:
        orders = np.array(list(permutations(range(1, len(row) + 1)))) - (len(row) + 1) / 2
        step = np.zeros((len(orders), brews))
        step[:, list(row)] = orders
        sums = (sums[:, None, :] + step).reshape(-1, brews)
    return sums
