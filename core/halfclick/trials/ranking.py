"""Ranking of several brews: Friedman's test by its exact law, Page's, and Durbin's.

Where nothing differs each row is any order of its ranks, alike likely. For few tasters chi squared
is far off: three who rank three brews alike are p = 1/36, not 0.0498.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from itertools import permutations
from math import comb

import numpy as np
from scipy import special

from halfclick.errors import BadInput
from halfclick.trials.betting import Interval
from halfclick.trials.estimate import exact_share
from halfclick.trials.psychometric import Floats

# Rank sums are compared with this many deviations for the least difference, ISO 8587.
LEAST_DEVIATIONS = 1.96
# Above this many sums in the table of the exact law, chi squared is taken.
MOST_SUMS = 400_000
# One taster alone cannot be told from chance.
FEWEST_ROWS = 2
MOST_ORDERS = 300_000
# Brews of the tails that are kept.
KEPT_BREWS = 5


def friedman(ranks: Sequence[Sequence[float]]) -> float:
    """Return Friedman's F, corrected for ties.

    Args:
        ranks: one row a taster, the rank of each brew from 1, ties at their middle; shape (j, b).

    Raises:
        BadInput: there are fewer than two rows or brews, or the rows are no rankings.
    """
    table = _table(ranks)
    j, b = table.shape
    sums = table.sum(axis=0)
    spread = float(np.sum((sums - j * (b + 1) / 2) ** 2))
    within = float(np.sum((table - (b + 1) / 2) ** 2)) / (b - 1)
    return spread / within if within else 0.0


def friedman_of_sums(sums: Sequence[float], tasters: int) -> float:
    """Return F of rank sums without ties: 12 / (J P (P+1)) sum R^2 - 3 J (P+1), ISO 8587."""
    brews = len(sums)
    squares = sum(one * one for one in sums)
    return 12.0 / (tasters * brews * (brews + 1)) * squares - 3.0 * tasters * (brews + 1)


def friedman_p(ranks: Sequence[Sequence[float]]) -> tuple[float, bool]:
    """Return the p of Friedman's test, and whether it is exact; ties are part of the exact law.

    Exact for 5 brews to 12 tasters (6 with ties), 4 to 24 and 3 to 300; chi squared beyond.

    Raises:
        BadInput: there are fewer than two rows or brews, or the rows are no rankings.
    """
    table = _table(ranks)
    j, b = table.shape
    # Twice the ranks, so that the middle of a tie is whole.
    rows = tuple(sorted(tuple(sorted(int(2 * one) for one in row)) for row in table))
    untied = all(row == tuple(range(2, 2 * b + 1, 2)) for row in rows)
    observed = int(np.sum((2 * table.sum(axis=0) * b - 2 * table.sum()) ** 2))
    if untied and b == KEPT_BREWS and j in kept_tails():
        distances, tails = kept_tails()[j]
        return float(tails[np.searchsorted(distances, observed)]), True
    if (j * (b - 1) * (1 if untied else 2) + 1) ** (b - 1) > MOST_SUMS:
        return float(special.chdtrc(b - 1, friedman(ranks))), False
    spreads, shares = law_of_sums(rows)
    return min(1.0, float(shares[spreads >= observed].sum())), True


def page(ranks: Sequence[Sequence[float]], predicted: Sequence[int]) -> tuple[float, float]:
    """Return Page's L and its exact p for an order that was predicted before pouring.

    Args:
        ranks: as for `friedman`.
        predicted: the rank predicted of each brew, shape (b,).

    Raises:
        BadInput: there are fewer than two rows or three brews, or the rows are no rankings.
    """
    from scipy.stats import page_trend_test  # loaded late: it takes long

    table = _table(ranks)
    if table.shape[1] < 3:
        raise BadInput("trial.page_needs_three")
    found = page_trend_test(table, ranked=True, predicted_ranks=predicted, method="exact")
    return float(found.statistic), float(found.pvalue)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ends:
    """The brews of the best and the worst mean rank, and how often the first stood higher.

    `met` is how often both were in one ranking. `within` is exact, and wide enough that all `pairs`
    of brews lie in theirs at once, since the two were picked by the answers.
    """

    first: int
    last: int
    above: int
    met: int
    pairs: int
    within: Interval


def first_and_last(ranks: Sequence[Sequence[float | None]], level: float = 0.95) -> Ends:
    """Return how clearly the brew ranked best stands above the one ranked last.

    Args:
        ranks: as for `friedman`, None where a brew was not there; of two alike the one named first
            counts as better.
        level: of the intervals of all pairs of brews together (Bonferroni).
    """
    table = np.asarray(ranks, dtype=float)  # None is not a number, and below nothing
    there = ~np.isnan(table)
    sums = np.where(there, table, 0.0).sum(axis=0) / np.maximum(there.sum(axis=0), 1)
    first, last = int(sums.argmin()), int(len(sums) - 1 - sums[::-1].argmax())
    above = int(np.sum(table[:, first] < table[:, last]))
    met = int(np.sum(there[:, first] & there[:, last]))
    pairs = comb(len(sums), 2)
    each = exact_share(above, met, 1.0 - (1.0 - level) / pairs)
    within = Interval(low=each.low, high=each.high, level=level)
    return Ends(first=first, last=last, above=above, met=met, pairs=pairs, within=within)


def least_gap(tasters: int, brews: int) -> float:
    """Return how far two rank sums must lie apart to be told apart at 5 %, ISO 8587."""
    return LEAST_DEVIATIONS * float(np.sqrt(tasters * brews * (brews + 1) / 6.0))


def durbin(blocks: Sequence[Sequence[int]], ranks: Sequence[Sequence[int]]) -> tuple[float, float]:
    """Return Durbin's T of balanced incomplete sittings, and its p by chi squared.

    Args:
        blocks: the brews of each sitting, shape (sittings, k), from `serving.incomplete_blocks`.
        ranks: their ranks within it from 1, the same shape.

    Source: Conover 1999.
    """
    brews = np.asarray(blocks)
    t = len(np.unique(brews))
    k, r = brews.shape[1], brews.size // t
    sums = np.bincount(np.unique(brews, return_inverse=True)[1].ravel(), np.ravel(ranks))
    scale = 12.0 * (t - 1) / (r * t * (k - 1) * (k + 1))
    statistic = float(scale * np.sum((sums - r * (k + 1) / 2) ** 2))
    return statistic, float(special.chdtrc(t - 1, statistic))


def durbin_exact_p(blocks: Sequence[Sequence[int]], ranks: Sequence[Sequence[int]]) -> float | None:
    """Return the exact p of Durbin's T by all orders in all sittings; None where they are many."""
    brews = np.asarray(blocks)
    orders = np.array(list(permutations(range(1, brews.shape[1] + 1))))
    if len(orders) ** len(brews) > MOST_ORDERS:
        return None
    names = np.unique(brews, return_inverse=True)[1].reshape(brews.shape)
    sums = np.zeros((1, names.max() + 1), dtype=int)  # (orders so far, brews)
    for row in names:
        step = np.zeros((len(orders), sums.shape[1]), dtype=int)
        step[:, row] = orders
        sums = (sums[:, None, :] + step).reshape(-1, sums.shape[1])
    observed = np.bincount(names.ravel(), np.ravel(ranks))
    return float(np.mean((sums**2).sum(axis=1) >= (observed**2).sum() - 1e-9))


