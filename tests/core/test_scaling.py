"""A recipe at another size: worked by hand, and what real brews of it teach."""

from dataclasses import replace
from itertools import pairwise
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.errors import BadInput
from halfclick.model.advice import Answer
from halfclick.model.brew import Mode
from halfclick.model.coffee import Lot
from halfclick.model.grinder import read_setting
from halfclick.model.kit import DripperShape
from halfclick.model.moves import resized
from halfclick.model.recipe import Recipe, even_pours
from halfclick.model.tasting import Marks, Verdict
from halfclick.physics.scaling import PRIORS, Exponent, fit_exponent, scaled_time_s
from halfclick.service.advise import advise, answer
from halfclick.service.band import own_band
from halfclick.service.cups import Status, cups_of_bag, status_of
from halfclick.service.gains import changes_without_gain
from halfclick.service.kitchens import change_thing
from halfclick.service.plan import Planned, good_one, next_plan, planned_from
from halfclick.service.record import (
    BrewEntry,
    TastingEntry,
    correct_drained,
    record_brew,
    record_tasting,
)
from halfclick.service.scaled_pours import scaled_pours
from halfclick.service.scaling import can_bypass, dose_for_guests, expected, learned, scale
from halfclick.service.sheet import coffee_sheet

CONE = PRIORS[DripperShape.STEEP_CONE]
SMALL = Recipe(dose_g=15.0, water_g=250.0, pours=even_pours(15.0, 250.0), temperature_c=94.0)

PLANNED = Planned(bag_id=uuid4(), recipe=SMALL, mode=Mode.EXPERIMENT)


def codes(messages):
    return [message.code for message in messages]


@pytest.fixture
def large_cone(store, clock, kit):
    """Put a cone to use that takes more than 45 g."""
    wide = replace(kit().dripper, top_m=0.15, bottom_m=0.01, height_m=0.12)
    change_thing(store, wide, clock=clock)


@pytest.fixture
def brewed(store, clock, kit):
    """Return what brews a plan as it stands, tastes it, and moves on by a day."""

    def made(planned, drained_s, verdict=Verdict.KEEP, marks=None):
        entry = BrewEntry(planned=planned, drained_s=drained_s)
        brew = record_brew(store, entry, kit(), clock=clock).value
        clock.advance(300)
        taste = TastingEntry(verdict=verdict, marks=marks or Marks())
        record_tasting(store, brew.id, taste, clock=clock)
        clock.advance(86_400)
        return brew

    return made


@pytest.fixture
def small(store, clock, kit, coffee, brewed):
    """Return a bag with one kept cup of 15 g and 250 g, drained at 2:45 after a bloom of 45 s."""

    def made(marks=None):
        bag = coffee("Tarn Hollow")
        planned = next_plan(store, bag.id, today=clock().date())
        setting = read_setting(kit().grinder, kit().zero, "20")
        brewed(replace(planned, recipe=replace(SMALL, setting=setting)), 165.0, marks=marks)
        return bag

    return made


@pytest.fixture
def plan(store, clock):
    return lambda bag: next_plan(store, bag.id, today=clock().date())


# The worked story


def test_fifteen_grams_to_forty_in_a_large_cone(store, kit, large_cone, small, plan, words):
    scaled = scale(store, plan(small()), kit(), dose_g=40.0)
    recipe = scaled.planned.recipe
    assert recipe.water_g == 667.0
    assert recipe.bloom_g == 120.0
    assert recipe.bloom_s == 45.0
    assert recipe.temperature_c == 94.0
    # By hand: 45 + 120 x (40 / 15)^(1/3) = 45 + 120 x 1.387 = 211 s.
    assert scaled.estimate.middle_s == pytest.approx(211.4, abs=0.1)
    said = words.sentences(scaled.told)
    assert "About 3:30" in said
    assert "an estimate" in said
    assert "1 to 2 steps coarser" in said
    assert scaled.warnings == ()
    assert scaled.planned.changes == ()


def test_a_dripper_that_takes_less_than_forty_five_grams_is_warned_of(store, kit, small, plan):
    # The usual cone of its shape: 238 mL to a centimetre below the rim, 6 mL for each gram.
    scaled = scale(store, plan(small()), kit(), dose_g=40.0)
    assert codes(scaled.warnings)[0] == "scale.dripper_small_typical"
    assert scaled.warnings[0].values["wanted_g"] == 45


def test_the_pours_follow_one_another(store, kit, large_cone, small, plan):
    pours = scale(store, plan(small()), kit(), dose_g=40.0).planned.recipe.pours
    for one, after in pairwise(pours):
        poured_g = one.until_g - (0 if one is pours[0] else pours[pours.index(one) - 1].until_g)
        assert one.start_s + poured_g / one.rate_g_s < after.start_s
    assert pours[-1].until_g == 667.0


