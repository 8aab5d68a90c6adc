"""The laws of the advice: what binds every one, whatever the cup."""

from dataclasses import replace
from itertools import combinations

import pytest

from halfclick.model.advice import Evidence, Noticed, Outcome
from halfclick.model.changes import is_one_idea
from halfclick.model.recipe import Change, Lever, even_pours
from halfclick.model.tasting import Marks, Verdict
from halfclick.taste.fitting import fits
from halfclick.taste.rules import FAULTS, ClockPlace, Felt
from halfclick.wording import Message

FAST, SLOW = ClockPlace.FAST, ClockPlace.SLOW
EVERY_SET = [set(some) for size in range(5) for some in combinations(FAULTS, size)]


# A departed cup is repeated.


@pytest.mark.parametrize("verdict", [None, *Verdict])
def test_a_cup_that_was_not_its_plan_is_repeated(bench, verdict):
    over = (Message("departed.water", {"water_g": 271.0, "planned_g": 256.0}),)
    advice = bench.advice("sour", clock=FAST, departures=over, verdict=verdict)
    assert (advice.outcome, advice.changes) == (Outcome.REPEAT, ())
    assert advice.recipe == bench.recipe()
    assert advice.spoke_for == over


@pytest.mark.parametrize("faults", EVERY_SET)
@pytest.mark.parametrize("clock", ClockPlace)
def test_a_corrected_cup_never_moves_the_grind(bench, faults, clock):
    advice = bench.advice(*faults, clock=clock, slipped=True, weight=0.7)
    assert all(change.lever is not Lever.GRIND for change in advice.changes)
    if advice.runner_up is not None and advice.rule == "slipped":
        assert all(change.lever is not Lever.GRIND for change in advice.runner_up.changes)


def test_a_corrected_cup_that_asks_for_the_grind_is_repeated(bench, words):
    advice = bench.advice("sour", clock=FAST, slipped=True, weight=0.7)
    assert (advice.outcome, advice.rule) == (Outcome.REPEAT, "slipped")
    assert "70" in words.sentences(advice.spoke_against)


def test_a_corrected_cup_still_counts_for_strength(bench):
    advice = bench.advice(felt=Felt.WEAK, slipped=True, weight=0.7)
    assert [change.lever for change in advice.changes] == [Lever.RATIO]


# What tastes good is held.


@pytest.mark.parametrize("clock", ClockPlace)
@pytest.mark.parametrize("stalled", [False, True])
@pytest.mark.parametrize("good_before", [False, True])
def test_a_kept_cup_is_held_whatever_the_clock_says(bench, clock, stalled, good_before):
    advice = bench.advice(
        "sour", clock=clock, stalled=stalled, verdict=Verdict.KEEP, good_before=good_before
    )
    assert advice.outcome is (Outcome.HOLD if good_before else Outcome.CONFIRM)
    assert (advice.changes, advice.recipe) == ((), bench.recipe())


@pytest.mark.parametrize("clock", ClockPlace)
def test_a_well_liked_cup_without_a_fault_is_held(bench, clock):
    assert bench.advice(clock=clock, liking=7.0).outcome is Outcome.CONFIRM


def test_a_well_liked_cup_with_a_fault_is_not_held(bench):
    assert bench.advice("sour", liking=7.0).outcome is Outcome.CHANGE


def test_a_well_liked_cup_that_is_to_change_is_not_held(bench):
    advice = bench.advice(liking=8.0, verdict=Verdict.CHANGE)
    assert advice.outcome is Outcome.NOTHING


def test_a_first_good_cup_asks_for_a_second(bench, words):
    advice = bench.advice(liking=8.0)
    assert "once more" in words.sentences(advice.why)


# Nothing said, nothing advised.


@pytest.mark.parametrize("clock", ClockPlace)
def test_nothing_said_is_nothing_advised_and_asks(bench, clock, words):
    advice = bench.advice(clock=clock, marks=Marks())
    assert (advice.outcome, advice.changes) == (Outcome.NOTHING, ())
    assert "Mark what is there" in words.sentences(advice.why)


def test_marks_without_a_fault_are_no_reason_to_change(bench):
    advice = bench.advice(clock=SLOW, marks=Marks(sour=2.0, bitter=4.0), felt=Felt.RIGHT)
    assert (advice.outcome, advice.rule) == (Outcome.CONFIRM, "no_fault")


def test_marks_without_a_fault_but_strong_move_the_ratio(bench):
    advice = bench.advice(marks=Marks(sour=2.0, bitter=4.0), felt=Felt.STRONG)
    assert [change.lever for change in advice.changes] == [Lever.RATIO]


# Taste and clock.


