"""What always holds of trials: by quadrature, by enumeration of every case, and for any answers."""

from itertools import combinations, pairwise, permutations, product
from math import comb, factorial

import mpmath
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from halfclick.errors import BadInput
from halfclick.model.trial_kinds import Sureness
from halfclick.trials import (
    betting,
    estimate,
    graded,
    named_pair,
    ordered,
    pairs_among_many,
    panel,
    power,
    ranking,
    serving,
)
from halfclick.trials.psychometric import GUESSED, Protocol, dprime_of, share_right, slope

DPRIMES = (0.01, 0.3, 1.0, 3.0, 5.5, 8.0)
QUADRATURE = [one for one in Protocol if one is not Protocol.SINGLE]
SCORES = st.lists(st.integers(-3, 3), min_size=1, max_size=9)
RIGHT = st.lists(st.booleans(), max_size=12)


def integral(protocol: Protocol, d: mpmath.mpf) -> mpmath.mpf:
    """Return the share of right answers by 22 digits of quadrature of the defining integral."""
    cdf, pdf = mpmath.ncdf, mpmath.npdf
    reach = [-10, -4, 0, 4, 10, 18]
    match protocol:
        case Protocol.PAIR:
            return mpmath.quad(lambda z: pdf(z - d) * cdf(z), reach)
        case Protocol.THREE_CHOICE:
            return mpmath.quad(lambda z: pdf(z - d) * cdf(z) ** 2, reach)
        case Protocol.TRIANGLE:
            three, two = mpmath.sqrt(3), mpmath.sqrt(mpmath.mpf(2) / 3)
            both = lambda z: cdf(-z * three + d * two) + cdf(-z * three - d * two)  # noqa: E731
            return 2 * mpmath.quad(lambda z: both(z) * pdf(z), [0, 2, 5, 10])
        case Protocol.DUO_TRIO:
            a, b = cdf(d / mpmath.sqrt(2)), cdf(d / mpmath.sqrt(6))
            return 1 - a - b + 2 * a * b
        case _:
            wrong = lambda z: 2 * cdf(z) * cdf(z - d) - cdf(z - d) ** 2  # noqa: E731
            return 1 - 2 * mpmath.quad(lambda z: pdf(z) * wrong(z), reach)


@pytest.mark.parametrize("protocol", QUADRATURE)
def test_dprime_is_right_to_1e_8_from_a_hundredth_to_8(protocol):
    """mpmath with 22 digits: the integral, and d' back from the share in double precision."""
    with mpmath.workdps(22):
        for dprime in DPRIMES:
            share = integral(protocol, mpmath.mpf(dprime))
            assert abs(mpmath.mpf(float(share_right(protocol, dprime))) - share) < 3e-16
            assert dprime_of(protocol, float(share)) == pytest.approx(dprime, abs=1e-8)


@pytest.mark.parametrize("protocol", list(Protocol))
def test_more_difference_is_more_right_answers_from_chance_to_all(protocol):
    grid = np.linspace(0.0, 8.0, 400)
    shares = share_right(protocol, grid)
    assert shares[0] == pytest.approx(GUESSED[protocol], abs=1e-15)
    assert np.all(np.diff(shares) > 0)
    middle = (grid[1:] + grid[:-1]) / 2
    steps = np.diff(shares) / np.diff(grid)
    assert slope(protocol, middle) == pytest.approx(steps, abs=2e-5)
    assert dprime_of(protocol, GUESSED[protocol] - 0.1) == 0.0
    assert dprime_of(protocol, 1.0) == float("inf")


@pytest.mark.parametrize(("asked", "guessed"), [(7, 0.5), (8, 1 / 3)])
def test_the_exact_test_is_every_way_of_guessing(asked, guessed):
    for right in range(asked + 1):
        ways = [
            guessed ** sum(way) * (1 - guessed) ** (asked - sum(way))
            for way in product((0, 1), repeat=asked)
            if sum(way) >= right
        ]
        assert estimate.difference_p(right, asked, guessed) == pytest.approx(sum(ways))
        both = estimate.difference_p(right, asked, guessed) + estimate.similarity_p(
            right, asked, guessed
        )
        chosen = comb(asked, right) * guessed**right * (1 - guessed) ** (asked - right)
        assert both == pytest.approx(1 + chosen)