# What is told


def test_within_fifteen_percent_nothing_is_ground_anew(store, kit, small, plan):
    scaled = scale(store, plan(small()), kit(), dose_g=17.0)
    assert "scale.grind_same" in codes(scaled.told)
    starts_s = [pour.start_s for pour in scaled.planned.recipe.pours]
    assert starts_s == [pour.start_s for pour in SMALL.pours]


def test_a_cup_near_drying_asks_for_a_coarser_grind(store, kit, large_cone, small, plan):
    bag = small(Marks(harsh=4.0))
    assert "scale.grind_near_drying" in codes(scale(store, plan(bag), kit(), dose_g=40.0).told)


def test_a_smaller_batch_may_want_finer(store, kit, small, plan):
    scaled = scale(store, plan(small()), kit(), dose_g=10.0)
    assert "scale.grind_smaller" in codes(scaled.told)
    assert scaled.estimate.middle_s < 165.0


def test_a_flat_bed_is_told_as_a_range_from_the_dose_to_its_square(
    store, clock, kit, small, plan, words
):
    change_thing(store, replace(kit().dripper, shape=DripperShape.FLAT_BOTTOM), clock=clock)
    scaled = scale(store, plan(small()), kit(), dose_g=30.0)
    # By hand: 45 + 120 x 2 = 285 s to 45 + 120 x 4 = 525 s.
    assert scaled.estimate.low_s == pytest.approx(285.0)
    assert scaled.estimate.high_s == pytest.approx(525.0)
    assert scaled.estimate.middle_s is None
    assert "scale.grind_fixed_area" in codes(scaled.told)
    assert "an estimate" in words.sentences(scaled.told)


def test_without_a_timed_cup_no_time_is_said(store, clock, kit, coffee):
    planned = next_plan(store, coffee("Ash Gill").id, today=clock().date())
    scaled = scale(store, planned, kit(), dose_g=30.0)
    assert scaled.estimate is None
    assert "scale.time_unknown" in codes(scaled.told)


def test_more_water_than_a_kettle_holds_is_said(store, kit, large_cone, small, plan):
    assert "scale.kettle" in codes(scale(store, plan(small()), kit(), dose_g=45.0).warnings)


def test_a_bed_too_shallow_is_said(store, clock, kit, small, plan):
    wide = replace(
        kit().dripper,
        shape=DripperShape.FLAT_BOTTOM,
        top_m=0.12,
        bottom_m=0.09,
        height_m=0.08,
    )
    change_thing(store, wide, clock=clock)
    assert "plan.bed_shallow" in codes(scale(store, plan(small()), kit(), dose_g=12.0).warnings)


def test_with_bypass_the_drink_keeps_its_ratio(store, kit, large_cone, small, plan, words):
    planned = plan(small())
    assert can_bypass(planned.recipe)
    scaled = scale(store, planned, kit(), dose_g=40.0, bypass=True)
    # 40 g x 12 through the bed; 667 - 480 = 187 g afterwards.
    assert scaled.planned.recipe.water_g == 480.0
    assert scaled.planned.bypass_g == 187.0
    assert scaled.planned.recipe.bloom_g == 120.0
    assert "187" in words.sentences(scaled.told)
    kept = planned_from(store, scaled.planned, scaled.planned.recipe)
    assert kept.changes == ()
    assert "scale.why_bypass" in codes(kept.why)


def test_guests_are_counted_to_a_dose():
    # 4 x 200 g to drink at 1:16.667 with 2.1 g kept back by each gram: 800 / 14.567 = 54.9 g.
    assert dose_for_guests(PLANNED, 4.0, 200.0) == pytest.approx(54.9)


@pytest.mark.parametrize(("people", "cup_g"), [(0.0, 200.0), (1.5, 200.0), (2.0, 5.0)])
def test_guests_that_cannot_be_are_refused(people, cup_g):
    with pytest.raises(BadInput):
        dose_for_guests(PLANNED, people, cup_g)


def test_scaling_a_scaled_plan_starts_from_its_cup_again(store, kit, large_cone, small, plan):
    bag = small()
    once = scale(store, plan(bag), kit(), dose_g=40.0)
    twice = scale(store, scale(store, plan(bag), kit(), dose_g=30.0).planned, kit(), dose_g=40.0)
    assert twice.planned.recipe == once.planned.recipe
    assert codes(twice.planned.why).count("scale.why") == 1


