"""Tables that sensory work and statistics have printed for decades, against what we compute.

All entries are from memory, with where they are printed beside them; none was fitted to our code.
"""

from itertools import permutations, product

import numpy as np
import pytest
from scipy import optimize, stats

from halfclick.trials import betting, estimate, graded, pairs_among_many, power, ranking
from halfclick.trials import single_cups as cups
from halfclick.trials.ordered import fit_ordered, step_shares
from halfclick.trials.psychometric import Protocol, dprime_of, right_of_discriminators, share_right

# Least right answers from a first number of answers on, one for each number after it: Roessler,
# Pangborn, Sidel and Stone 1978, Journal of Food Science 43:940-943; ISO 4120 and ISO 10399 alike.
LEAST_RIGHT = {
    (1 / 3, 0.05, 5): "4 5 5 6 6 7 7 8 8 9 9 9 10 10 11 11 12 12 12 13 13 14 14 15 15 15",
    (1 / 3, 0.01, 6): "6 6 7 7 8 8 9 9 10 10 11 11 12 12 13 13 14 14 15 15 15 16 16 17 17",
    (1 / 3, 0.001, 7): "7 8 8 9 10 10 11 11 12 12 13 13 14 14 15 15 16 16 17 17 18 18 19 19",
    (1 / 2, 0.05, 5): "5 6 7 7 8 9 9 10 10 11 12 12 13 13 14 15 15 16 16 17 18 18 19 19 20 20",
    (1 / 2, 0.01, 7): "7 8 9 10 10 11 12 12 13 14 14 15 15 16 17 17 18 19 19 20 20 21 22 22",
    # Two-sided at 5 %: half of it above.
    (1 / 2, 0.025, 6): "6 7 8 8 9 10 10 11 12 12 13 13 14 15 15 16 17 17 18 18 19 20 20 21 21",
}
# Triangles needed at alpha 0.05 for beta 0.20, 0.10, 0.05 and 0.01, by the share of discriminators:
# ISO 4120, table A.3.
TRIANGLES = {
    0.5: (16, 20, 23, 35),
    0.4: (23, 30, 40, 57),
    0.3: (40, 53, 66, 98),
    0.2: (87, 117, 147, 213),
    0.1: (325, 447, 572, 828),
}
# d' by the share of right answers among three: Hacker and Ratcliff 1979, Perception and
# Psychophysics 26:168-170.
AMONG_THREE = {0.5: 0.56, 0.6: 0.89, 0.75: 1.43, 0.8: 1.65, 0.9: 2.23, 0.99: 3.62}
# Exact 95 % limits of a share, as biostatistical tables print them (Clopper and Pearson 1934).
LIMITS = {
    (10, 20): (0.2720, 0.7280),
    (1, 10): (0.0025, 0.4450),
    (3, 10): (0.0667, 0.6525),
    (5, 10): (0.1871, 0.8129),
    (9, 10): (0.5550, 0.9975),
    (7, 20): (0.1539, 0.5922),
    (15, 20): (0.5090, 0.9134),
    (0, 10): (0.0, 0.3085),
}
# Friedman's chi squared and its exact p, by tasters and brews: Siegel 1956, table N; Hollander and
# Wolfe 1973 for five brews.
FRIEDMAN = {
    (3, 3): ((6.0, 0.028),),
    (4, 3): ((6.5, 0.042), (8.0, 0.0046)),
    (5, 3): ((6.4, 0.039), (8.4, 0.0085)),
    (6, 3): ((7.0, 0.029), (9.0, 0.0081)),
    (7, 3): ((7.143, 0.027), (8.857, 0.0084)),
    (8, 3): ((6.25, 0.047), (9.0, 0.0099)),
    (9, 3): ((6.222, 0.048), (8.667, 0.010)),
    (2, 4): ((6.0, 0.042),),
    (3, 4): ((7.4, 0.033), (9.0, 0.0017)),
    (4, 4): ((7.8, 0.036), (9.6, 0.0069)),
    (3, 5): ((8.533, 0.045), (10.133, 0.0078)),
}
# Least L at 5 and 1 %, by tasters and brews: Page 1963, Journal of the American Statistical
# Association 58:216-230.
PAGE = {
    (3, 3): (41, 42),
    (4, 3): (54, 55),
    (5, 3): (66, 68),
    (2, 4): (58, 60),
    (3, 4): (84, 87),
    (4, 4): (111, 114),
    (2, 5): (103, 106),
}
# Largest sum of the smaller ranks at 5 %, one-sided, by pairs: Wilcoxon and Wilcox 1964.
SMALLER_RANKS = {5: 0, 6: 2, 7: 3, 8: 5, 9: 8, 10: 10, 11: 13, 12: 17, 15: 30, 20: 60}
# Baseball, American League 1987: wins of the row's team over the column's, and log abilities over
# the last one's. Agresti, Categorical Data Analysis, table 10.10.
BASEBALL = """0 7 9 7 7 9 11
6 0 7 5 11 9 9
4 6 0 7 7 8 12
6 8 6 0 6 7 10
6 2 6 7 0 7 12
4 4 5 6 6 0 6
2 4 1 3 1 7 0"""
ABILITIES = (1.58, 1.44, 1.29, 1.25, 1.11, 0.68, 0.0)