@cache
def kept_tails() -> dict[int, tuple[Floats, Floats]]:
    """Return the tails that are kept since they take long: of 5 brews without ties, by tasters.

    Each: distances as of `law_of_sums`, rising, and how likely each or a larger one is. Made by
    `law_of_sums`; `tests/core/trials/test_kept_tails.py` makes some of them again.
    """
    place = resources.files("halfclick_resources") / "trials" / "five_brews.json"
    kept = json.loads(place.read_text("utf-8"))
    # Kept as squared distances of plain ranks; twice the ranks, times the brews, squared.
    scale = (2 * KEPT_BREWS) ** 2
    return {
        int(tasters): (np.array(one["distance"]) * scale, np.array(one["tail"]))
        for tasters, one in kept.items()
    }


@cache
def law_of_sums(rows: tuple[tuple[int, ...], ...]) -> tuple[Floats, Floats]:
    """Return how unlike the rank sums of any orders of rows are, and how likely each is.

    Args:
        rows: the doubled ranks of each taster, without ties 2, 4 and so on.

    Returns:
        b^2 times the squared distances of the doubled sums from their mean, and shares that sum to
        1; both have b - 1 axes, one a brew but the last, whose sum follows from the others.
    """
    b = len(rows[0])
    # Without ties every doubled rank is even: half the table does.
    step = 1 if any((one - row[0]) % 2 for row in rows for one in row) else 2
    law = np.ones((1,) * (b - 1))
    for row in rows:
        high = (max(row) - min(row)) // step
        longer = np.zeros(tuple(size + high for size in law.shape))
        orders = list(permutations(row))
        for order in orders:
            at = tuple(
                slice((one - min(row)) // step, (one - min(row)) // step + size)
                for one, size in zip(order, law.shape, strict=False)
            )
            longer[at] += law
        law = longer / len(orders)
    total = sum(sum(row) for row in rows)
    axes = [np.arange(size) * step + sum(min(row) for row in rows) for size in law.shape]
    sums = np.meshgrid(*axes, indexing="ij", sparse=True)
    last = total - sum(sums)
    spreads = sum((one * b - total) ** 2 for one in [*sums, last])
    return np.asarray(spreads, dtype=float), law


def _table(ranks: Sequence[Sequence[float]]) -> Floats:
    lengths = {len(row) for row in ranks}
    if len(ranks) < FEWEST_ROWS or len(lengths) != 1 or min(lengths) < 2:
        raise BadInput("trial.rankings_too_few", given=len(ranks))
    table = np.asarray(ranks, dtype=float)
    b = table.shape[1]
    for row in table:
        # What a ranking with ties at their middles is: the ranks of its own values.
        own = [np.sum(row < one) + (np.sum(row == one) + 1) / 2 for one in row]
        if not np.allclose(row, own):
            raise BadInput("trial.not_a_ranking", brews=b)
    return table
