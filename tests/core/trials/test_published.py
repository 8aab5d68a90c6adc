"""Published values, each row of `published.csv` beside its source, against what we compute.

SEEN: read in the source, or printed by the package named. SECONDARY: read where it is cited.
DERIVED: enumerated, integrated or simulated for the table. Rows of ratings on scales (agreement of
panels by intraclass correlation, cumulative models) are of no kind of trial here: `OUTSIDE`.
"""

import csv
import re
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from itertools import pairwise, permutations, product
from math import comb
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from halfclick.model.trial_kinds import Finding, Sureness
from halfclick.trials import (
    betting,
    estimate,
    graded,
    named_pair,
    named_pair_power,
    ordered,
    pairs_among_many,
    panel,
    power,
    ranking,
    sequential,
    serving,
    single_cups,
)
from halfclick.trials.psychometric import (
    GUESSED,
    Protocol,
    dprime_of,
    right_of_discriminators,
    share_right,
    slope,
)

PROTOCOLS = {
    "triangle": Protocol.TRIANGLE,
    "duo-trio": Protocol.DUO_TRIO,
    "2-AFC": Protocol.PAIR,
    "3-AFC": Protocol.THREE_CHOICE,
    "tetrad": Protocol.GROUPING,
}
OUTSIDE = {
    "T098": "agreement of ratings on a scale, which no trial here uses",
    "T100": "agreement of ratings on a scale, which no trial here uses",
    "T101": "agreement of ratings on a scale, which no trial here uses",
    "T103": "a cumulative model of ratings on a scale, which no trial here uses",
    "T104": "a cumulative model of ratings on a scale, which no trial here uses",
}
# sensR reads the limit off a spline of the profile: at its value the loss is 3.84110, while chi
# squared's 95 % is 3.84146 (both with 30 digits). So this row holds to what a spline can give.
OFF_BY_SPLINE = {"T052": 5e-5}


@cache
def rows() -> dict[str, dict[str, str]]:
    with (Path(__file__).parent / "published.csv").open(encoding="utf-8", newline="") as stream:
        return {row["id"]: row for row in csv.DictReader(stream)}


def given(row: dict[str, str]) -> dict[str, float]:
    """Return the named numbers of a row's inputs; 10/20 is two numbers and stays out."""
    pairs = re.findall(r"([A-Za-z0-9]+)=([\d./+e-]+)(?![\d/])", row["inputs"])
    return {
        name: float(Fraction(value)) for name, value in pairs if re.fullmatch(r"[\d./]+", value)
    }


def protocol_of(row: dict[str, str]) -> Protocol:
    text = f"{row['quantity']} {row['inputs']}"
    return next(one for name, one in PROTOCOLS.items() if name in text)


def share_of(row: dict[str, str]) -> float:
    text = re.search(r"pc=([^;]+)", row["inputs"])
    assert text is not None
    first, _, more = text[1].partition("+")
    return float(Fraction(first)) + (float(more) if more else 0.0)


def whole(row: dict[str, str]) -> tuple[int, int]:
    numbers = given(row)
    return int(numbers["correct"]), int(numbers["n"])


def critical(row: dict[str, str]) -> float:
    numbers = given(row)
    guessed = GUESSED[protocol_of(row)]
    return float(power.critical_right(int(numbers["n"]), guessed, numbers["alpha"]))


def psychometric(row: dict[str, str]) -> float:
    protocol = protocol_of(row)
    if "inverse" in row["quantity"]:
        return dprime_of(protocol, share_of(row))
    law = slope if "derivative" in row["quantity"] else share_right
    return float(law(protocol, given(row)["dprime"]))


def dprime(row: dict[str, str]) -> float:
    if "pc=" in row["inputs"]:
        return dprime_of(protocol_of(row), share_of(row))
    found = estimate.estimate(protocol_of(row), *whole(row))
    return found.dprime_sd if "SE" in row["quantity"] else found.dprime


