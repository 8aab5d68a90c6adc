"""Where the trade contradicts itself: how it is resolved here, and that it is said."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from halfclick.model.advice import Outcome
from halfclick.model.coffee import Roast
from halfclick.model.kit import DripperShape
from halfclick.model.recipe import Lever
from halfclick.model.tasting import Bed, Complaint, Mark, Verdict
from halfclick.taste.diagnosis import diagnose
from halfclick.taste.fitting import fits
from halfclick.taste.rules import ClockPlace, Felt

LITTLE = (Complaint.GRASSY, Complaint.SALTY, Complaint.FLAT)


def levers(advice):
    return {(one.lever, one.amount > 0) for one in advice.changes}


# High kitchens: two pages finer, one coarser. Water boils cooler and draws out less, so finer.


def test_a_sour_cup_at_the_boiling_point_is_ground_finer_and_says_why(bench, words):
    advice = bench.advice("sour", limits=bench.limits(boiling_c=95.3))
    assert (advice.rule, levers(advice)) == ("sour_at_boil", {(Lever.GRIND, False)})
    said = words.sentences(advice.spoke_against)
    assert "boils cooler" in said
    assert "wrong way round" in said


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_no_cup_with_too_little_drawn_out_is_ever_ground_coarser_up_high(bench, data):
    faults = data.draw(st.sampled_from([("sour",), ("sour", "thin"), ()]))
    words = frozenset() if faults else frozenset({data.draw(st.sampled_from(LITTLE))})
    case = bench.case(
        *faults,
        complaints=words,
        clock=data.draw(st.sampled_from(ClockPlace)),
        felt=data.draw(st.sampled_from(Felt)),
        roast=data.draw(st.none() | st.sampled_from(Roast)),
        age_days=data.draw(st.none() | st.integers(0, 60)),
    )
    advice = diagnose(case, bench.limits(boiling_c=95.2), bench.rules)
    assert (Lever.GRIND, True) not in levers(advice)


# Age: fresh goes coarser, or finer, or blooms longer; old goes finer.


def test_a_young_light_coffee_rests_before_the_recipe_is_changed(bench, words):
    advice = bench.advice("sour", clock=ClockPlace.FAST, roast=Roast.LIGHT, age_days=5)
    assert (advice.act, advice.changes) == ("let_rest", ())
    assert "contradict" in words.sentences(advice.spoke_against)


def test_a_week_is_no_longer_young(bench):
    advice = bench.advice("sour", clock=ClockPlace.FAST, roast=Roast.LIGHT, age_days=7)
    assert levers(advice) == {(Lever.GRIND, False)}


def test_very_fresh_grounds_on_the_wall_bloom_longer_and_are_ground_no_finer(bench):
    advice = bench.advice(bed=Bed.HIGH_AND_DRY, age_days=3, verdict=Verdict.CHANGE)
    assert (advice.act, advice.changes) == ("longer_bloom", ())


@pytest.mark.parametrize("given", [{"complaints": frozenset({Complaint.FLAT})}, {"faults": "sour"}])
def test_an_old_coffee_goes_finer_and_is_told_that_its_aroma_is_gone(bench, given, words):
    faults = [given["faults"]] if "faults" in given else []
    advice = bench.advice(*faults, complaints=given.get("complaints", frozenset()), age_days=50)
    assert levers(advice) == {(Lever.GRIND, False)}
    assert "does not come back" in words.sentences(advice.spoke_against)


# Light roasts, stronger and longer; dark roasts, 1:14 and 1:18: the roast moves no ratio.


@pytest.mark.parametrize("roast", Roast)
@pytest.mark.parametrize(("felt", "more"), [(Felt.WEAK, False), (Felt.STRONG, True)])
def test_the_way_of_the_ratio_is_what_was_felt_whatever_the_roast(bench, roast, felt, more):
    advice = bench.advice(felt=felt, roast=roast)
    assert levers(advice) == {(Lever.RATIO, more)}


@pytest.mark.parametrize("roast", [Roast.LIGHT, Roast.DARK])
def test_where_pages_contradict_each_other_on_ratio_the_advice_says_so(bench, roast, words):
    advice = bench.advice(felt=Felt.WEAK, roast=roast)
    assert "The roast does not decide" in words.sentences(advice.spoke_against)


def test_a_bitter_dark_cup_goes_longer(bench, words):
    # Frost, Ristenpart & Guinard 2020; Liang, Chan & Ristenpart 2021: strength raises bitter.
    advice = bench.advice("bitter", roast=Roast.DARK)
    assert (advice.rule, levers(advice)) == ("bitter_dark", {(Lever.RATIO, True)})
    assert "1:17 to 1:18" in words.sentences(advice.spoke_against)


# Bitter is a taste and dry is a touch.


def test_bitter_and_dry_have_different_remedies(bench):
    bitter = bench.advice("bitter", clock=ClockPlace.FAST)
    dry = bench.advice("harsh", clock=ClockPlace.FAST)
    assert levers(bitter) == {(Lever.TEMPERATURE, False)}
    assert levers(dry) == {(Lever.POURS, False)}


@pytest.mark.parametrize("clock", ClockPlace)
@pytest.mark.parametrize("roast", Roast)
def test_a_cup_that_is_only_dry_never_gets_a_rule_for_bitter(bench, clock, roast):
    rules = {rule.id: rule for rule in bench.rules}
    assert rules[bench.advice("harsh", clock=clock, roast=roast).rule].marks == {Mark.HARSH}
    assert rules[bench.advice("bitter", clock=clock, roast=roast).rule].marks == {Mark.BITTER}


def test_where_bitter_may_be_dryness_the_advice_says_the_difference(bench, words):
    advice = bench.advice("bitter", clock=ClockPlace.FAST, roast=Roast.LIGHT)
    assert "Dry is a touch" in words.sentences(advice.spoke_against)


# Slow says coarser, sour says finer: heat, then gentler pours, and never one pour more.


def test_a_slow_sour_cup_is_brewed_hotter_and_then_gentler_and_says_why(bench, words):
    advice = bench.advice("sour", clock=ClockPlace.SLOW)
    assert levers(advice) == {(Lever.TEMPERATURE, True)}
    assert advice.runner_up.rule == "sour_slow_gentler"
    assert "coarser would draw out less" in words.sentences(advice.spoke_against)


@pytest.mark.parametrize("faults", [("sour",), ("sour", "thin")])
def test_a_slow_sour_cup_at_the_boil_is_poured_gentler(bench, faults):
    limits = bench.limits(boiling_c=95.2)
    advice = bench.advice(*faults, limits=limits, clock=ClockPlace.SLOW)
    assert levers(advice) == {(Lever.POUR_RATE, False)}
    second = advice.runner_up
    assert second is None or (Lever.POURS, True) not in levers(second)


# Dry from a steep: its drain runs through a settled bed, so it is no matter of pours or of a steep.


@pytest.mark.parametrize("shape", DripperShape)
@pytest.mark.parametrize("clock", ClockPlace)
def test_a_dry_cup_is_advised_by_what_its_dripper_does(bench, shape, clock, words):
    case = bench.case("harsh", shape=shape, clock=clock)
    told = [rule for rule in bench.rules if fits(rule, case)]
    immersion = shape is DripperShape.IMMERSION
    assert any(rule.outcome is Outcome.IMMERSION for rule in told) is not immersion
    assert any(Lever.POURS in rule.levers for rule in told) is not immersion
    advice = diagnose(case, bench.limits(shape=shape), bench.rules)
    if clock is ClockPlace.FAST:
        wanted = Lever.POUR_RATE if immersion else Lever.POURS
        assert levers(advice) == {(wanted, False)}
        assert ("have settled" in words.sentences(advice.why)) is immersion


# Smoke in a light roast may be a scorched batch, however strong the cup is.


@pytest.mark.parametrize("felt", [Felt.STRONG, Felt.RIGHT])
def test_smoke_in_a_light_roast_names_a_scorched_batch(bench, words, felt):
    smoky = frozenset({Complaint.SMOKY})
    advice = bench.advice(complaints=smoky, felt=felt, roast=Roast.LIGHT)
    assert bool(levers(advice)) is (felt is Felt.STRONG)
    assert "scorched" in words.sentences(advice.spoke_against)


# Weak: the real water and the server are looked at first, whatever the roast.


@pytest.mark.parametrize("roast", [None, *Roast])
@pytest.mark.parametrize("faults", [(), ("thin",)])
def test_a_weak_cup_says_to_look_at_the_server_first(bench, words, roast, faults):
    advice = bench.advice(*faults, felt=Felt.WEAK, roast=roast)
    assert levers(advice) == {(Lever.RATIO, False)}
    assert "look first" in words.sentences(advice.spoke_against)