@pytest.mark.parametrize("faults", EVERY_SET)
@pytest.mark.parametrize("clock", [FAST, SLOW])
@pytest.mark.parametrize("felt", Felt)
def test_agreeing_taste_and_clock_move_the_grind_or_the_rule_names_its_exception(
    bench, faults, clock, felt
):
    case = bench.case(*faults, clock=clock, felt=felt)
    first = next((rule for rule in bench.rules if fits(rule, case)), None)
    agree = ("sour" in faults and clock is FAST) or (
        bool(faults & {"bitter", "harsh"}) and clock is SLOW
    )
    if agree:
        assert first is not None
        assert Lever.GRIND in first.levers or first.exception is not None, first.id


@pytest.mark.parametrize("faults", EVERY_SET)
@pytest.mark.parametrize("felt", Felt)
def test_disagreeing_taste_and_clock_leave_the_grind_or_the_rule_names_its_exception(
    bench, faults, felt
):
    for clock, fault in ((SLOW, "sour"), (FAST, "harsh"), (FAST, "bitter")):
        if fault not in faults:
            continue
        case = bench.case(*faults, clock=clock, felt=felt)
        first = next((rule for rule in bench.rules if fits(rule, case)), None)
        agrees = ("sour" in faults and clock is FAST) or (
            bool(faults & {"bitter", "harsh"}) and clock is SLOW
        )
        if first is not None and not agrees:
            assert Lever.GRIND not in first.levers or first.exception is not None, first.id


@pytest.mark.parametrize("faults", [some for some in EVERY_SET if some])
@pytest.mark.parametrize("clock", ClockPlace)
def test_every_set_of_faults_has_an_advice(bench, faults, clock, words):
    advice = bench.advice(*faults, clock=clock)
    assert advice.outcome in {Outcome.CHANGE, Outcome.REPEAT}
    assert is_one_idea(advice.changes)
    assert len(advice.changes) == 1
    assert advice.mind_changer is not None
    for said in (advice.why, advice.expect, advice.spoke_for, (advice.mind_changer,)):
        assert words.sentences(said)


def test_without_an_own_band_the_advice_says_so(bench, words):
    against = bench.advice("sour", drained_s=128.0).spoke_against
    assert "no drained time of your own" in words.sentences(against)


def test_without_a_drained_time_the_advice_says_so(bench, words):
    assert "No drained time" in words.sentences(bench.advice("sour").spoke_against)


# Lab and trade.


def test_sour_and_fast_says_what_the_trade_and_what_the_lab_found(bench, words):
    # Cotter, Ristenpart & Guinard (2023), open data: sour rises with strength, and finer at a
    # fixed ratio raises strength.
    advice = bench.advice("sour", "thin", clock=FAST)
    assert advice.evidence is Evidence.CONSENSUS
    assert advice.contested is not None
    assert "finer at the same ratio also made the cup stronger" in words.sentence(advice.contested)
    assert any("Cotter" in source for source in advice.sources)


def test_cooler_water_says_that_a_panel_tasted_no_difference(bench, words):
    # Batali, Ristenpart & Guinard (2020), Sci. Rep. 10: 87 to 93 C.
    advice = bench.advice("bitter", clock=FAST)
    assert advice.contested is not None
    assert "87\N{NO-BREAK SPACE}°C and 93" in words.sentence(advice.contested)


# Noticed, and half steps.


def test_a_shorter_ratio_is_reckoned_noticeable(bench, words):
    # By hand at 20 %: 0.2 / (14 - 2.1) - 0.2 / (16 - 2.1) = 0.24 %, the threshold of Frost,
    # Ristenpart & Guinard (2019).
    advice = bench.advice(felt=Felt.WEAK)
    assert advice.noticed is Noticed.LIKELY
    assert "About 0.24\N{NO-BREAK SPACE}% stronger" in words.sentences(advice.expect)


def test_a_longer_ratio_is_reckoned_hard_to_notice(bench, words):
    # By hand at 20 %: 0.2 / (16 - 2.1) - 0.2 / (18 - 2.1) = 0.18 %.
    advice = bench.advice(felt=Felt.STRONG)
    assert advice.noticed is Noticed.UNLIKELY
    assert "About 0.18\N{NO-BREAK SPACE}% weaker" in words.sentences(advice.expect)


def test_a_search_step_of_the_grind_is_likely_noticed(bench):
    assert bench.advice("sour", clock=FAST).noticed is Noticed.LIKELY


def test_going_back_refines_by_half_and_says_so(bench, words):
    finer = (Change(lever=Lever.GRIND, amount=-2.0),)
    advice = bench.advice("bitter", clock=SLOW, last_changes=finer)
    assert [change.amount for change in advice.changes] == [1.0]
    assert advice.noticed is Noticed.UNLIKELY
    assert "Half a step" in words.sentences(advice.why)


def test_going_on_takes_a_whole_step(bench):
    finer = (Change(lever=Lever.GRIND, amount=-2.0),)
    advice = bench.advice("sour", clock=FAST, last_changes=finer)
    assert [change.amount for change in advice.changes] == [-2.0]


def test_no_drained_time_is_predicted_only_the_own_band_named(bench, words):
    expected = words.sentences(bench.advice("sour", clock=FAST).expect)
    assert "towards your own 2:30 to 3:00" in expected