@pytest.mark.parametrize("table", LEAST_RIGHT)
def test_least_right_answers(table):
    guessed, alpha, first = table
    printed = [int(one) for one in LEAST_RIGHT[table].split()]
    asked = np.arange(first, first + len(printed))
    assert power.critical_right(asked, guessed, alpha).tolist() == printed


@pytest.mark.parametrize("share", TRIANGLES)
def test_triangles_needed(share):
    right = right_of_discriminators(Protocol.TRIANGLE, share)
    dprime = dprime_of(Protocol.TRIANGLE, right)
    needed = [power.first_size(Protocol.TRIANGLE, dprime, 1 - b) for b in (0.2, 0.1, 0.05, 0.01)]
    assert needed == list(TRIANGLES[share])


def test_sizes_are_found_far_out_and_stay_stable():
    """By brute force: of 4000 answers, the one after the last that falls short."""
    right = float(share_right(Protocol.TRIANGLE, 0.6))
    every = power.power_of_share(right, np.arange(1, 4001), 1 / 3)
    last_short = int(np.flatnonzero(every < 0.8)[-1]) + 1
    assert power.stable_size(Protocol.TRIANGLE, 0.6) == last_short + 1
    assert power.first_size(Protocol.DUO_TRIO, 0.5) > 3000
    assert power.first_size(Protocol.PAIR, 0.0) is None


@pytest.mark.parametrize("share", AMONG_THREE)
def test_dprime_among_three(share):
    assert dprime_of(Protocol.THREE_CHOICE, share) == pytest.approx(AMONG_THREE[share], abs=0.006)


@pytest.mark.parametrize("counts", LIMITS)
def test_exact_limits_of_a_share(counts):
    within = estimate.exact_share(*counts)
    assert (within.low, within.high) == pytest.approx(LIMITS[counts], abs=5.1e-5)


def tail_of(tasters: int, brews: int) -> dict[float, float]:
    """Return the exact p of each value of Friedman's chi squared."""
    row = tuple(range(2, 2 * brews + 1, 2))
    spreads, shares = ranking.law_of_sums((row,) * tasters)
    values = np.round(spreads / brews**2 * 3 / (tasters * brews * (brews + 1)), 3)
    held = {float(one): float(shares[values == one].sum()) for one in np.unique(values)}
    return {one: sum(p for other, p in held.items() if other >= one) for one in held if held[one]}


@pytest.mark.parametrize("size", FRIEDMAN)
def test_friedmans_exact_table(size):
    tails = tail_of(*size)
    for value, p in FRIEDMAN[size]:
        assert tails[value] == pytest.approx(p, abs=0.51 * 10 ** (-3 if p > 0.009 else -4))


def tables_of(tasters: int, brews: int) -> dict[int, tuple[tuple[int, ...], ...]]:
    """Return some table of ranks for each value of Page's L."""
    found: dict[int, tuple[tuple[int, ...], ...]] = {0: ()}
    orders = list(permutations(range(1, brews + 1)))
    for _ in range(tasters):
        further: dict[int, tuple[tuple[int, ...], ...]] = {}
        for (total, rows), order in product(found.items(), orders):
            more = sum(place * rank for place, rank in enumerate(order, start=1))
            further.setdefault(total + more, (*rows, order))
        found = further
    return found


@pytest.mark.parametrize("size", PAGE)
def test_pages_critical_values(size):
    tables = tables_of(*size)
    foretold = tuple(range(1, size[1] + 1))
    for least, alpha in zip(PAGE[size], (0.05, 0.01), strict=True):
        value, p = ranking.page(tables[least], foretold)
        assert (value, p <= alpha) == (least, True)
        assert ranking.page(tables[least - 1], foretold)[1] > alpha


