"""The next brew: sized, checked, moved, replanned, and carried to today's zero."""

from dataclasses import replace
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.errors import BadInput
from halfclick.model.advice import Advice, Answer, Evidence, Outcome
from halfclick.model.brew import Mode
from halfclick.model.changes import is_one_idea, told
from halfclick.model.cup import beverage_g
from halfclick.model.grinder import Grinder, Setting, ZeroFound, ZeroReason, read_setting
from halfclick.model.kit import DripperShape
from halfclick.model.moves import (
    differences,
    with_bloom,
    with_pour_count,
    with_pour_rate,
    with_ratio,
    with_setting,
    with_temperature,
)
from halfclick.model.numbering import Numbering, Scheme
from halfclick.model.recipe import Change, Lever, Recipe, even_pours
from halfclick.model.tasting import Verdict
from halfclick.service.advise import answer
from halfclick.service.grinders import take_zero
from halfclick.service.kitchens import add_thing, change_thing, put_to_use
from halfclick.service.plan import (
    Planned,
    capped,
    good_one,
    next_plan,
    planned_from,
    replanned,
    sized_for_cup,
    sized_for_dose,
    sized_for_water,
)
from halfclick.service.plan_check import check_plan
from halfclick.wording import Message

ZERO_ID = uuid4()
SETTING = Setting(text="20", steps=20, zero_id=ZERO_ID)
RECIPE = Recipe(
    dose_g=15.0,
    water_g=240.0,
    pours=even_pours(15.0, 240.0),
    temperature_c=95.0,
    setting=SETTING,
)


def moves_of(changes):
    return [(change.lever, change.amount) for change in changes]


@pytest.fixture
def plan(store, clock):
    """Return what asks for the next plan of a bag."""
    return lambda bag: next_plan(store, bag.id, today=clock().date())


@pytest.fixture
def re_zero(store, clock, kit):
    """Return what takes a new zero of the grinder in use."""

    def taken(reading_text: str) -> None:
        clock.advance(60)
        take_zero(
            store,
            kit().grinder.id,
            reading_text=reading_text,
            found=ZeroFound.FIRST_RUB,
            reason=ZeroReason.REZEROED,
            clock=clock,
        )

    return taken


# Sizes


@given(st.floats(8.0, 100.0))
def test_a_recipe_sized_by_dose_keeps_its_ratio_bloom_and_clock(dose_g):
    sized = sized_for_dose(RECIPE, dose_g)
    assert sized.dose_g == dose_g
    # Water is weighed to a gram.
    assert sized.water_g == pytest.approx(dose_g * RECIPE.ratio, abs=0.5)
    assert sized.bloom_g == pytest.approx(dose_g * RECIPE.bloom_multiple, abs=0.5)
    assert [pour.start_s for pour in sized.pours] == [pour.start_s for pour in RECIPE.pours]
    assert not {Lever.GRIND, Lever.TEMPERATURE, Lever.POURS} & {
        change.lever for change in differences(RECIPE, sized)
    }


@given(st.floats(100.0, 2000.0))
def test_a_recipe_sized_by_water_keeps_its_ratio(water_g):
    sized = sized_for_water(RECIPE, water_g)
    assert sized.water_g == sized.pours[-1].until_g == water_g
    # A dose is weighed to a tenth of a gram.
    assert sized.dose_g == pytest.approx(water_g / RECIPE.ratio, abs=0.051)


@given(st.floats(100.0, 2000.0))
def test_a_recipe_sized_by_the_cup_gives_that_cup(drink_g):
    sized = sized_for_cup(RECIPE, drink_g)
    assert beverage_g(sized.water_g, sized.dose_g) == pytest.approx(drink_g, abs=0.8)
    assert sized.ratio == pytest.approx(RECIPE.ratio, rel=0.02)


@given(
    st.sampled_from([sized_for_cup, sized_for_dose, sized_for_water, with_ratio]),
    st.floats(-100.0, 50_000.0),
)
def test_any_size_is_a_recipe_or_a_refusal(sized, number):
    try:
        recipe = sized(RECIPE, number)
    except BadInput:
        return
    assert recipe.pours[-1].until_g == recipe.water_g


@pytest.mark.parametrize(
    ("sized", "number", "said"),
    [
        (sized_for_dose, 0.0, "A dose of 0"),
        (sized_for_dose, 700.0, "A dose of 700"),
        (sized_for_cup, 0.0, "A dose of 0"),
        (with_ratio, 90.0, "3 to 60 times the dose"),
        (with_ratio, 4.0, "leaves no room for the pours"),
    ],
)
def test_a_size_that_cannot_be_is_refused_with_a_sentence(sized, number, said, words):
    with pytest.raises(BadInput) as refused:
        sized(RECIPE, number)
    assert said in words.sentence(refused.value)