# Limits.


def test_at_the_boiling_point_the_next_lever_comes(bench):
    cool = bench.limits(boiling_c=95.3)
    advice = bench.advice("sour", clock=SLOW, limits=cool)
    assert [change.lever for change in advice.changes] == [Lever.POUR_RATE]


def test_a_step_is_cut_at_the_boiling_point(bench):
    advice = bench.advice("sour", clock=SLOW, limits=bench.limits(boiling_c=97.2))
    assert [(change.lever, change.amount) for change in advice.changes] == [
        (Lever.TEMPERATURE, 2.0)
    ]


def test_without_a_temperature_hotter_is_not_advised(bench):
    plain = bench.recipe(temperature_c=None)
    advice = bench.advice("sour", clock=SLOW, recipe=plain)
    assert [change.lever for change in advice.changes] == [Lever.POUR_RATE]


def test_where_the_dial_ends_the_next_lever_comes(bench):
    advice = bench.advice("sour", clock=FAST, limits=bench.limits(finer=None, half_finer=None))
    assert [change.lever for change in advice.changes] == [Lever.TEMPERATURE]


def test_a_full_server_gets_no_more_water(bench, words):
    advice = bench.advice(felt=Felt.STRONG, limits=bench.limits(capacity_g=210.0))
    assert advice.outcome is Outcome.NOTHING
    assert "at its limit" in words.sentences(advice.why)


def test_a_small_dripper_keeps_its_pours(bench):
    advice = bench.advice("harsh", clock=FAST, limits=bench.limits(room_g=120.0))
    assert [change.lever for change in advice.changes] == [Lever.POUR_RATE]


def test_a_single_pour_is_not_taken_away(bench):
    one = bench.recipe(pours=even_pours(15.0, 240.0, count=1))
    advice = bench.advice("harsh", clock=FAST, recipe=one)
    assert Lever.POURS not in {change.lever for change in advice.changes}


def test_with_every_lever_at_its_limit_the_advice_says_so(bench, words):
    stuck = bench.limits(boiling_c=95.0, finer=None, half_finer=None, room_g=1.0)
    single = bench.recipe(pours=bench.recipe().pours[-1:])
    advice = bench.advice("sour", clock=FAST, recipe=single, limits=stuck)
    assert advice.outcome is Outcome.NOTHING
    assert "at its limit" in words.sentences(advice.why)


# Three changes without gain, and two at once.


def test_three_changes_without_gain_ask_for_one_long_steep(bench, words):
    advice = bench.advice("sour", clock=FAST, fruitless=3)
    assert advice.outcome is Outcome.IMMERSION
    assert advice.recipe.ratio == pytest.approx(16.0)
    assert advice.recipe.steep_s is not None
    assert advice.recipe.steep_s >= 300
    assert "the coffee, the roast, the water" in words.sentences(advice.why)


def test_two_changes_without_gain_do_not(bench):
    assert bench.advice("sour", clock=FAST, fruitless=2).outcome is Outcome.CHANGE


def test_a_good_cup_ends_the_search_however_long_it_took(bench):
    assert bench.advice(liking=8.0, fruitless=5).outcome is Outcome.CONFIRM


@pytest.mark.parametrize(("faults", "rule"), [(("sour",), "steep_same"), ((), "steep_clean")])
def test_a_long_steep_leads_back_to_its_recipe_and_says_where_to_look(bench, faults, rule, words):
    advice = bench.advice(*faults, liking=4.0, felt=Felt.RIGHT, steeped_from=bench.recipe())
    assert (advice.outcome, advice.rule) == (Outcome.REPEAT, rule)
    assert advice.recipe == bench.recipe()
    assert words.sentences(advice.why)


def test_two_levers_move_only_where_the_person_allows_it_and_the_reason_says_so(bench, words):
    allowed = bench.advice("sour", clock=FAST, two_allowed=True)
    assert [change.lever for change in allowed.changes] == [Lever.GRIND, Lever.TEMPERATURE]
    assert "as you allowed" in words.sentences(allowed.why)
    assert allowed.runner_up is not None
    assert len(bench.advice("sour", clock=FAST).changes) == 1


# The records speak.


def test_a_young_coffee_speaks_against_a_change(bench, words):
    against = bench.advice("sour", clock=FAST, age_days=4).spoke_against
    assert "4 days off roast" in words.sentences(against)


def test_the_runner_up_moves_another_lever(bench):
    advice = bench.advice("sour", "thin", clock=FAST)
    assert advice.runner_up is not None
    assert [(one.lever.value, one.amount) for one in advice.runner_up.changes] == [
        ("temperature", 3.0)
    ]


def test_the_recipe_of_an_advice_is_the_old_one_but_for_its_changes(bench):
    advice = bench.advice("sour", "thin", clock=FAST)
    assert replace(advice.recipe, setting=bench.setting(18)) == bench.recipe()
