"""What each complaint, and every pair of them, leads to on each side of the clock."""

import pytest

from halfclick.model.advice import Outcome
from halfclick.model.kit import DripperShape
from halfclick.model.recipe import even_pours
from halfclick.model.tasting import Marks, Verdict
from halfclick.taste.rules import ClockPlace, Felt

FAST, INSIDE, SLOW = ClockPlace.FAST, ClockPlace.INSIDE, ClockPlace.SLOW
UNKNOWN = ClockPlace.UNKNOWN
SMALL_BLOOM = even_pours(15.0, 240.0, count=2, bloom_multiple=2.0)


@pytest.mark.parametrize(
    ("faults", "clock", "change"),
    [
        # Common practice, no source: taste and clock agree, so the grind.
        (("sour",), FAST, ("grind", -2)),
        (("bitter",), SLOW, ("grind", 2)),
        (("harsh",), SLOW, ("grind", 2)),
        (("sour", "thin"), FAST, ("grind", -2)),
        (("bitter", "harsh"), SLOW, ("grind", 2)),
        (("thin", "harsh"), SLOW, ("grind", 2)),
        # They disagree, so not the grind.
        (("sour",), SLOW, ("temperature", 3)),
        (("sour", "thin"), SLOW, ("temperature", 3)),
        (("sour", "harsh"), SLOW, ("temperature", 3)),
        (("harsh",), FAST, ("pours", -1)),
        (("bitter", "harsh"), FAST, ("pours", -1)),
        (("sour", "harsh"), FAST, ("pours", -1)),
        (("thin", "harsh"), FAST, ("pours", -1)),
        (("bitter",), FAST, ("temperature", -3)),
        # The named exception: thin, sour and dry together.
        (("thin", "sour", "harsh"), FAST, ("grind", -2)),
        (("thin", "sour", "harsh"), SLOW, ("grind", -2)),
        # Without a band, or inside it, the marks alone decide.
        (("sour",), UNKNOWN, ("grind", -2)),
        (("sour",), INSIDE, ("grind", -2)),
        (("sour", "thin"), UNKNOWN, ("grind", -2)),
        (("sour", "harsh"), UNKNOWN, ("temperature", 3)),
        (("bitter",), UNKNOWN, ("grind", 2)),
        (("bitter", "harsh"), UNKNOWN, ("grind", 2)),
        (("harsh",), UNKNOWN, ("pour_rate", -2)),
        (("thin", "harsh"), UNKNOWN, ("pours", -1)),
        # A strength complaint moves ratio only, whatever the clock.
        (("thin",), UNKNOWN, ("ratio", -2)),
        (("thin",), FAST, ("ratio", -2)),
        (("thin",), SLOW, ("ratio", -2)),
    ],
)
def test_a_complaint_moves_one_lever(bench, faults, clock, change):
    advice = bench.advice(*faults, clock=clock)
    assert advice.outcome is Outcome.CHANGE
    assert [(one.lever.value, one.amount) for one in advice.changes] == [change]


@pytest.mark.parametrize("clock", ClockPlace)
@pytest.mark.parametrize("faults", [("sour", "bitter"), ("bitter", "thin")])
def test_sour_or_thin_with_bitter_repeats_with_even_wetting(bench, faults, clock):
    advice = bench.advice(*faults, clock=clock, recipe=bench.recipe(pours=SMALL_BLOOM))
    assert advice.outcome is Outcome.REPEAT
    assert [one.lever.value for one in advice.changes] == ["bloom"]
    assert (advice.recipe.bloom_g, advice.recipe.stir_bloom) == (45.0, True)
    assert advice.recipe.setting == bench.setting(18)


def test_sour_and_bitter_wetted_evenly_already_asks_for_gentler_pours(bench):
    even = bench.recipe(stir_bloom=True)
    advice = bench.advice("sour", "bitter", recipe=even)
    assert [one.lever.value for one in advice.changes] == ["pour_rate"]


@pytest.mark.parametrize("faults", [("sour", "bitter"), ("sour",), ("bitter",)])
def test_a_strong_cup_is_diluted_before_anything_else(bench, faults, words):
    # Frost, Ristenpart & Guinard (2020): strength raises bitter; Cotter, Ristenpart & Guinard
    # (2023), open data: and sour.
    advice = bench.advice(*faults, felt=Felt.STRONG, clock=FAST)
    assert [(one.lever.value, one.amount) for one in advice.changes] == [("ratio", 2)]
    said = words.sentences(advice.this_cup).replace("\N{NO-BREAK SPACE}", " ")
    assert "10 g to 20 g" in said


@pytest.mark.parametrize(("felt", "amount"), [(Felt.WEAK, -2.0), (Felt.STRONG, 2.0)])
@pytest.mark.parametrize("clock", ClockPlace)
def test_strength_without_a_fault_moves_ratio_only(bench, felt, amount, clock):
    advice = bench.advice(felt=felt, clock=clock)
    assert [(one.lever.value, one.amount) for one in advice.changes] == [("ratio", amount)]


def test_weak_and_sour_is_ground_finer_first(bench):
    advice = bench.advice("sour", felt=Felt.WEAK)
    assert [one.lever.value for one in advice.changes] == ["grind"]


def test_thin_and_strong_contradict_so_more_is_asked(bench, words):
    advice = bench.advice("thin", felt=Felt.STRONG)
    assert advice.outcome is Outcome.NOTHING
    assert words.sentences(advice.why)


def test_a_stall_takes_a_pour_away_first(bench):
    advice = bench.advice("bitter", clock=SLOW, stalled=True)
    assert [(one.lever.value, one.amount) for one in advice.changes] == [("pours", -1)]
    assert advice.runner_up is not None
    assert [one.lever.value for one in advice.runner_up.changes] == ["grind"]


def test_a_stall_that_tastes_good_is_no_fault(bench):
    assert bench.advice(stalled=True, verdict=Verdict.KEEP).outcome is Outcome.CONFIRM


@pytest.mark.parametrize(("clock", "change"), [(SLOW, ("pours", -1)), (FAST, ("grind", -2))])
def test_the_clock_alone_counts_where_a_change_is_wanted(bench, clock, change):
    advice = bench.advice(clock=clock, verdict=Verdict.CHANGE)
    assert [(one.lever.value, one.amount) for one in advice.changes] == [change]


def test_sweet_and_dry_is_ground_coarser(bench):
    advice = bench.advice("harsh", "sweet", clock=INSIDE)
    assert [(one.lever.value, one.amount) for one in advice.changes] == [("grind", 2)]


@pytest.mark.parametrize("fault", ["sour", "bitter"])
def test_a_long_steep_moves_by_ratio(bench, fault):
    # Liang, Chan & Ristenpart (2021): near balance strength goes as one over the ratio.
    limits = bench.limits(shape=DripperShape.IMMERSION)
    advice = bench.advice(fault, shape=DripperShape.IMMERSION, limits=limits)
    assert [one.lever.value for one in advice.changes] == ["ratio"]


def test_a_tick_counts_and_a_trace_does_not(bench):
    assert bench.advice(marks=Marks(sour=5.0)).outcome is Outcome.CHANGE
    assert bench.advice(marks=Marks(sour=4.0)).outcome is not Outcome.CHANGE


def test_two_above_the_persons_own_usual_counts(bench):
    usual = {bench.faults[0]: 1.0}
    assert bench.advice(marks=Marks(sour=3.0), usual=usual).outcome is Outcome.CHANGE
    assert bench.advice(marks=Marks(sour=2.5), usual=usual).outcome is not Outcome.CHANGE