# Moves and differences


@pytest.mark.parametrize(
    ("after", "moved", "said"),
    [
        (with_setting(RECIPE, replace(SETTING, steps=18)), (Lever.GRIND, -2), "2 steps finer"),
        (with_ratio(RECIPE, 17.0), (Lever.RATIO, 1.0), "1"),
        (with_temperature(RECIPE, 92.0), (Lever.TEMPERATURE, -3.0), "3 °C"),
        (with_pour_count(RECIPE, 3), (Lever.POURS, 1.0), "one pour more"),
        (with_pour_rate(RECIPE, 7.0), (Lever.POUR_RATE, 2.0), "2 g/s"),
        (with_bloom(RECIPE, multiple=2.0, bloom_s=45.0, stirred=False), (Lever.BLOOM, -1.0), "1"),
        (with_bloom(RECIPE, multiple=3.0, bloom_s=45.0, stirred=True), (Lever.BLOOM, 0.0), "stir"),
    ],
)
def test_each_move_is_one_difference_and_has_its_words(after, moved, said, words):
    changes = differences(RECIPE, after)
    assert moves_of(changes) == [moved]
    assert is_one_idea(changes)
    assert said in words.sentence(told(changes[0])).replace("\N{NO-BREAK SPACE}", " ")
    assert moves_of(differences(after, RECIPE)) == [(moved[0], -moved[1])]


@pytest.mark.parametrize(
    "same",
    [
        RECIPE,
        with_setting(RECIPE, replace(SETTING, text="22", zero_id=uuid4())),
        with_setting(RECIPE, None),
        replace(RECIPE, temperature_c=None),
        sized_for_dose(RECIPE, 30.0),
    ],
    ids=["itself", "at another zero", "no setting", "no temperature", "twice the size"],
)
def test_another_way_to_write_the_same_recipe_is_no_difference(same):
    assert differences(RECIPE, same) == ()


def test_only_grind_and_ratio_are_one_idea_together():
    grind, ratio = Change(lever=Lever.GRIND, amount=-2), Change(lever=Lever.RATIO, amount=1.0)
    hotter = Change(lever=Lever.TEMPERATURE, amount=2.0)
    assert is_one_idea(())
    assert is_one_idea((grind, ratio))
    assert not is_one_idea((grind, hotter))
    assert not is_one_idea((grind, grind))
    assert not is_one_idea((grind, ratio, hotter))


@pytest.mark.parametrize(
    "move",
    [
        lambda: with_pour_count(RECIPE, 0),
        lambda: with_pour_count(RECIPE, 9),
        lambda: with_pour_rate(RECIPE, 0.5),
        lambda: with_bloom(RECIPE, multiple=0.5, bloom_s=45.0, stirred=False),
        lambda: with_bloom(RECIPE, multiple=3.0, bloom_s=500.0, stirred=False),
        lambda: with_temperature(RECIPE, 120.0),
    ],
)
def test_a_move_that_cannot_be_is_refused_with_a_sentence(move, words):
    with pytest.raises(BadInput) as refused:
        move()
    assert words.sentence(refused.value)


# Checks


def codes_of(messages):
    return [message.code for message in messages]


def with_server(kit, capacity_g):
    return replace(kit, server=replace(kit.server, capacity_g=capacity_g))


def test_a_recipe_that_fits_has_nothing_against_it(kit):
    assert check_plan(RECIPE, kit(), left_g=15.0) == ()


def test_a_server_too_small_says_the_dose_that_fits_it(kit, words):
    small = with_server(kit(), 150.0)
    said = check_plan(RECIPE, small)
    assert codes_of(said) == ["plan.overfills"]
    assert "Use a larger one, or brew" in words.sentences(said)
    fits = sized_for_dose(RECIPE, said[0].values["dose_g"])
    assert "plan.overfills" not in codes_of(check_plan(fits, small))


def test_a_server_just_large_enough_is_large_enough(kit):
    drink_g = beverage_g(RECIPE.water_g, RECIPE.dose_g)
    assert check_plan(RECIPE, with_server(kit(), drink_g + 0.1)) == ()
    assert codes_of(check_plan(RECIPE, with_server(kit(), drink_g - 0.1))) == ["plan.overfills"]


def test_a_large_pour_in_a_small_dripper_comes_near_its_rim(kit, words):
    small = replace(kit().dripper, top_m=0.09, bottom_m=0.01, height_m=0.065)
    said = check_plan(with_pour_count(RECIPE, 1), replace(kit(), dripper=small))
    assert codes_of(said) == ["plan.near_rim"]
    assert "Use more and smaller pours" in words.sentences(said)
    assert check_plan(with_pour_count(RECIPE, 6), replace(kit(), dripper=small)) == ()


