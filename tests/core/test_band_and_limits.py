"""The person's own drained band, and the limits gathered for an advice."""

from dataclasses import replace

import pytest

from halfclick.model.brew import Mode, Slip, SlipKind
from halfclick.model.departures import departures
from halfclick.model.grinder import read_setting
from halfclick.model.kit import DrainedRule, Dripper, DripperShape
from halfclick.model.recipe import Recipe, even_pours
from halfclick.model.tasting import Verdict
from halfclick.service.band import own_band
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.limits import limits_of
from halfclick.service.plan import Planned
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting


@pytest.fixture
def kit(store, clock):
    set_up_kitchen(store, KitchenEntry(step_um=25.0, server_capacity_g=400.0), clock=clock)
    return kit_in_use(store)


@pytest.fixture
def recipe(kit):
    return Recipe(
        dose_g=15.0,
        water_g=240.0,
        temperature_c=93.0,
        setting=read_setting(kit.grinder, kit.zero, "18"),
        pours=even_pours(15.0, 240.0, count=2),
    )


@pytest.fixture
def keep(store, clock, kit):
    bag = add_coffee(store, CoffeeEntry(name="Fell Side"), clock=clock).value

    def kept(recipe, drained_s, verdict=Verdict.KEEP, on=kit, slips=()):
        clock.advance(86_400)
        planned = Planned(bag_id=bag.id, recipe=recipe, mode=Mode.EXPERIMENT)
        entry = BrewEntry(planned=planned, water_g=recipe.water_g, drained_s=drained_s, slips=slips)
        brew = record_brew(store, entry, on, clock=clock).value
        record_tasting(store, brew.id, TastingEntry(verdict=verdict), clock=clock)
        return brew

    return kept


def test_no_kept_cup_is_no_band(store, kit, recipe, keep):
    keep(recipe, 160.0, Verdict.CHANGE)
    keep(recipe, None)
    assert own_band(store, recipe, kit) is None


def test_one_kept_cup_gives_fifteen_seconds_either_way(store, kit, recipe, keep):
    keep(recipe, 160.0)
    band = own_band(store, recipe, kit)
    assert (band.low_s, band.high_s, band.brews) == (145.0, 175.0, 1)


def test_two_near_times_make_half_a_minute(store, kit, recipe, keep):
    keep(recipe, 157.0)
    keep(recipe, 173.0)
    band = own_band(store, recipe, kit)
    assert (band.low_s, band.high_s, band.brews) == (150.0, 180.0, 2)


def test_far_times_are_the_band_as_they_are(store, kit, recipe, keep):
    keep(recipe, 140.0)
    keep(recipe, 200.0)
    band = own_band(store, recipe, kit)
    assert (band.low_s, band.high_s) == (140.0, 200.0)


@pytest.mark.parametrize(
    "other",
    [
        {"pours": even_pours(15.0, 240.0, count=3)},
        {"pours": even_pours(15.0, 240.0, count=2, bloom_s=90.0)},
        {"dose_g": 20.0, "water_g": 320.0, "pours": even_pours(20.0, 320.0, count=2)},
        {"water_g": 300.0, "pours": even_pours(15.0, 300.0, count=2)},
        {"pours": even_pours(15.0, 240.0, count=2, bloom_multiple=2.0)},
        {"steep_s": 180.0},
    ],
)
def test_another_schedule_or_dose_is_another_band(store, kit, recipe, keep, other):
    keep(recipe, 160.0)
    assert own_band(store, replace(recipe, **other), kit) is None


def test_a_dose_within_a_seventh_shares_the_band(store, kit, recipe, keep):
    keep(recipe, 160.0)
    near = replace(recipe, dose_g=17.0, water_g=272.0, pours=even_pours(17.0, 272.0, count=2))
    assert own_band(store, near, kit) is not None


@pytest.mark.parametrize("kind", [SlipKind.OTHER_PAPER, SlipKind.PAPER_LEAKED])
def test_a_brew_of_another_paper_or_past_it_is_kept_out_of_the_band(store, kit, recipe, keep, kind):
    brew = keep(recipe, 190.0, slips=(Slip(kind=kind),))
    assert own_band(store, recipe, kit) is None
    assert brew.weight < 0.7
    assert ("departed.paper" in [one.code for one in departures(brew)]) is (
        kind is SlipKind.OTHER_PAPER
    )


def test_another_meaning_of_drained_is_another_band(store, kit, recipe, keep):
    keep(recipe, 160.0)
    otherwise = replace(kit, kitchen=replace(kit.kitchen, drained_rule=DrainedRule.BED_VISIBLE))
    assert own_band(store, recipe, otherwise) is None


def test_another_dripper_is_another_band(store, kit, recipe, keep):
    keep(recipe, 160.0)
    flat = Dripper(id=kit.grinder.id, name="flat", shape=DripperShape.FLAT_BOTTOM)
    assert own_band(store, recipe, replace(kit, dripper=flat)) is None


def test_limits_reach_a_search_step_and_half_of_it_either_way(store, kit, recipe):
    limits = limits_of(store, recipe, kit)
    reached = (limits.finer, limits.half_finer, limits.half_coarser, limits.coarser)
    assert [setting.text for setting in reached] == ["16", "17", "19", "20"]
    assert limits.capacity_g == 400.0


def test_a_dial_that_ends_is_a_limit(store, kit, recipe):
    at_zero = replace(recipe, setting=read_setting(kit.grinder, kit.zero, "1"))
    limits = limits_of(store, at_zero, kit)
    assert limits.finer is None
    assert limits.half_finer.text == "0"


def test_a_dial_of_coarse_steps_has_no_half(store, kit, recipe):
    coarse = replace(kit, grinder=replace(kit.grinder, step_um=60.0))
    limits = limits_of(store, recipe, coarse)
    assert (limits.search_steps, limits.half_finer) == (1, None)


def test_only_a_measured_dripper_limits_a_pour(store, kit, recipe):
    assert limits_of(store, recipe, kit).room_g is None
    measured = replace(kit.dripper, top_m=0.115, bottom_m=0.01, height_m=0.09)
    limits = limits_of(store, recipe, replace(kit, dripper=measured))
    assert 150 < limits.room_g < 250


def test_the_boiling_point_is_this_kitchens(store, kit, recipe):
    high = replace(kit, kitchen=replace(kit.kitchen, altitude_m=2000.0))
    assert limits_of(store, recipe, kit).boiling_c == pytest.approx(99.97, abs=0.05)
    assert limits_of(store, recipe, high).boiling_c == pytest.approx(93.3, abs=0.3)
