"""Where a first recipe comes from: own nearest cups, the label, my usual, typical starts."""

from dataclasses import replace
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.model.advice import Evidence
from halfclick.model.coffee import Coffee, PrintedRecipe, Process, Roast
from halfclick.model.grinder import Grinder, ZeroFound, ZeroReason
from halfclick.model.kit import Dripper, DripperShape
from halfclick.model.numbering import Numbering, Scheme
from halfclick.model.tasting import Verdict
from halfclick.service.first_recipe import first_recipe
from halfclick.service.grinders import take_zero
from halfclick.service.kitchens import (
    KitchenEntry,
    add_thing,
    change_thing,
    put_to_use,
    set_up_kitchen,
)
from halfclick.service.likeness import likeness_of
from halfclick.service.priors import STEEP_S, prior_of

LIGHT_WASHED = {"process": Process.WASHED, "roast": Roast.LIGHT}
DARK_NATURAL = {"process": Process.NATURAL, "roast": Roast.DARK}
PARTS = {"dose", "ratio", "temperature", "grind", "bloom", "pours"}
COFFEES = st.builds(
    Coffee,
    id=st.uuids(),
    name=st.just("Tarn Hollow"),
    roaster=st.sampled_from(["", "Beck Side", "Gill Foot"]),
    origin=st.sampled_from(["", "Huila", "Sidama"]),
    process=st.none() | st.sampled_from(Process),
    roast=st.none() | st.sampled_from(Roast),
    decaf=st.booleans(),
)


@pytest.fixture
def first(store, clock):
    """Return what asks for the first recipe of a bag."""
    return lambda bag: first_recipe(store, bag.id, today=clock().date())


def reason_of(found, part):
    return next(one for one in found.reasons if one.part == part)


def test_without_a_kit_there_is_no_recipe(coffee, first):
    with pytest.raises(ValueError, match="no kit"):
        first(coffee("Tarn Hollow"))


def test_a_new_grinder_starts_half_a_millimetre_from_its_zero(coffee, kit, first, words, clock):
    """By hand: 500 um in steps of 25 um are 20 clicks; without a travel nothing is said."""
    kit()
    grind = reason_of(first(coffee("Tarn Hollow", **LIGHT_WASHED)), "grind")
    assert "near 20 on this dial" in words.sentence(grind.message)


def test_a_new_grinder_of_unknown_travel_is_given_no_number(store, coffee, kit, first, clock):
    change_thing(store, replace(kit().grinder, step_um=None), clock=clock)
    found = first(coffee("Tarn Hollow", **LIGHT_WASHED))
    assert reason_of(found, "grind").message.code == "first.grind_unknown"
    assert found.recipe.setting is None


def test_the_setting_is_the_middle_of_the_neighbours_with_its_band(coffee, cup, first, words):
    for name, setting in (("Fell Beck", "16"), ("Ash Gill", "20")):
        cup(coffee(name, **LIGHT_WASHED), setting, Verdict.KEEP)
    found = first(coffee("Tarn Hollow", **LIGHT_WASHED))
    grind = reason_of(found, "grind")
    assert (found.recipe.setting.text, grind.low, grind.high) == ("18", 16.0, 20.0)
    assert "18 ± 2, from your 2 nearest coffees" in words.sentence(grind.message)


def test_neighbours_far_apart_make_a_wide_band(coffee, cup, first, words):
    for name, setting in (("Fell Beck", "14"), ("Ash Gill", "24")):
        cup(coffee(name, **LIGHT_WASHED), setting, Verdict.KEEP)
    grind = reason_of(first(coffee("Tarn Hollow", **LIGHT_WASHED)), "grind")
    assert "19 ± 5" in words.sentence(grind.message)


def test_one_neighbour_is_a_band_too(coffee, cup, first, words):
    cup(coffee("Fell Beck", **LIGHT_WASHED), "17", Verdict.KEEP)
    found = first(coffee("Tarn Hollow", **LIGHT_WASHED))
    said = words.sentence(reason_of(found, "grind").message)
    assert "17 ± 2" in said
    assert "2 nearest" not in said


def test_of_three_like_coffees_the_two_brewed_last_are_asked(coffee, cup, first):
    for name, setting in (("Pell Ridge", "30"), ("Fell Beck", "17"), ("Ash Gill", "19")):
        cup(coffee(name, **LIGHT_WASHED), setting, Verdict.KEEP)
    found = first(coffee("Tarn Hollow", **LIGHT_WASHED))
    assert [one.coffee.name for one in found.neighbours] == ["Ash Gill", "Fell Beck"]


def test_a_neighbour_speaks_by_its_newest_good_cup(coffee, cup, first):
    bag = coffee("Fell Beck", **LIGHT_WASHED)
    cup(bag, "24", Verdict.KEEP)
    cup(bag, "20", Verdict.KEEP)
    cup(bag, "12", Verdict.CHANGE)
    assert first(coffee("Tarn Hollow", **LIGHT_WASHED)).recipe.setting.text == "20"


