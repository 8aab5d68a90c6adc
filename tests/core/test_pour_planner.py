"""Pours that fit a dripper: below its rim, and no bed left dry between them."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from flat_dripper import flat_kitchen, recipe_of

from halfclick.errors import BadInput
from halfclick.model.changes import told
from halfclick.model.kit import DripperShape
from halfclick.model.moves import differences
from halfclick.model.recipe import Change, Lever
from halfclick.physics.vessel import RIM_MARGIN_M
from halfclick.service.foresee import foresee
from halfclick.service.kitchens import kit_in_use
from halfclick.service.learned import learn
from halfclick.service.plan import moves_beside_pours, next_plan, planned_from
from halfclick.service.pour_planner import DRY_S, Limit, find_pours, look_for_pours, said_of
from halfclick.service.record import BrewEntry, record_brew
from halfclick.service.rim import keep_rim_margin, rim_margin_m


@pytest.fixture(scope="module")
def flat(tmp_path_factory, hand_clock):
    """A new user's flat-bottom dripper, and pours found for 20 g, which two come too near."""
    store, bag = flat_kitchen(tmp_path_factory.mktemp("flat"), hand_clock)
    kit = kit_in_use(store)
    learned = learn(store, kit)
    found = look_for_pours(store, recipe_of(20.0), bag.id, learned=learned)
    yield SimpleNamespace(store=store, bag=bag, kit=kit, learned=learned, found=found)
    store.close()


def test_pours_that_come_too_near_the_rim_are_made_smaller_and_later(flat):
    found = flat.found
    assert (found.limit, found.still) == (Limit.RIM, Limit.NOTHING)
    assert len(found.recipe.pours) > len(recipe_of(20.0).pours)
    assert found.free_m >= RIM_MARGIN_M
    assert found.dry_s <= DRY_S


def test_only_the_pours_are_moved(flat):
    before, after = recipe_of(20.0), flat.found.recipe
    assert replace(after, pours=before.pours) == before
    assert after.pours[0] == before.pours[0]
    assert after.bloom_s == before.bloom_s
    assert {pour.rate_g_s for pour in after.pours} == {before.pours[-1].rate_g_s}
    assert [change.lever for change in differences(before, after)] == [Lever.POURS]


def test_the_forecast_of_the_pours_found_agrees(flat):
    expected = foresee(flat.store, flat.found.recipe, flat.bag.id, learned=flat.learned).expected
    assert expected.bands["free_height_m"][0] >= RIM_MARGIN_M - 0.0005


def test_pours_that_fit_are_left_as_they_are(flat, words):
    found = find_pours(recipe_of(15.0), flat.kit, flat.learned)
    assert (found.limit, found.recipe) == (Limit.NOTHING, None)
    assert "Nothing binds" in words.sentences(said_of(found))


def test_where_none_fit_it_says_what_still_binds_and_proposes_nothing(flat, words):
    found = find_pours(recipe_of(30.0), flat.kit, flat.learned)
    assert (found.limit, found.recipe) == (Limit.RIM, None)
    said = words.sentences(said_of(found))
    assert "What binds is the rim" in said
    assert "smaller dose" in said


def test_an_immersion_holds_all_its_water_however_it_is_poured(flat):
    can = replace(flat.kit.dripper, shape=DripperShape.IMMERSION)
    found = find_pours(recipe_of(30.0), replace(flat.kit, dripper=can), flat.learned)
    assert (found.limit, found.recipe, found.still) == (Limit.RIM, None, Limit.RIM)
    assert found.free_m < RIM_MARGIN_M


def test_a_bed_that_runs_dry_gets_pours_that_follow_sooner(flat, words):
    fine = recipe_of(15.0)
    late = tuple(
        replace(pour, start_s=pour.start_s + 400.0 * max(number - 1, 0))
        for number, pour in enumerate(fine.pours)
    )
    found = find_pours(replace(fine, pours=late), flat.kit, flat.learned)
    assert (found.limit, found.still) == (Limit.DRY, Limit.NOTHING)
    assert found.recipe.pours[2].start_s < late[2].start_s
    assert "What binds is the bed" in words.sentences(said_of(found))
    # As many pours at other times are one change, of the pours.
    assert differences(replace(fine, pours=late), found.recipe) == (
        Change(lever=Lever.POURS, amount=0.0),
    )
    assert words.sentence(told(Change(lever=Lever.POURS, amount=0.0))) == "pours at other times"


def test_a_persons_own_margin_below_the_rim_is_kept_and_asked_for(flat, clock):
    keep_rim_margin(flat.store, 0.02, clock=clock)
    found = look_for_pours(flat.store, recipe_of(15.0), flat.bag.id, learned=flat.learned)
    assert found.limit is Limit.RIM
    assert found.free_m >= found.margin_m == 0.02
    keep_rim_margin(flat.store, None, clock=clock)
    assert rim_margin_m(flat.store) == RIM_MARGIN_M
    for absurd_m in (-0.001, 0.06):
        with pytest.raises(BadInput, match="bad_margin"):
            keep_rim_margin(flat.store, absurd_m, clock=clock)


def test_a_later_bloom_is_not_another_change_of_pours():
    before = recipe_of(20.0, 3)
    later = tuple(
        replace(pour, start_s=pour.start_s + (10.0 if number else 0.0))
        for number, pour in enumerate(before.pours)
    )
    assert Lever.POURS not in {
        change.lever for change in differences(before, replace(before, pours=later))
    }


def test_pours_are_the_one_change_of_a_plan_that_moves_nothing_else(store, clock, coffee, kit):
    bag = coffee("Tarn Hollow")
    first = next_plan(store, bag.id, today=clock().date())
    assert moves_beside_pours(first) is None
    record_brew(store, BrewEntry(planned=first), kit(), clock=clock)
    planned = next_plan(store, bag.id, today=clock().date())
    assert moves_beside_pours(planned) is False
    hotter = planned_from(store, planned, replace(planned.recipe, temperature_c=90.0))
    assert moves_beside_pours(hotter) is True