def test_an_unmeasured_dripper_is_only_typical_and_can_be_measured(kit, words):
    said = check_plan(with_pour_count(sized_for_dose(RECIPE, 30.0), 1), kit())
    assert codes_of(said) == ["plan.near_rim_typical"]
    assert "Measure yours" in words.sentences(said)


def test_an_immersion_holds_all_its_water_at_once(kit):
    can = replace(
        kit().dripper, shape=DripperShape.IMMERSION, top_m=0.08, bottom_m=0.08, height_m=0.06
    )
    sixes = with_pour_count(RECIPE, 6)
    assert codes_of(check_plan(sixes, replace(kit(), dripper=can))) == ["plan.near_rim"]


def test_a_bed_too_shallow_or_too_deep_says_the_way_out(kit, words):
    flat = replace(
        kit().dripper, shape=DripperShape.FLAT_BOTTOM, top_m=0.12, bottom_m=0.1, height_m=0.2
    )
    shallow = check_plan(RECIPE, replace(kit(), dripper=flat))
    assert codes_of(shallow) == ["plan.bed_shallow"]
    assert "Use more coffee or a narrower dripper" in words.sentences(shallow)
    narrow = replace(flat, top_m=0.05, bottom_m=0.04, height_m=0.4)
    deep = check_plan(sized_for_dose(RECIPE, 40.0), replace(kit(), dripper=narrow))
    assert "plan.bed_deep" in codes_of(deep)
    assert "Use less coffee, a wider dripper, or grind coarser" in words.sentences(deep)


def test_a_bag_that_is_short_says_the_way_out(kit, words):
    said = check_plan(RECIPE, kit(), left_g=14.0)
    assert codes_of(said) == ["plan.bag_short"]
    assert "Size the recipe for what is left" in words.sentences(said)
    # The usual scale's last digit is no shortage.
    assert check_plan(RECIPE, kit(), left_g=14.9) == ()
    assert check_plan(RECIPE, kit(), left_g=None) == ()


def test_water_above_the_local_boiling_point_is_said_and_can_be_capped(kit, words):
    high = replace(kit(), kitchen=replace(kit().kitchen, altitude_m=2000.0))
    said = check_plan(RECIPE, high)
    assert codes_of(said) == ["plan.above_boiling"]
    assert "Lower the temperature" in words.sentences(said)
    assert capped(RECIPE, high).temperature_c == 93.0
    assert check_plan(capped(RECIPE, high), high) == ()
    assert capped(RECIPE, kit()) is RECIPE


# The next plan


def hotter_by_two(brew):
    after = with_temperature(brew.plan, brew.plan.temperature_c + 2.0)
    return Advice(
        outcome=Outcome.CHANGE,
        rule="sour_hotter",
        recipe=after,
        evidence=Evidence.CONSENSUS,
        changes=differences(brew.plan, after),
        why=(Message("reason.own", {"text": "it was sharp"}),),
    )


def test_before_the_first_cup_the_plan_is_the_first_recipe(coffee, kit, plan, store):
    bag = coffee("Tarn Hollow")
    planned = plan(bag)
    assert (planned.mode, planned.parent_id, planned.changes) == (Mode.EXPERIMENT, None, ())
    assert good_one(store, bag.id) is None


def test_an_accepted_advice_is_brewed_next_with_its_reason(store, clock, coffee, cup, plan, words):
    bag = coffee("Tarn Hollow")
    brew = cup(bag, "20", Verdict.CHANGE)
    proposal = answer(store, brew.id, hotter_by_two(brew), Answer.ACCEPTED, clock=clock).value
    planned = plan(bag)
    assert planned.recipe.temperature_c == brew.plan.temperature_c + 2.0
    assert moves_of(planned.changes) == [(Lever.TEMPERATURE, 2.0)]
    assert (planned.proposal_id, planned.parent_id) == (proposal.id, brew.id)
    assert words.sentences(planned.why) == "it was sharp"


def test_a_refused_advice_leaves_the_last_plan_and_keeps_its_reason(
    store, clock, coffee, cup, plan
):
    bag = coffee("Tarn Hollow")
    brew = cup(bag, "20", Verdict.CHANGE)
    refused = answer(
        store, brew.id, hotter_by_two(brew), Answer.REFUSED, reason="too hot", clock=clock
    ).value
    planned = plan(bag)
    assert (planned.recipe, planned.changes, planned.proposal_id) == (brew.plan, (), None)
    assert refused.answer_reason == "too hot"