def interval_end(row: dict[str, str]) -> float:
    quantity, protocol = row["quantity"], protocol_of(row)
    right, asked = whole(row)
    if "score" in quantity:
        # The score interval with correction is scipy's; we print exact ones.
        found = stats.binomtest(right, asked).proportion_ci(0.95, "wilsoncc")
        return float(found.low if "lower" in quantity else found.high)
    law = estimate.exact_share if "exact" in quantity else estimate.likelihood_share
    within = estimate.dprime_interval(protocol, law(right, asked))
    return within.low if "lower" in quantity else within.high


def similarity(row: dict[str, str]) -> float:
    limit = right_of_discriminators(Protocol.TRIANGLE, 0.2)
    return estimate.similarity_p(*whole(row), limit)


def exact_power(row: dict[str, str]) -> float:
    numbers = given(row)
    if "similarity" in row["quantity"]:
        true, limit = (
            right_of_discriminators(Protocol.TRIANGLE, numbers[name]) for name in ("pdA", "pd0")
        )
        return float(power.similarity_power(true, limit, int(numbers["n"]), numbers["alpha"]))
    found = power.power(protocol_of(row), numbers["dprime"], int(numbers["n"]), numbers["alpha"])
    return float(found)


def size(row: dict[str, str]) -> float | None:
    numbers = given(row)
    wanted = numbers["power"]
    if "pd" in numbers:
        share = numbers["pg"] + numbers["pd"] * (1 - numbers["pg"])
        return power.stable_size_of_share(share, numbers["pg"], wanted)
    law = power.stable_size if "stable" in row["quantity"] else power.first_size
    return law(protocol_of(row), numbers["dprime"], wanted)


def spread_factor(row: dict[str, str]) -> float:
    return estimate.spread_factor(protocol_of(row), given(row)["dprime"])


def single(row: dict[str, str]) -> float:
    found = single_cups.single_cups(10, 20, 3, 20)
    return found.dprime_sd if "SE" in row["quantity"] else found.p


def same_different(row: dict[str, str]) -> float:
    found = single_cups.same_different(8, 5, 4, 9)
    return found.limit if "tau" in row["quantity"] else found.dprime


def two_choices(row: dict[str, str]) -> float:
    found = ordered.fit_ordered([-1] * 2 + [0] * 2 + [1] * 6)
    return found.within.high if "upper" in row["quantity"] else found.p


FIRST_PANEL = (0, 2, 3, 3, 3, 3, 3, 4, 4, 4, 4, 4, 5, 5, 5, 6, 6, 6, 7, 7, 7, 8, 9, 9)
SECOND_PANEL = (2, 2, 3, 4, 5, 5, 5, 5, 6, 6, 6, 7, 7, 7, 7, 7, 7, 8, 8, 8, 9, 11, 12)


@cache
def fitted(counts: tuple[int, ...], corrected: bool) -> panel.PanelFit:
    return panel.fit_panel(counts, [12] * len(counts), 1 / 3, corrected=corrected)


def beta_binomial(row: dict[str, str]) -> float:
    """Data sets 1 and 2 of Brockhoff 2003, as the tests of sensR give them."""
    if "data set 1" in row["inputs"]:
        found = fitted(FIRST_PANEL, True)
        return found.log_ratio if "G2" in row["quantity"] else found.spread
    # sensR prints the whole tail; no spread is the edge, so ours is the half.
    if "overdispersion p" in row["quantity"]:
        return 2 * fitted(SECOND_PANEL, True).p_alike
    return fitted(SECOND_PANEL, False).spread


def any_difference(row: dict[str, str]) -> float:
    """The four tests of sensR's help page of dprime_compare."""
    protocols = (Protocol.TRIANGLE, Protocol.DUO_TRIO, Protocol.THREE_CHOICE, Protocol.PAIR)
    return estimate.alike(protocols, (25, 25, 30, 35), (40,) * 4).chi2


def wald(row: dict[str, str]) -> float | str:
    if "state" in row["quantity"]:
        # Which of the 30 were right is not printed; 19 of them, never far from chance.
        right = [at % 3 != 0 for at in range(28)] + [True, False]
        assert sum(right) == 19
        found = sequential.run_sequential(right, 0.5, 0.7, 0.1, 0.1)
        return "undecided" if found.finding is Finding.NOT_SETTLED else "decided"
    if "threshold" in row["quantity"]:
        return sequential.thresholds(0.05, 0.10)[1]
    right = [one == "1" for one in re.findall(r"\b[01]\b", row["inputs"])]
    found = sequential.run_sequential(right, 0.5, 0.7, 0.1, 0.1)
    assert found.finding is Finding.SMALLER
    return float(found.at or 0)