def test_every_number_of_a_neighbour_has_a_reason_that_names_it(coffee, cup, first, words):
    cup(coffee("Fell Beck", **LIGHT_WASHED), "17", Verdict.KEEP)
    found = first(coffee("Tarn Hollow", **LIGHT_WASHED))
    assert {one.part for one in found.reasons} == PARTS
    for part in PARTS - {"grind"}:
        assert "Fell Beck" in words.sentence(reason_of(found, part).message)


def test_a_neighbours_setting_is_told_at_todays_zero(store, clock, coffee, cup, kit, first):
    cup(coffee("Fell Beck", **LIGHT_WASHED), "17", Verdict.KEEP)
    re_zero(store, clock, kit, "3")
    setting = first(coffee("Tarn Hollow", **LIGHT_WASHED)).recipe.setting
    assert (setting.text, setting.steps) == ("20", 17)


def test_a_setting_that_todays_dial_does_not_reach_is_left_open(
    store, clock, coffee, cup, kit, first, words
):
    cup(coffee("Fell Beck", **LIGHT_WASHED), "17", Verdict.KEEP)
    ends = Numbering(scheme=Scheme.CLICKS, highest="20")
    change_thing(store, replace(kit().grinder, numbering=ends), clock=clock)
    re_zero(store, clock, kit, "9")
    found = first(coffee("Tarn Hollow", **LIGHT_WASHED))
    assert found.recipe.setting is None
    said = words.sentence(reason_of(found, "grind").message)
    assert "past the end of the dial" in said


@pytest.mark.parametrize("like", [LIGHT_WASHED, DARK_NATURAL], ids=["neighbour", "usual"])
def test_settings_from_before_new_burrs_are_not_offered(
    store, clock, coffee, cup, kit, first, words, like
):
    cup(coffee("Fell Beck", **like), "17", Verdict.KEEP)
    take_zero(
        store,
        kit().grinder.id,
        reading_text="",
        found=ZeroFound.FIRST_RUB,
        reason=ZeroReason.NEW_BURRS,
        clock=clock,
    )
    found = first(coffee("Tarn Hollow", **LIGHT_WASHED))
    assert found.recipe.setting is None
    assert found.recipe.dose_g == 15.0
    said = words.sentence(reason_of(found, "grind").message)
    assert "Fell Beck were ground with the burrs before these" in said
    cup(coffee("Ash Gill", **like), "21", Verdict.KEEP)
    found = first(coffee("Gill Foot", **LIGHT_WASHED))
    assert found.recipe.setting.text == "21"


@pytest.mark.parametrize("kind", [Grinder, Dripper])
def test_cups_of_another_grinder_or_dripper_teach_nothing(
    store, clock, coffee, cup, kit, first, kind
):
    cup(coffee("Fell Beck", **LIGHT_WASHED), "17", Verdict.KEEP)
    other = (
        Grinder(id=uuid4(), name="Other", numbering=Numbering(scheme=Scheme.CLICKS))
        if kind is Grinder
        else replace(kit().dripper, id=uuid4(), name="Other")
    )
    add_thing(store, other, clock=clock)
    put_to_use(store, other, clock=clock)
    found = first(coffee("Tarn Hollow", **LIGHT_WASHED))
    assert (found.recipe.setting, found.neighbours) == (None, ())


@pytest.mark.parametrize(
    ("printed", "dose_g", "water_g", "told"),
    [
        ({"dose_g": 18.0, "water_g": 300.0}, 18.0, 300.0, {"dose", "ratio", "grind"}),
        # At the typical 1:16 of a steep cone.
        ({"dose_g": 20.0}, 20.0, 320.0, {"dose", "grind"}),
        ({"water_g": 400.0}, 25.0, 400.0, {"grind"}),
    ],
)
def test_a_label_gives_what_it_says_and_the_rest_is_typical(
    coffee, kit, first, words, printed, dose_g, water_g, told
):
    found = first(coffee("Tarn Hollow", printed=PrintedRecipe(**printed), **LIGHT_WASHED))
    assert (found.recipe.dose_g, found.recipe.water_g) == (dose_g, water_g)
    assert found.recipe.temperature_c == 95.0
    printed_on_it = {one.part for one in found.reasons if one.evidence is Evidence.FOLKLORE}
    assert printed_on_it == told
    assert reason_of(found, "temperature").evidence is Evidence.CONTESTED
    for one in found.reasons:
        assert words.sentence(one.message)


def test_a_label_that_tells_only_grind_words_is_no_recipe(coffee, kit, first):
    found = first(coffee("Tarn Hollow", printed=PrintedRecipe(grind_words="medium")))
    assert reason_of(found, "dose").evidence is Evidence.CONSENSUS