@given(st.floats(18.0, 80.0), st.floats(60.0, 600.0))
def test_scaled_pours_never_collide_and_end_at_the_water(dose_g, room_g):
    dose_g = round(dose_g, 1)
    sized = resized(SMALL, dose_g, float(round(dose_g * SMALL.ratio)))
    try:
        scaled = scaled_pours(SMALL, sized, (dose_g / 15.0) ** (1 / 3), room_g=room_g)
    except BadInput:
        return
    assert scaled.pours[-1].until_g == scaled.water_g == sized.water_g
    assert scaled.bloom_multiple == pytest.approx(SMALL.bloom_multiple, abs=0.05)
    below_g, free_s = 0.0, 0.0
    for pour in scaled.pours:
        assert pour.start_s >= free_s - 1e-6
        free_s = pour.start_s + (pour.until_g - below_g) / pour.rate_g_s
        below_g = pour.until_g


# The arithmetic


def test_doubling_a_cone_takes_a_quarter_longer_after_the_bloom():
    # 2^(1/3) = 1.26: 45 + 120 x 1.26 = 196 s.
    assert scaled_time_s(165.0, 45.0, 2.0, 1 / 3) == pytest.approx(196.2, abs=0.1)


@given(st.floats(0.2, 2.0))
def test_the_same_dose_takes_the_same_time(exponent):
    assert scaled_time_s(165.0, 45.0, 1.0, exponent) == pytest.approx(165.0)


@pytest.mark.parametrize(("total_s", "held_s", "factor"), [(40, 45, 2), (165, 45, 0)])
def test_impossible_times_are_a_mistake(total_s, held_s, factor):
    with pytest.raises(ValueError, match="impossible"):
        scaled_time_s(total_s, held_s, factor, 0.3)


def test_the_cubes_range_holds_the_published_training_text():
    # 15 g in 3:00, 30 g in 3:30 to 4:00, bloom taken as 45 s: 165 / 135 and 195 / 135.
    low = fit_exponent(CONE, [(2.0, 165 / 135)] * 3).middle
    high = fit_exponent(CONE, [(2.0, 195 / 135)] * 3).middle
    assert (low, high) == (pytest.approx(0.29, abs=0.01), pytest.approx(0.53, abs=0.01))


def test_a_few_brews_are_drawn_to_the_prior_and_three_speak_for_themselves():
    # Every brew took 2^0.6 as long at twice the dose.
    brew = (2.0, 2**0.6)
    fitted = [fit_exponent(CONE, [brew] * count).middle for count in range(5)]
    assert fitted[0] == pytest.approx(1 / 3)
    assert fitted[1] == pytest.approx(0.6 / 3 + 2 / 9)
    assert fitted[2] == pytest.approx(0.4 + 1 / 9)
    assert fitted[3] == fitted[4] == pytest.approx(0.6)


def test_a_range_becomes_a_number_after_three_brews():
    flat = PRIORS[DripperShape.FLAT_BOTTOM]
    assert fit_exponent(flat, [(2.0, 2.5)] * 2).middle is None
    assert fit_exponent(flat, [(2.0, 2.5)] * 3).middle == pytest.approx(1.32, abs=0.01)


@given(st.lists(st.tuples(st.floats(1.2, 4.0), st.floats(0.8, 8.0)), max_size=6))
def test_a_fit_knows_its_range(brews):
    fitted = fit_exponent(CONE, brews)
    assert fitted.low <= (fitted.middle or fitted.low) <= fitted.high
    assert fitted.brews == len(brews)


def test_a_range_upside_down_is_a_mistake():
    with pytest.raises(ValueError, match="empty"):
        Exponent(low=1.0, middle=None, high=0.5)


# What it teaches, and what it must leave alone


def test_actual_times_teach_this_dripper(store, kit, large_cone, small, plan, brewed, words):
    bag = small()
    for _ in range(3):
        scaled = scale(store, plan(bag), kit(), dose_g=40.0).planned
        brewed(planned_from(store, scaled, scaled.recipe), 245.0)
        brewed(plan(bag), 165.0)  # the small one again, so that no size is settled on
    # By hand: ln(200 / 120) / ln(40 / 15) = 0.521.
    exponent = learned(store, kit())
    assert exponent.brews == 3
    assert exponent.middle == pytest.approx(0.521, abs=0.001)
    again = scale(store, plan(bag), kit(), dose_g=40.0)
    assert again.estimate.middle_s == pytest.approx(245.0, abs=1.0)
    assert "Learned from your 3 brews" in words.sentences(again.told)


def test_a_time_mended_later_is_the_one_that_counts(
    store, clock, kit, large_cone, small, plan, brewed
):
    bag = small()
    scaled = scale(store, plan(bag), kit(), dose_g=40.0).planned
    brewed(planned_from(store, scaled, scaled.recipe), 245.0)
    for drained_s in (120.0, 185.0):
        first = cups_of(store, bag)[0].brew
        correct_drained(store, first.id, drained_s, clock=clock)
    # By hand: ln(200 / 140) / ln(40 / 15) = 0.364, a third of it with two thirds of the prior.
    assert learned(store, kit()).middle == pytest.approx(0.364 / 3 + 2 / 9, abs=0.001)
    assert cups_of(store, bag)[1].scaled