# Times round first base of 22 players by three ways, as R's help of friedman.test prints them.
ROUND_FIRST = (
    "5.40 5.50 5.55 5.85 5.70 5.75 5.20 5.60 5.50 5.55 5.50 5.40 5.90 5.85 5.70 5.45 5.55 5.60 "
    "5.40 5.40 5.35 5.45 5.50 5.35 5.25 5.15 5.00 5.85 5.80 5.70 5.25 5.20 5.10 5.65 5.55 5.45 "
    "5.60 5.35 5.45 5.05 5.00 4.95 5.50 5.50 5.40 5.45 5.55 5.50 5.55 5.55 5.35 5.45 5.50 5.55 "
    "5.50 5.45 5.25 5.65 5.60 5.40 5.70 5.65 5.55 6.30 6.30 6.25"
)
# Ratings of ten by three, as the help of scipy's page_trend_test prints them.
PAGE_DATA = ((3, 4, 3), (2, 2, 4), (3, 3, 5), (1, 3, 2), (2, 3, 2), (2, 4, 5), (1, 2, 4), (3, 4, 4),
             (2, 4, 5), (1, 3, 4))  # fmt: skip


def ranked(row: dict[str, str]) -> float:
    quantity, numbers = row["quantity"], given(row)
    if quantity.startswith("Durbin"):
        varieties, ranks = (
            np.array(re.findall(r"\d", part)[-21:], dtype=int).reshape(7, 3).tolist()
            for part in row["inputs"].split("ranks")
        )
        return ranking.durbin(varieties, ranks)[0]
    if "no ties" in quantity:
        return ranking.friedman_of_sums((17, 31, 32, 23, 17), 8)
    if "chi2" in quantity:
        times = np.array(ROUND_FIRST.split(), dtype=float).reshape(22, 3)
        return ranking.friedman(stats.rankdata(times, axis=1).tolist())
    if "Page" in quantity:
        return ranking.page(stats.rankdata(PAGE_DATA, axis=1).tolist(), (1, 2, 3))[0]
    tasters, brews = int(numbers["assessors"]), int(numbers["samples"])
    if "perfect" in quantity:
        return ranking.friedman_p([list(range(1, brews + 1))] * tasters)[0]
    return exact_friedman(tasters, brews, critical="critical" in quantity)


def every_order(tasters: int, brews: int) -> list[tuple[tuple[int, ...], ...]]:
    """Return every way that tasters can rank brews without ties."""
    return list(product(permutations(range(1, brews + 1)), repeat=tasters))


def exact_friedman(tasters: int, brews: int, *, critical: bool) -> float:
    """Return the 5 % limit of F, or the p of F = 7, over all sums of ranks."""
    first = ((1, 2, 3),)
    found: dict[float, float] = {}
    for one in every_order(tasters - 1, brews):
        table = first + one
        key = tuple(sorted(map(sum, zip(*table, strict=True))))
        found.setdefault(round(ranking.friedman_of_sums(key, tasters), 9), 0.0)
        found[round(ranking.friedman_of_sums(key, tasters), 9)] += 1.0
    whole_count = sum(found.values())
    tail = {f: sum(n for g, n in found.items() if g >= f) / whole_count for f in found}
    if critical:
        return min(f for f, p in tail.items() if p <= 0.05)
    table = [(1, 2, 3)] * 3 + [(1, 2, 3), (2, 1, 3), (3, 1, 2)]
    if round(ranking.friedman(table), 9) != 7.0:
        table = next(
            list(first + one)
            for one in every_order(tasters - 1, brews)
            if round(ranking.friedman(first + one), 9) == 7.0
        )
    assert ranking.friedman_p(table)[0] == pytest.approx(tail[7.0])
    return tail[7.0]


