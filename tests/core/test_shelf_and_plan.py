"""Bags, kit, first recipes, plans and history over a real journal."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from halfclick.errors import BadInput
from halfclick.model.advice import Advice, Answer, Evidence, Outcome
from halfclick.model.brew import Mode
from halfclick.model.coffee import PrintedRecipe, Process, Roast, age_days
from halfclick.model.grinder import ZeroFound, ZeroReason
from halfclick.model.kit import DripperShape
from halfclick.model.moves import differences, with_ratio, with_temperature
from halfclick.model.recipe import Lever
from halfclick.model.tasting import Verdict
from halfclick.physics.vessel import Inside, level_m, volume_ml
from halfclick.service.advise import answer
from halfclick.service.coffees import (
    CoffeeEntry,
    bury_coffee,
    buy_again,
    change_coffee,
    entry_of,
    left_in,
    restore_coffee,
    say_left,
    shelf,
)
from halfclick.service.cups import Status
from halfclick.service.first_recipe import first_recipe
from halfclick.service.grinders import take_zero
from halfclick.service.history import coffee_history
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import (
    good_one,
    next_plan,
    planned_from,
    sized_for_cup,
    sized_for_dose,
    sized_for_water,
)
from halfclick.service.plan_check import check_plan
from halfclick.service.sheet import coffee_sheet

LIGHT_WASHED = {"process": Process.WASHED, "roast": Roast.LIGHT}


def coffee_of(store, clock, name: str):
    return next(row.coffee for row in shelf(store, clock().date()) if row.coffee.name == name)


def test_age_stands_still_in_the_freezer(store, clock, coffee):
    bag = coffee(
        "Tarn Hollow",
        roasted_on=date(2026, 11, 1),
        frozen_on=date(2026, 11, 8),
        thawed_on=date(2026, 11, 18),
    )
    row = shelf(store, date(2026, 11, 25))[0]
    # Worked by hand: 24 days, of which 10 frozen.
    assert row.age_days == 14
    still = replace(bag, thawed_on=None)
    assert age_days(row.lot, still, date(2026, 11, 25)) == 7


def test_a_bag_knows_what_is_left_after_brews_and_purges(store, clock, coffee, cup):
    bag = coffee("Tarn Hollow", weight_g=100.0)
    cup(bag, "20")
    cup(bag, "20")
    assert left_in(store, bag.id) == 70.0
    cup(bag, "18")
    # 15 g and a purge of 2 g for the new setting.
    assert left_in(store, bag.id) == 53.0
    assert shelf(store, clock().date())[0].brews_left == 3
    say_left(store, bag.id, 31.0, clock=clock)
    assert left_in(store, bag.id) == 31.0


def test_buying_again_keeps_what_was_learned_and_starts_a_new_lot(store, clock, coffee, cup):
    bag = coffee("Tarn Hollow", roasted_on=date(2026, 10, 1))
    cup(bag, "18", Verdict.KEEP)
    coffee_id = coffee_of(store, clock, "Tarn Hollow").id
    entry = CoffeeEntry(name="Tarn Hollow", roasted_on=date(2026, 11, 20))
    again = buy_again(store, coffee_id, entry, clock=clock).value
    assert again.lot_id != bag.lot_id
    assert next_plan(store, again.id, today=clock().date()).recipe.setting.text == "18"
    assert len(shelf(store, clock().date())) == 1


def test_a_label_is_changed_and_a_coffee_put_away_and_brought_back(store, clock, coffee):
    bag = coffee("Tarn Holow")
    change_coffee(store, bag.id, replace(entry_of(store, bag.id), name="Tarn Hollow"), clock=clock)
    found = coffee_of(store, clock, "Tarn Hollow")
    bury_coffee(store, found.id, clock=clock)
    assert not shelf(store, clock().date())
    restore_coffee(store, found.id, clock=clock)
    assert len(shelf(store, clock().date())) == 1


def test_a_first_recipe_comes_from_the_nearest_own_coffees(store, clock, coffee, cup, words):
    for name, setting in (("Fell Beck", "17"), ("Ash Gill", "19")):
        cup(coffee(name, **LIGHT_WASHED), setting, Verdict.KEEP)
    cup(coffee("Pell Ridge", process=Process.NATURAL, roast=Roast.DARK), "30", Verdict.KEEP)
    bag = coffee("Tarn Hollow", **LIGHT_WASHED)
    first = first_recipe(store, bag.id, today=clock().date())
    assert first.recipe.setting.text == "18"
    assert {one.coffee.name for one in first.neighbours} == {"Fell Beck", "Ash Gill"}
    grind = next(one for one in first.reasons if one.part == "grind")
    assert "18 ± 2, from your 2 nearest coffees" in words.sentence(grind.message)
    assert grind.evidence is Evidence.MEASURED_HERE


def test_without_a_near_coffee_the_label_speaks_then_my_usual(store, clock, coffee, cup):
    cup(coffee("Fell Beck", process=Process.NATURAL, roast=Roast.DARK), "24", Verdict.KEEP)
    printed = PrintedRecipe(dose_g=18.0, water_g=300.0, temperature_c=91.0)
    labelled = coffee("Tarn Hollow", printed=printed, **LIGHT_WASHED)
    first = first_recipe(store, labelled.id, today=clock().date())
    assert (first.recipe.dose_g, first.recipe.water_g) == (18.0, 300.0)
    assert first.recipe.temperature_c == 91.0
    plain = coffee("Ash Gill", **LIGHT_WASHED)
    usual = first_recipe(store, plain.id, today=clock().date())
    assert usual.recipe.setting.text == "24"


@pytest.mark.parametrize(("roast", "water_c"), [("light", 95.0), ("medium", 93.0), ("dark", 88.0)])
def test_without_any_cup_the_trade_speaks_and_no_setting_is_invented(
    store, clock, coffee, kit, roast, water_c
):
    bag = coffee("Tarn Hollow", roast=Roast(roast))
    first = first_recipe(store, bag.id, today=clock().date())
    assert first.recipe.temperature_c == water_c
    assert first.recipe.setting is None
    assert {one.part for one in first.reasons} == {
        "dose",
        "ratio",
        "temperature",
        "grind",
        "bloom",
        "pours",
    }


def test_no_recipe_is_hotter_than_water_boils_in_the_kitchen(store, clock, coffee):
    set_up_kitchen(store, KitchenEntry(altitude_m=2000.0), clock=clock)
    bag = coffee("Tarn Hollow", roast=Roast.LIGHT)
    first = first_recipe(store, bag.id, today=clock().date())
    # 93.32 C at 2000 m (ambiance and iapws), down to the half degree.
    assert first.recipe.temperature_c == 93.0


def test_every_size_keeps_ratio_and_bloom(store, clock, coffee, kit):
    recipe = first_recipe(store, coffee("Tarn Hollow").id, today=clock().date()).recipe
    for sized in (
        sized_for_cup(recipe, 300.0),
        sized_for_dose(recipe, 22.0),
        sized_for_water(recipe, 400.0),
    ):
        assert sized.ratio == pytest.approx(recipe.ratio, rel=0.01)
        assert sized.bloom_multiple == pytest.approx(recipe.bloom_multiple, rel=0.03)
        assert [pour.start_s for pour in sized.pours] == [pour.start_s for pour in recipe.pours]


def test_what_speaks_against_a_plan_is_said_with_the_way_out(store, clock, coffee, words):
    entry = KitchenEntry(shape=DripperShape.FLAT_BOTTOM, server_capacity_g=250.0)
    set_up_kitchen(store, entry, clock=clock)
    kit = kit_in_use(store)
    recipe = first_recipe(store, coffee("Tarn Hollow").id, today=clock().date()).recipe
    said = words.sentences(check_plan(sized_for_dose(recipe, 60.0), kit, left_g=40.0))
    assert "the server holds" in said
    assert "could come near the rim" in said
    assert "The bag has about" in said
    shallow = words.sentences(check_plan(sized_for_dose(recipe, 8.0), kit))
    assert "finds short cuts" in shallow
    assert not check_plan(recipe, replace(kit, server=None), left_g=40.0)


@pytest.mark.parametrize("shape", list(DripperShape))
def test_the_first_recipe_of_every_shape_suits_the_shape(store, clock, coffee, shape):
    set_up_kitchen(store, KitchenEntry(shape=shape), clock=clock)
    first = first_recipe(store, coffee("Tarn Hollow").id, today=clock().date())
    assert not check_plan(first.recipe, kit_in_use(store))


def test_an_accepted_advice_is_the_next_plan_and_a_refused_one_is_not(store, clock, coffee, cup):
    bag = coffee("Tarn Hollow")
    brew = cup(bag, "20", Verdict.CHANGE)
    hotter = with_temperature(brew.plan, 90.0)
    advice = Advice(
        outcome=Outcome.CHANGE,
        rule="sour_hotter",
        recipe=hotter,
        evidence=Evidence.CONSENSUS,
        changes=differences(brew.plan, hotter),
    )
    answer(store, brew.id, advice, Answer.REFUSED, reason="no", clock=clock)
    assert next_plan(store, bag.id, today=clock().date()).changes == ()
    clock.advance(5)
    answer(store, brew.id, advice, Answer.ACCEPTED, clock=clock)
    planned = next_plan(store, bag.id, today=clock().date())
    assert planned.recipe.temperature_c == 90.0
    assert [change.lever for change in planned.changes] == [Lever.TEMPERATURE]
    assert planned.parent_id == brew.id


def test_the_good_one_is_exact_at_todays_zero(store, clock, coffee, cup, kit):
    bag = coffee("Tarn Hollow")
    cup(bag, "18", Verdict.KEEP)
    cup(bag, "22", Verdict.CHANGE)
    take_zero(
        store,
        kit().grinder.id,
        reading_text="2",
        found=ZeroFound.FIRST_RUB,
        reason=ZeroReason.CLEANED,
        clock=clock,
    )
    planned = good_one(store, bag.id)
    assert planned.mode is Mode.GOOD_ONE
    assert (planned.recipe.setting.text, planned.recipe.setting.steps) == ("20", 18)


def test_a_plan_changed_by_hand_keeps_what_was_moved_and_why(store, clock, coffee, cup, words):
    bag = coffee("Tarn Hollow")
    brew = cup(bag, "20", Verdict.CHANGE)
    planned = next_plan(store, bag.id, today=clock().date())
    moved = planned_from(store, planned, with_ratio(brew.plan, 17.0), "it was heavy")
    assert [(c.lever, c.amount) for c in moved.changes] == [(Lever.RATIO, 1.0)]
    assert words.sentences(moved.why) == "it was heavy"


def test_a_frustum_is_a_cone_and_a_cylinder_at_its_ends():
    cone = Inside(top_m=0.1, bottom_m=0.0, height_m=0.09, measured=True)
    # pi r^2 h / 3 and pi r^2 h.
    assert volume_ml(cone, 0.09) == pytest.approx(235.62, abs=0.01)
    can = Inside(top_m=0.08, bottom_m=0.08, height_m=0.06, measured=True)
    assert volume_ml(can, 0.06) == pytest.approx(301.59, abs=0.01)
    assert level_m(cone, volume_ml(cone, 0.05)) == pytest.approx(0.05, abs=1e-6)


def test_history_tells_the_chain_the_breaks_and_how_far_it_is(
    store, clock, coffee, cup, kit, words
):
    bag = coffee("Tarn Hollow")
    cup(bag, "20", Verdict.CHANGE)
    cup(bag, "18", Verdict.KEEP)
    take_zero(
        store,
        kit().grinder.id,
        reading_text="",
        found=ZeroFound.NOT_CHECKED,
        reason=ZeroReason.NEW_BURRS,
        clock=clock,
    )
    cup(bag, "18", Verdict.KEEP)
    coffee_id = coffee_of(store, clock, "Tarn Hollow").id
    history = coffee_history(store, coffee_id)
    assert [point.cup.number for point in history.chain] == [1, 2, 3]
    assert [point.break_before for point in history.points] == [None, None, ZeroReason.NEW_BURRS]
    assert history.points[1].changes[0].amount == -2
    assert history.status is Status.REPEATED
    said = words.sentences(history.summary)
    assert "3 cups of Tarn Hollow. The grind went from 20 to 18." in said
    assert "zero changed once" in said
    sheet = coffee_sheet(store, coffee_id, clock().date())
    assert (sheet.cups, sheet.status) == (3, Status.REPEATED)
    assert len(sheet.strip) == 3


def test_a_new_zero_is_read_as_the_dial_is_written(store, clock, kit):
    with pytest.raises(BadInput):
        take_zero(
            store,
            kit().grinder.id,
            reading_text="A",
            found=ZeroFound.FIRST_RUB,
            reason=ZeroReason.CLEANED,
            clock=clock,
        )
    assert kit().zero.reason is ZeroReason.FIRST


def test_a_day_is_what_a_bag_is_counted_in(store, clock, coffee):
    coffee("Tarn Hollow", roasted_on=clock().date() - timedelta(days=12))
    assert shelf(store, clock().date())[0].age_days == 12