def test_another_grind_teaches_nothing_of_size(store, kit, large_cone, small, plan, brewed):
    scaled = scale(store, plan(small()), kit(), dose_g=40.0).planned
    coarser = replace(scaled.recipe, setting=read_setting(kit().grinder, kit().zero, "22"))
    brewed(planned_from(store, scaled, coarser), 200.0)
    assert learned(store, kit()).brews == 0


def test_a_scaled_brew_knows_what_was_expected_of_it(store, kit, large_cone, small, plan, brewed):
    bag = small()
    scaled = scale(store, plan(bag), kit(), dose_g=40.0).planned
    brew = brewed(planned_from(store, scaled, scaled.recipe), 211.0)
    assert expected(store, brew, kit()).middle_s == pytest.approx(211, abs=1)
    assert expected(store, cups_of(store, bag)[0].brew, kit()) is None


def test_a_scaled_cups_time_is_not_in_the_small_recipes_band(
    store, kit, large_cone, small, plan, brewed
):
    bag = small()
    before = own_band(store, plan(bag).recipe, kit())
    scaled = scale(store, plan(bag), kit(), dose_g=40.0).planned
    brewed(planned_from(store, scaled, scaled.recipe), 300.0)
    assert own_band(store, plan(bag).recipe, kit()) == before


def test_after_guests_the_plan_is_the_small_recipe_again(
    store, clock, kit, large_cone, small, plan, brewed
):
    bag = small()
    scaled = scale(store, plan(bag), kit(), dose_g=40.0).planned
    brewed(planned_from(store, scaled, scaled.recipe), 211.0)
    assert plan(bag).recipe.dose_g == 15.0
    assert good_one(store, bag.id).recipe.dose_g == 15.0
    with store.reading() as r:
        lot = r.get(Lot, bag.lot_id)
    sheet = coffee_sheet(store, lot.coffee_id, clock().date())
    assert sheet.last.brew.plan.dose_g == 15.0
    assert sheet.next_before.dose_g == 15.0


def test_the_larger_size_twice_in_a_row_is_the_size_to_go_on_with(
    store, kit, large_cone, small, plan, brewed
):
    bag = small()
    scaled = scale(store, plan(bag), kit(), dose_g=40.0).planned
    for _ in range(2):
        brewed(planned_from(store, scaled, scaled.recipe), 211.0)
    assert plan(bag).recipe.dose_g == 40.0


def test_an_advice_accepted_on_the_larger_size_is_followed(
    store, clock, kit, large_cone, small, plan, brewed
):
    bag = small()
    scaled = scale(store, plan(bag), kit(), dose_g=40.0).planned
    brew = brewed(
        planned_from(store, scaled, scaled.recipe), 211.0, Verdict.CHANGE, Marks(sour=7.0)
    )
    answer(store, brew.id, advise(store, brew.id), Answer.ACCEPTED, clock=clock)
    assert plan(bag).recipe.dose_g == 40.0


def test_a_scaled_brew_is_no_change_without_gain_and_no_new_recipe(
    store, kit, large_cone, small, plan, brewed
):
    bag = small()
    scaled = scale(store, plan(bag), kit(), dose_g=40.0).planned
    coarser = replace(scaled.recipe, setting=read_setting(kit().grinder, kit().zero, "22"))
    planned = planned_from(store, scaled, coarser)
    assert planned.changes == ()
    brewed(planned, 230.0, Verdict.CHANGE, Marks(sour=8.0))
    cups = cups_of(store, bag)
    assert cups[-1].scaled
    assert changes_without_gain(cups[:-1], cups[-1].brew, cups[-1].tasting) == 0
    assert status_of(cups) is Status.ONE_GOOD_CUP


def test_a_scaled_brew_does_not_break_a_run_of_changes_without_gain(
    store, kit, large_cone, small, plan, brewed
):
    bag = small()

    def changed(text):
        now = plan(bag)
        setting = read_setting(kit().grinder, kit().zero, text)
        moved = planned_from(store, now, replace(now.recipe, setting=setting))
        return brewed(moved, 165.0, Verdict.CHANGE, Marks(sour=7.0, bitter=5.0))

    changed("18")
    changed("16")
    before = count_of(store, bag)
    scaled = scale(store, plan(bag), kit(), dose_g=40.0).planned
    brewed(planned_from(store, scaled, scaled.recipe), 211.0, Verdict.CHANGE, Marks(sour=2.0))
    changed("14")
    assert count_of(store, bag) == before + 1


def cups_of(store, bag):
    with store.reading() as r:
        return cups_of_bag(r, bag.id)


def count_of(store, bag):
    cups = cups_of(store, bag)
    return changes_without_gain(cups[:-1], cups[-1].brew, cups[-1].tasting)