def test_power_is_that_of_every_outcome_and_at_no_difference_at_most_alpha():
    for protocol in Protocol:
        asked, curve = power.power_curve(protocol, 1.0, 40)
        _, alarms = power.power_curve(protocol, 0.0, 40)
        assert np.all(alarms <= 0.05)
        assert np.all(curve >= alarms)
        n, p = 20, float(share_right(protocol, 1.0))
        needed = next(
            k
            for k in range(n + 2)
            if k > n or estimate.difference_p(k, n, GUESSED[protocol]) <= 0.05
        )
        chance = sum(comb(n, k) * p**k * (1 - p) ** (n - k) for k in range(needed, n + 1))
        assert curve[asked.tolist().index(n)] == pytest.approx(chance)


@pytest.mark.parametrize("pairs", [1, 2, 3])
def test_every_wager_is_worth_exactly_1_where_nothing_differs(pairs):
    """By enumeration of right and wrong, whatever the words; at the bound for "smaller"."""
    at_bound = float(share_right(Protocol.PAIR, 1.5))
    for words in product(Sureness, repeat=pairs):
        worth = {"sureness": 0.0, "counts": 0.0, "evidence": 0.0}
        smaller = 0.0
        for right in product((True, False), repeat=pairs):
            run = named_pair.run(
                [
                    named_pair.PairAnswer(right=one, sureness=word)
                    for one, word in zip(right, words, strict=True)
                ]
            )
            for name in worth:
                worth[name] += getattr(run, name)[-1] / 2**pairs
            likely = np.prod([at_bound if one else 1 - at_bound for one in right])
            smaller += run.smaller[-1] * float(likely)
        assert list(worth.values()) == pytest.approx([1.0] * 3, abs=1e-12)
        assert smaller == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize(("asked", "guessed"), [(10, 0.5), (9, 1 / 3)])
def test_the_mixture_is_worth_1_and_its_interval_seldom_misses_at_any_look(asked, guessed):
    worth = sum(
        comb(asked, k)
        * guessed**k
        * (1 - guessed) ** (asked - k)
        * betting.mixture_evidence(k, asked, guessed)
        for k in range(asked + 1)
    )
    assert worth == pytest.approx(1.0)
    going, missed = {0: 1.0}, 0.0
    for n in range(1, 25):
        ahead: dict[int, float] = {}
        for k, mass in going.items():
            ahead[k] = ahead.get(k, 0.0) + mass * (1 - guessed)
            ahead[k + 1] = ahead.get(k + 1, 0.0) + mass * guessed
        going = {}
        for k, mass in ahead.items():
            within = betting.share_any_time(k, n)
            if within.low <= guessed <= within.high:
                going[k] = mass
            else:
                missed += mass
    assert missed <= 0.05


@given(st.lists(st.tuples(st.booleans(), st.sampled_from(Sureness)), max_size=12), st.data())
def test_the_end_of_the_evidence_does_not_depend_on_the_order(answers, data):
    shuffled = data.draw(st.permutations(answers))
    ends = [
        named_pair.run([named_pair.PairAnswer(right=r, sureness=s) for r, s in one])
        for one in (answers, shuffled)
    ]
    assert ends[0].evidence[-1:] == pytest.approx(ends[1].evidence[-1:])
    assert ends[0].smaller[-1:] == pytest.approx(ends[1].smaller[-1:])


@given(st.integers(1, 30), st.integers(0, 30))
def test_looking_at_any_time_costs_width(asked, right):
    right = min(right, asked)
    wide, narrow = betting.share_any_time(right, asked), estimate.exact_share(right, asked)
    # Of one answer both are the same, but for the last digit.
    assert wide.low - 1e-12 <= narrow.low <= right / asked <= narrow.high <= wide.high + 1e-12