def test_my_usual_is_the_newest_good_cup_of_any_coffee(coffee, cup, first, words):
    cup(coffee("Pell Ridge", **DARK_NATURAL), "26", Verdict.KEEP)
    cup(coffee("Fell Beck", **DARK_NATURAL), "24", Verdict.KEEP)
    found = first(coffee("Tarn Hollow", **LIGHT_WASHED))
    assert found.recipe.setting.text == "24"
    assert {one.part for one in found.reasons} == PARTS
    assert "Fell Beck" in words.sentence(reason_of(found, "grind").message)


@pytest.mark.parametrize("verdict", [Verdict.CHANGE, None])
def test_a_cup_that_was_not_kept_teaches_no_first_recipe(coffee, cup, first, verdict):
    cup(coffee("Fell Beck", **LIGHT_WASHED), "17", verdict)
    assert first(coffee("Tarn Hollow", **LIGHT_WASHED)).recipe.setting is None


# Common practice, no source.
@pytest.mark.parametrize(
    ("shape", "dose_g", "water_g", "pours"),
    [
        (DripperShape.STEEP_CONE, 15.0, 240.0, 3),
        (DripperShape.FLAT_BOTTOM, 20.0, 320.0, 4),
        (DripperShape.WEDGE, 18.0, 288.0, 3),
        (DripperShape.THICK_PAPER_CONE, 30.0, 500.0, 4),
        (DripperShape.IMMERSION, 16.0, 256.0, 2),
    ],
)
def test_every_shape_has_its_typical_size(
    store, clock, coffee, first, words, shape, dose_g, water_g, pours
):
    set_up_kitchen(store, KitchenEntry(shape=shape), clock=clock)
    found = first(coffee("Tarn Hollow"))
    recipe = found.recipe
    assert (recipe.dose_g, recipe.water_g, len(recipe.pours)) == (dose_g, water_g, pours)
    assert recipe.steep_s == (STEEP_S if shape is DripperShape.IMMERSION else None)
    for one in found.reasons:
        assert words.sentence(one.message)


def test_a_darker_roast_is_never_brewed_hotter():
    priors = [
        prior_of(Coffee(id=uuid4(), name="Tarn Hollow", roast=roast), DripperShape.WEDGE)
        for roast in (Roast.LIGHT, Roast.MEDIUM, Roast.DARK)
    ]
    asked = [prior.temperature_c for prior in priors]
    assert asked == sorted(asked, reverse=True)
    assert all(prior.low_c <= prior.temperature_c <= prior.high_c for prior in priors)


@pytest.mark.parametrize("facts", [{"decaf": True}, {"process": Process.ANAEROBIC}])
def test_decaf_and_experimental_lots_start_cooler_and_say_why(coffee, kit, first, words, facts):
    # Common practice, no source.
    found = first(coffee("Tarn Hollow", roast=Roast.LIGHT, **facts))
    assert found.recipe.temperature_c == 93.0
    assert "a little below the usual" in words.sentence(reason_of(found, "temperature").message)


def test_at_two_thousand_metres_the_reason_tells_of_the_cap(store, clock, coffee, first, words):
    set_up_kitchen(store, KitchenEntry(altitude_m=2000.0), clock=clock)
    found = first(coffee("Tarn Hollow", roast=Roast.LIGHT))
    told = reason_of(found, "temperature")
    assert (found.recipe.temperature_c, told.high) == (93.0, 93.0)
    assert told.evidence is Evidence.STANDARD
    said = words.sentence(told.message)
    assert "93" in said
    assert "95" in said


def test_what_stays_below_boiling_is_not_capped(store, clock, coffee, first):
    set_up_kitchen(store, KitchenEntry(altitude_m=2000.0), clock=clock)
    found = first(coffee("Tarn Hollow", roast=Roast.DARK))
    assert found.recipe.temperature_c == 88.0
    assert reason_of(found, "temperature").evidence is Evidence.CONTESTED


@given(COFFEES, COFFEES)
def test_likeness_is_a_share_and_the_same_from_either_side(one, other):
    likeness = likeness_of(one, other)
    assert 0.0 <= likeness.share <= 1.0
    assert likeness == likeness_of(other, one)


def test_likeness_names_what_two_coffees_share(words):
    one = Coffee(id=uuid4(), name="Tarn Hollow", origin="Huila", **LIGHT_WASHED)
    other = Coffee(id=uuid4(), name="Fell Beck", origin=" huila ", roast=Roast.LIGHT)
    alike = likeness_of(one, other).alike
    assert [message.code for message in alike] == ["alike.roast", "alike.decaf", "alike.origin"]
    assert words.sentences(alike)


def re_zero(store, clock, kit, reading_text):
    clock.advance(60)
    take_zero(
        store,
        kit().grinder.id,
        reading_text=reading_text,
        found=ZeroFound.FIRST_RUB,
        reason=ZeroReason.REZEROED,
        clock=clock,
    )