def citations(row: dict[str, str]) -> float:
    table = re.findall(r"(\d+ \d+ \d+ \d+)", row["inputs"])
    wins = np.array([line.split() for line in table], dtype=float)
    np.fill_diagonal(wins, 0.0)
    found = pairs_among_many.abilities(wins, prior_sd=None)
    against = {"Comm Statist": 1, "JASA": 2}
    which = next(at for name, at in against.items() if name in row["quantity"])
    return float(found.abilities[which] - found.abilities[0])


def peeking(row: dict[str, str]) -> float:
    """Return how often a plain exact test is at 5 % at some look; over all paths, by counts."""
    guessed = GUESSED[protocol_of(row)]
    return stopped(int(given(row)["trials"]), guessed, lambda k, n: naive(k, n, guessed))


def naive(right: int, asked: int, guessed: float) -> bool:
    return estimate.difference_p(right, asked, guessed) <= 0.05


def stopped(most: int, share: float, stops: Callable[[int, int], bool]) -> float:
    """Return the chance that a rule of counts stops within `most` answers."""
    going, done = {0: 1.0}, 0.0
    for asked in range(1, most + 1):
        ahead: dict[int, float] = {}
        for right, mass in going.items():
            for more, chance in ((1, share), (0, 1 - share)):
                if stops(right + more, asked):
                    done += mass * chance
                else:
                    ahead[right + more] = ahead.get(right + more, 0.0) + mass * chance
        going = ahead
    return done


def evidence(row: dict[str, str]) -> float:
    if "sureness" in row["quantity"]:
        sure, lean, guess = Sureness.SURE, Sureness.LEANING, Sureness.GUESS
        answers = [(True, sure), (True, sure), (False, lean), (True, guess)]
        run = named_pair.run(
            [named_pair.PairAnswer(right=right, sureness=said) for right, said in answers]
        )
        return run.sureness[-1]
    right, asked = whole(row)
    path = betting.likelihood_ratio_path(np.ones(asked), named_pair.COUNTED, 0.5)
    assert right == asked
    return float(path[-1])


def counts_shown(row: dict[str, str]) -> float:
    share = float(share_right(Protocol.PAIR, given(row)["dprime"]))
    return stopped(12, share, lambda k, n: 1.7**k * 0.3 ** (n - k) >= 20)


def committed(row: dict[str, str]) -> float:
    """The table committed to before: 7/7, 7/8, 8/9, 9/10, 9/11, 10/12."""
    share = float(share_right(Protocol.PAIR, given(row)["dprime"]))
    needed = {7: 7, 8: 7, 9: 8, 10: 9, 11: 9, 12: 10}
    return stopped(12, share, lambda k, n: n in needed and k >= needed[n])


def simulated(row: dict[str, str]) -> float:
    taster = named_pair_power.Taster(dprime=given(row)["dprime"])
    alone = "sureness rule" in row["quantity"]
    random = np.random.default_rng(7)
    return named_pair_power.course(random, taster, 12, runs=60_000, sureness_alone=alone).shown


def smaller_by_counts(row: dict[str, str]) -> float:
    """Return how often the bet on "smaller" gets there first; both rules by counts alone."""
    bound = float(share_right(Protocol.PAIR, 1.5))
    total = 0.0
    going = {0: 1.0}
    for asked in range(1, 13):
        ahead: dict[int, float] = {}
        for right, mass in going.items():
            for k in (right, right + 1):
                n = asked
                if 1.7**k * 0.3 ** (n - k) >= 20:
                    continue
                if (0.5 / bound) ** k * (0.5 / (1 - bound)) ** (n - k) >= 20:
                    total += mass / 2
                    continue
                ahead[k] = ahead.get(k, 0.0) + mass / 2
        going = ahead
    return total


def any_time(row: dict[str, str]) -> float:
    return betting.share_any_time(*whole(row)).high


def largest(row: dict[str, str]) -> float:
    return estimate.largest_dprime(Protocol.PAIR, *whole(row))


def tea(row: dict[str, str]) -> float:
    return single_cups.known_split_p(3 if row["quantity"].startswith("3") else 4, 4)


