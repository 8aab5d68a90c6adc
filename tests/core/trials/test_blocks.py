"""Rankings of some of the brews at a time: their law by brute force, and against Durbin's test."""

from itertools import permutations, product

import numpy as np
import pytest

from halfclick.trials import planning, ranking
from halfclick.trials.blocks import blocks_test
from halfclick.trials.serving import incomplete_blocks

# Seven varieties, three a sitting: Conover 1999, page 391, as the help of R's agricolae prints it.
SITTINGS = ((1, 2, 4), (2, 3, 5), (3, 4, 6), (4, 5, 7), (1, 5, 6), (2, 6, 7), (1, 3, 7))
RANKS = ((2, 3, 1), (3, 1, 2), (2, 1, 3), (1, 2, 3), (3, 1, 2), (3, 1, 2), (3, 1, 2))


def rows_of(sittings, ranks, brews):
    found = []
    for held, given in zip(sittings, ranks, strict=True):
        row = [None] * brews
        for brew, rank in zip(held, given, strict=True):
            row[brew] = rank
        found.append(tuple(row))
    return found


def test_the_law_is_every_order_of_every_sitting():
    """Four brews, three a sitting: 6^4 outcomes, each gone through here."""
    sittings = incomplete_blocks(4, 3)
    orders = list(permutations((1, 2, 3)))

    def spread(ranks) -> float:
        sums = [0.0] * 4
        for held, given in zip(sittings, ranks, strict=True):
            for brew, rank in zip(held, given, strict=True):
                sums[brew] += rank - 2
        return sum(one * one for one in sums)

    every = [spread(ranks) for ranks in product(orders, repeat=4)]
    for ranks in (((1, 2, 3),) * 4, ((3, 1, 2), (1, 2, 3), (2, 1, 3), (1, 3, 2))):
        found = blocks_test(rows_of(sittings, ranks, 4))
        assert found.exact
        assert found.p == pytest.approx(np.mean(np.array(every) >= spread(ranks) - 1e-9))


def test_seven_varieties_as_durbins_test_has_them():
    """Its chi squared, 12.0 with 6 degrees, is p = 0.062; the exact law is its own test."""
    sittings = [[one - 1 for one in row] for row in SITTINGS]
    found = blocks_test(rows_of(sittings, RANKS, 7))
    assert found.p == pytest.approx(ranking.durbin_exact_p(sittings, RANKS))
    statistic, by_chi2 = ranking.durbin(sittings, RANKS)
    assert (statistic, by_chi2) == pytest.approx((12.0, 0.062), abs=5e-4)


def test_many_sittings_are_drawn_and_come_near_the_law_of_large_numbers():
    """Twenty sittings of 3 of 4 brews, against chi squared with 3 degrees of freedom."""
    sittings = incomplete_blocks(4, 3) * 5
    random = np.random.default_rng(2)
    ranks = [tuple((np.argsort(random.random(3)) + 1).tolist()) for _ in sittings]
    found = blocks_test(rows_of(sittings, ranks, 4))
    assert not found.exact
    assert found.p == pytest.approx(ranking.durbin(sittings, ranks)[1], abs=0.03)


def test_a_predicted_order_is_found_sooner_and_its_opposite_never():
    sittings = incomplete_blocks(4, 3)
    rows = rows_of(sittings, ((1, 2, 3),) * 4, 4)
    foretold, opposite = (blocks_test(rows, order).p for order in ((1, 2, 3, 4), (4, 3, 2, 1)))
    assert foretold == pytest.approx(1 / 6**4)
    assert foretold < blocks_test(rows).p
    assert opposite == 1.0


def test_a_lost_sitting_does_no_harm():
    """Over all outcomes of an unbalanced design, p at or below 5 % comes at most 5 % of times."""
    sittings = incomplete_blocks(4, 3)[:3]
    orders = list(permutations((1, 2, 3)))
    ps = [blocks_test(rows_of(sittings, one, 4)).p for one in product(orders, repeat=3)]
    assert np.mean(np.array(ps) <= 0.05) <= 0.05
    assert np.mean(np.array(ps) <= 0.25) <= 0.25


def test_power_of_blocks_rises_with_the_difference_and_alarms_seldom():
    powers = [planning.blocks_power(d, 20, 5, 3) for d in (0.0, 1.5, 3.0)]
    assert powers == sorted(powers)
    # Two errors of 2000 runs.
    assert powers[0] <= 0.05 + 2 * np.sqrt(0.05 * 0.95 / 2000)
    assert powers[2] > 0.8
    assert planning.blocks_power(3.0, 1, 5, 3) == 0.0