@given(SCORES)
def test_sign_flips_are_every_flip(scores):
    observed = sum(scores)
    flips = [
        sum(sign * abs(one) for sign, one in zip(signs, scores, strict=True))
        for signs in product((1, -1), repeat=len(scores))
    ]
    expected = sum(flip >= observed for flip in flips) / len(flips)
    assert graded.sign_flip_p(scores) == pytest.approx(expected)


@given(SCORES)
def test_over_all_labels_no_sealed_trial_alarms_more_often_than_it_says(scores):
    """Shuffled labels: over every sign the p is at or below 5 % at most 5 % of the time."""
    ps = [
        graded.sign_flip_p([sign * one for sign, one in zip(signs, scores, strict=True)])
        for signs in product((1, -1), repeat=min(len(scores), 6))
        if len(scores) <= 6
    ]
    assert not ps or np.mean(np.array(ps) <= 0.05) <= 0.05


@pytest.mark.parametrize(("tasters", "brews"), [(2, 3), (3, 3), (4, 3), (2, 4), (3, 4), (2, 5)])
def test_friedmans_law_is_every_order(tasters, brews):
    first = tuple(range(1, brews + 1))
    every = [(first, *rest) for rest in product(permutations(first), repeat=tasters - 1)]
    sums = np.array([np.sum(table, axis=0) for table in every])
    spread = np.sum((sums - sums.mean(axis=1, keepdims=True)) ** 2, axis=1)
    for at in range(0, len(every), max(1, len(every) // 7)):
        p, exact = ranking.friedman_p(every[at])
        assert exact
        assert p == pytest.approx(np.mean(spread >= spread[at] - 1e-9))


def test_ties_are_part_of_friedmans_exact_law():
    table = ((1, 2.5, 2.5), (1.5, 1.5, 3), (1, 2, 3))
    ways = list(product(*(sorted(set(permutations(row))) for row in table)))
    spread = np.array([np.sum((np.sum(way, axis=0) - 6.0) ** 2) for way in ways])
    observed = np.sum((np.sum(table, axis=0) - 6.0) ** 2)
    assert ranking.friedman_p(table)[0] == pytest.approx(np.mean(spread >= observed - 1e-9))


@pytest.mark.parametrize("table", [((1, 2, 3),), ((1, 1, 3), (1, 2, 3)), ((1, 2), (1, 2, 3))])
def test_what_is_no_ranking_is_refused(table):
    with pytest.raises(BadInput):
        ranking.friedman_p(table)


@pytest.mark.parametrize("brews", range(2, 9))
def test_williams_orders_are_balanced(brews):
    """Williams 1949: each brew at each place, and after each other brew, alike often."""
    rows = serving.williams(brews)
    assert len(rows) == (brews if brews % 2 == 0 else 2 * brews)
    places = np.array(
        [[sum(row[at] == one for row in rows) for at in range(brews)] for one in rows[0]]
    )
    assert len(set(places.ravel().tolist())) == 1
    after = [pair for row in rows for pair in pairwise(row)]
    counts = {pair: after.count(pair) for pair in permutations(range(brews), 2)}
    assert len(set(counts.values())) == 1


@pytest.mark.parametrize(("brews", "cups"), [(b, c) for b in range(3, 8) for c in range(2, b)])
def test_any_two_brews_meet_alike_often(brews, cups):
    blocks = serving.incomplete_blocks(brews, cups)
    meet = [sum({*pair} <= {*block} for block in blocks) for pair in combinations(range(brews), 2)]
    served = [sum(one in block for block in blocks) for one in range(brews)]
    assert len(set(meet)) == len(set(served)) == 1
    assert meet[0] > 0


@given(st.integers(0, 2**32), st.integers(1, 40))
@settings(max_examples=30)
def test_codes_are_different_and_say_nothing(seed, count):
    random = np.random.default_rng(seed)
    first = serving.codes(random, count)
    second = serving.codes(random, count, first)
    every = [*first, *second]
    assert len(set(every)) == 2 * count
    for code in every:
        digits = [int(one) for one in str(code)]
        assert len(digits) == len(set(digits)) == 3
        assert digits[-1] != 0
        assert code not in serving.KNOWN_NUMBERS
        assert {digits[1] - digits[0], digits[2] - digits[1]} not in ({1}, {-1})


def test_coins_are_fair_and_orders_of_cups_alike_likely():
    random = np.random.default_rng(3)
    assert np.mean([serving.coin(random) for _ in range(4000)]) == pytest.approx(0.5, abs=0.03)
    for order, ways in ((serving.grouping_order, 6), (serving.triangle_order, 6)):
        drawn = [order(random) for _ in range(3000)]
        shares = [drawn.count(one) / 3000 for one in set(drawn)]
        assert len(shares) == ways
        assert shares == pytest.approx([1 / ways] * ways, abs=0.03)


def test_more_codes_than_there_are_cannot_be_had():
    with pytest.raises(ValueError, match="codes asked for"):
        serving.codes(np.random.default_rng(1), 900)


def test_a_small_panel_is_refused_and_told_why():
    with pytest.raises(BadInput) as few:
        panel.fit_panel([3] * 5, [4] * 5, 0.5)
    assert few.value.code == "trial.panel_too_small"
    with pytest.raises(BadInput):
        panel.fit_panel([3] * 6, [4] * 5 + [3], 0.5)


@pytest.mark.parametrize("base", [0.0, 1 / 3])
def test_the_panels_law_sums_to_1(base):
    n, a, b = 9, 1.3, 2.2
    each = [panel.log_likelihood(np.array([k]), np.array([n]), base, a, b) for k in range(n + 1)]
    assert np.exp(each).sum() == pytest.approx(1.0)


def test_steps_of_a_grade_sum_to_1_and_mirror():
    limits = np.array([0.5, 1.5, 2.5])
    shares = ordered.step_shares(0.8, limits)
    assert shares.sum() == pytest.approx(1.0)
    assert shares == pytest.approx(ordered.step_shares(-0.8, limits)[::-1])


def test_graded_answers_of_one_size_are_right_and_wrong_answers():
    fit = ordered.fit_ordered([2] * 10 + [-2] * 5)
    assert fit.dprime == pytest.approx(dprime_of(Protocol.PAIR, 10 / 15), abs=1e-6)
    within = estimate.likelihood_share(10, 15)
    assert fit.within.high == pytest.approx(dprime_of(Protocol.PAIR, within.high), abs=1e-5)


def test_likings_without_ties_are_bradley_and_terrys_and_a_prior_holds_the_undefeated():
    wins = np.array([[0, 3, 2], [1, 0, 2], [0, 0, 0]], dtype=float)
    found = pairs_among_many.abilities(wins)
    assert np.all(np.isfinite(found.abilities))
    assert np.all(np.diff(found.abilities) < 0)
    assert 0.5 < found.better_share(0, 2) < 1.0
    assert found.better_share(0, 2) + found.better_share(2, 0) == pytest.approx(1.0)
    with pytest.raises(ValueError, match="won and lost"):
        pairs_among_many.abilities(wins, prior_sd=None)


def test_serving_first_and_ties_are_kept_apart_from_liking():
    """Ties as likely as wins between equals, and the first cup liked three times in four."""
    first = np.array([[0.0, 30.0], [30.0, 0.0]])
    second = np.array([[0.0, 10.0], [10.0, 0.0]])
    ties = np.array([[0.0, 17.0], [17.0, 0.0]])
    found = pairs_among_many.abilities(np.stack([first, second]), ties, prior_sd=10.0)
    assert found.abilities == pytest.approx([0.0, 0.0], abs=1e-4)
    assert found.first == pytest.approx(np.log(3), abs=0.02)
    assert found.tie == pytest.approx(17 / np.sqrt(300), abs=0.02)


def test_durbins_exact_law_is_every_order_of_every_sitting():
    blocks = ((0, 1), (0, 2), (1, 2))
    agreed = ((1, 2), (1, 2), (1, 2))
    # Of the 8 ways, the 6 in which one brew always wins and one always loses spread most.
    assert ranking.durbin_exact_p(blocks, agreed) == pytest.approx(6 / 8)
    assert ranking.durbin_exact_p(((0, 1, 2, 3),) * 5, ((1, 2, 3, 4),) * 5) is None
    assert factorial(4) ** 5 > ranking.MOST_ORDERS