def test_the_last_answer_to_an_advice_holds(store, clock, coffee, cup, plan):
    bag = coffee("Tarn Hollow")
    brew = cup(bag, "20", Verdict.CHANGE)
    answer(store, brew.id, hotter_by_two(brew), Answer.ACCEPTED, clock=clock)
    clock.advance(5)
    answer(store, brew.id, hotter_by_two(brew), Answer.REFUSED, clock=clock)
    assert plan(bag).recipe == brew.plan


def test_an_accepted_advice_is_told_at_todays_zero(store, clock, coffee, cup, plan, re_zero):
    bag = coffee("Tarn Hollow")
    brew = cup(bag, "20", Verdict.CHANGE)
    answer(store, brew.id, hotter_by_two(brew), Answer.ACCEPTED, clock=clock)
    re_zero("3")
    setting = plan(bag).recipe.setting
    assert (setting.text, setting.steps) == ("23", 20)


def test_after_a_kept_cup_the_next_one_is_the_good_one_again(coffee, cup, plan, store, words):
    bag = coffee("Tarn Hollow")
    brew = cup(bag, "20", Verdict.KEEP)
    assert (plan(bag).mode, plan(bag).recipe) == (Mode.GOOD_ONE, brew.plan)
    again = good_one(store, bag.id)
    assert (again.recipe, again.parent_id) == (brew.plan, brew.id)
    assert words.sentences(again.why)


def test_the_good_one_is_the_newest_kept_cup_at_todays_zero(coffee, cup, store, re_zero):
    bag = coffee("Tarn Hollow")
    cup(bag, "24", Verdict.KEEP)
    kept = cup(bag, "18", Verdict.KEEP)
    cup(bag, "30", Verdict.CHANGE)
    re_zero("4")
    again = good_one(store, bag.id)
    assert (again.recipe.setting.text, again.recipe.setting.steps) == ("22", 18)
    assert differences(kept.plan, again.recipe) == ()


def test_a_setting_is_not_carried_to_another_grinder(store, clock, coffee, cup, plan):
    bag = coffee("Tarn Hollow")
    brew = cup(bag, "20", Verdict.KEEP)
    other = Grinder(id=uuid4(), name="Other", numbering=Numbering(scheme=Scheme.CLICKS))
    add_thing(store, other, clock=clock)
    put_to_use(store, other, clock=clock)
    for planned in (plan(bag), good_one(store, bag.id)):
        assert planned.recipe == with_setting(brew.plan, None)


def test_a_setting_past_the_end_of_todays_dial_is_left_open(
    store, clock, coffee, cup, plan, kit, re_zero
):
    bag = coffee("Tarn Hollow")
    cup(bag, "20", Verdict.KEEP)
    ends = replace(kit().grinder, numbering=Numbering(scheme=Scheme.CLICKS, highest="22"))
    change_thing(store, ends, clock=clock)
    re_zero("3")
    assert plan(bag).recipe.setting is None


# Changed by hand


def test_a_plan_changed_by_hand_tells_its_changes_and_the_persons_words(coffee, cup, plan, store):
    bag = coffee("Tarn Hollow")
    cup(bag, "20", Verdict.KEEP)
    planned = plan(bag)
    moved = planned_from(store, planned, with_ratio(planned.recipe, 17.0), " it was heavy ")
    assert moves_of(moved.changes) == [(Lever.RATIO, 1.0)]
    assert moved.mode is Mode.EXPERIMENT
    assert moved.why == (Message("reason.own", {"text": "it was heavy"}),)
    assert moved.parent_id == planned.parent_id


def test_a_lever_moved_back_is_no_change(coffee, cup, plan, store):
    bag = coffee("Tarn Hollow")
    cup(bag, "20", Verdict.KEEP)
    planned = plan(bag)
    moved = planned_from(store, planned, with_temperature(planned.recipe, 90.0))
    assert planned_from(store, planned, planned.recipe) == planned
    assert moved.mode is Mode.EXPERIMENT


def test_a_first_recipe_moved_by_hand_has_nothing_to_be_compared_with(coffee, kit, plan, store):
    planned = plan(coffee("Tarn Hollow"))
    setting = read_setting(kit().grinder, kit().zero, "22")
    moved = planned_from(store, planned, with_setting(planned.recipe, setting))
    assert (moved.changes, moved.recipe.setting) == ((), setting)


def test_a_reason_alone_is_kept_beside_the_advices_own():
    advised = Message("reason.own", {"text": "it was sharp"})
    hotter = with_temperature(RECIPE, 97.0)
    planned = Planned(
        bag_id=uuid4(),
        recipe=hotter,
        mode=Mode.EXPERIMENT,
        parent_id=uuid4(),
        changes=differences(RECIPE, hotter),
        why=(advised,),
    )
    said = replanned(planned, hotter, RECIPE, "let us see")
    assert said.why == (advised, Message("reason.own", {"text": "let us see"}))
    assert said.changes == planned.changes