def exact_p(row: dict[str, str]) -> float:
    if row["id"] == "T112":
        return estimate.difference_p(11, 17, 1 / 3)
    return estimate.difference_p(*whole(row), 1 / 3)


def signed_ranks(row: dict[str, str]) -> float:
    """Return the least sum of positive ranks of 12 that is at 5 %, one-sided."""
    law = graded.sign_flip_law(range(1, 13))
    tail = np.cumsum(law[::-1])[::-1]
    return float(np.flatnonzero(tail <= 0.05)[0])


def counting_taster(row: dict[str, str]) -> float:
    """Return how often a taster who counts names 10 of 12, six each side and told after each.

    They name the side of which more are left; of all 924 orders.
    """
    chance = {(6, 6, 0): 1.0}
    for _ in range(12):
        ahead: dict[tuple[int, int, int], float] = {}
        for (first, second, right), mass in chance.items():
            left = first + second
            for took, share, state in (
                (0, first / left, (first - 1, second)),
                (1, second / left, (first, second - 1)),
            ):
                if not share:
                    continue
                hit = 0.5 if first == second else float((first > second) == (took == 0))
                for gain, odds in ((1, hit), (0, 1 - hit)):
                    key = (*state, right + gain)
                    ahead[key] = ahead.get(key, 0.0) + mass * share * odds
        chance = ahead
    return sum(mass for (_, _, right), mass in chance.items() if right >= 10)


def orders(row: dict[str, str]) -> float:
    return float(len(serving.williams(4)))


BY = [
    ("critical correct", critical),
    ("critical agree", critical),
    ("psychometric", psychometric),
    ("CI", interval_end),
    ("exact one-sided p", exact_p),
    ("P(X>10|17)", exact_p),
    ("similarity power", exact_power),
    ("similarity p", similarity),
    ("A-not-A", single),
    ("same-different", same_different),
    ("high precision", dprime),
    ("just above chance", dprime),
    ("variance factor", spread_factor),
    ("one-sided 95% upper dprime", largest),
    ("dprime estimate", dprime),
    ("dprime SE", dprime),
    ("sample size", size),
    ("power", exact_power),
    ("2-AC", two_choices),
    ("beta-binomial", beta_binomial),
    ("any-difference", any_difference),
    ("SPRT", wald),
    ("Friedman", ranked),
    ("Page", ranked),
    ("Durbin", ranked),
    ("Bradley-Terry", citations),
    ("4+4 known split", tea),
    ("naive binomial", peeking),
    ("e-value", evidence),
    ("count rule p1=.85", counts_shown),
    ("committed", committed),
    ("S>=20", smaller_by_counts),
    ("sureness rule, taster", simulated),
    ("average of sureness", simulated),
    ("anytime", any_time),
    ("Williams", orders),
    ("signed-rank", signed_ranks),
    ("no-ability counter", counting_taster),
]


def computed(row: dict[str, str]) -> float | str | None:
    quantity = row["quantity"]
    if quantity.startswith("2-AC "):
        return two_choices(row)
    return next(law for name, law in BY if name in quantity)(row)


@pytest.mark.parametrize("number", [one for one in rows() if one not in OUTSIDE])
def test_a_published_value(number):
    row = rows()[number]
    found = computed(row)
    if isinstance(found, str):
        assert found == row["expected"]
        return
    off = OFF_BY_SPLINE.get(number, float(row["tolerance"]))
    assert found == pytest.approx(float(row["expected"]), abs=max(off, 1e-12), rel=0), row["source"]


def test_every_row_is_tried_or_named_as_outside():
    assert set(OUTSIDE) <= set(rows())
    assert len(rows()) - len(OUTSIDE) >= 100


def test_the_split_of_eight_cups_is_all_ways_of_choosing():
    """All 70 ways, against the law of `single_cups`."""
    hits = [len({0, 1, 2, 3} & set(way)) for way in product(range(8), repeat=4) if _rises(way)]
    assert len(hits) == comb(8, 4)
    assert sum(hit >= 3 for hit in hits) / 70 == pytest.approx(single_cups.known_split_p(3, 4))


def _rises(way: tuple[int, ...]) -> bool:
    return all(one < other for one, other in pairwise(way))