@pytest.mark.parametrize("pairs", SMALLER_RANKS)
def test_signed_ranks(pairs):
    law = graded.sign_flip_law(range(1, pairs + 1))
    tails = np.cumsum(law)
    assert int(np.flatnonzero(tails <= 0.05)[-1]) == SMALLER_RANKS[pairs]


def test_abilities_of_seven_teams():
    wins = np.array([line.split() for line in BASEBALL.splitlines()], dtype=float)
    found = pairs_among_many.abilities(wins, prior_sd=None).abilities
    assert found - found[-1] == pytest.approx(ABILITIES, abs=0.006)


def test_ties_and_places_are_the_most_likely_ones():
    """The same law written out game by game, and its likelihood climbed by another method."""
    random = np.random.default_rng(5)
    first, second, ties = (
        random.integers(1, 9, (3, 3)) * (1 - np.eye(3, dtype=int)) for _ in "123"
    )
    found = pairs_among_many.abilities(np.stack([first, second]), ties, prior_sd=1e4)

    def lost(at: np.ndarray) -> float:
        ability, place, tie = np.array([0.0, at[0], at[1]]), at[2], np.exp(at[3])
        total = 0.0
        for one, other in permutations(range(3), 2):
            # One is served first: its wins, the other's from the second place, and their ties.
            up = np.exp((ability[one] + place - ability[other]) / 2)
            whole = up + 1 / up + tie
            total += first[one, other] * np.log(up / whole)
            total += second[other, one] * np.log(1 / up / whole)
            total += ties[one, other] * np.log(tie / whole)
        return -total

    best = optimize.minimize(lost, np.zeros(4), method="Nelder-Mead", options=FINE).x
    ours = found.abilities - found.abilities[0]
    assert [*ours[1:], found.first, np.log(found.tie)] == pytest.approx(best, abs=1e-4)


FINE = {"xatol": 1e-8, "fatol": 1e-10, "maxiter": 20_000, "maxfev": 20_000}


def test_same_and_different_are_the_most_likely_ones():
    """Climbed without knowing the closed form: P(same | same) = 2 Phi(t / sqrt 2) - 1."""
    counts = (12, 4, 6, 11)

    def lost(at: np.ndarray) -> float:
        t, d = at
        alike = 2 * stats.norm.cdf(t / np.sqrt(2)) - 1
        unlike = stats.norm.cdf((t - d) / np.sqrt(2)) - stats.norm.cdf((-t - d) / np.sqrt(2))
        shares = np.clip([alike, 1 - alike, unlike, 1 - unlike], 1e-12, 1)
        return -float(np.sum(np.array(counts) * np.log(shares)))

    best = optimize.minimize(lost, (1.0, 1.0), method="Nelder-Mead", options=FINE).x
    found = cups.same_different(*counts)
    assert (found.limit, found.dprime) == pytest.approx(best, abs=1e-5)


def test_graded_answers_are_the_most_likely_ones():
    """The ordered law climbed in limits and d' at once, from another start."""
    scores = [3, 2, 2, 1, 0, -1, 3, -2, 1, 0, 2, -3]
    steps = np.array([scores.count(one) for one in range(-3, 4)])

    def lost(at: np.ndarray) -> float:
        shares = step_shares(at[0], np.cumsum(np.exp(at[1:])))
        return -float(np.sum(steps * np.log(np.clip(shares, 1e-300, 1))))

    best = optimize.minimize(lost, (0.3, -1.0, 0.0, 0.0), method="Nelder-Mead", options=FINE)
    found = fit_ordered(scores)
    assert found.dprime == pytest.approx(best.x[0], abs=1e-4)
    assert list(found.limits) == pytest.approx(np.cumsum(np.exp(best.x[1:])), abs=1e-3)
    few = fit_ordered(scores, few=True)
    assert few.within.low < found.within.low < found.within.high < few.within.high


@pytest.mark.parametrize(("right", "asked"), [(6, 12), (10, 12), (0, 5), (17, 40)])
def test_the_interval_at_any_time_is_where_the_mixture_is_below_20(right, asked):
    """Its law read the other way round: shares whose mixture evidence stays below 1 / 0.05."""
    within = betting.share_any_time(right, asked)
    grid = np.linspace(0.001, 0.999, 999)
    kept = [p for p in grid if betting.mixture_evidence(right, asked, p) <= 20.0]
    assert within.low <= kept[0] <= within.low + 0.001 + 1e-9
    assert within.high - 0.001 - 1e-9 <= kept[-1] <= within.high
