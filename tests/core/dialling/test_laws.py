"""The laws that bind every proposal."""

from dataclasses import replace

import pytest
from dial_cups import CONTEXT, START, asked, at, sour_cup
from hypothesis import given, settings
from hypothesis import strategies as st

from halfclick.dialling.grids import grids_of, row_of
from halfclick.dialling.propose import Action, propose
from halfclick.dialling.request import LEVERS, Cup, Dial, Seen
from halfclick.dialling.search import changed
from halfclick.dialling.stopping import Status

looks = st.builds(
    Seen,
    time_s=st.none() | st.floats(60, 600),
    beverage_g=st.none() | st.floats(150, 330),
    strength_pct=st.none() | st.floats(0.5, 2.5),
    liking=st.none() | st.floats(1, 9),
    words=st.none()
    | st.lists(st.sampled_from(["sour", "bitter", "thin", "harsh", "sweet"]), unique=True),
    strength_felt=st.none() | st.sampled_from(["weak", "right", "strong"]),
    better_than_last=st.none() | st.booleans(),
    bed_even=st.none() | st.booleans(),
    weight=st.none() | st.floats(0, 1),
)
cups = st.builds(Cup, settings=st.integers(0, 40).map(lambda one: at(float(one))), seen=looks)


@settings(max_examples=6, deadline=None)
@given(st.lists(cups, min_size=1, max_size=5), st.sampled_from([90.0, 96.0, 100.0]))
def test_one_change_that_can_be_set_and_water_never_hotter_than_it_boils(history, boiling_c):
    context = replace(CONTEXT, boiling_c=boiling_c, start=replace(START, water_c=88))
    history = [replace(cup, settings=replace(cup.settings, water_c=88)) for cup in history]
    found = propose(asked(*history, context=context))
    base = len(history) - 1 if found.from_cup is None else found.from_cup
    before = row_of(history[base].settings, context.dial)
    after = row_of(found.settings, context.dial)
    assert changed(before, after) <= 1
    grids = grids_of(context)
    for lever in range(len(LEVERS)):
        for row in (after, row_of(found.best, context.dial)):
            assert abs(grids.values[lever] - row[lever]).min() < 1e-9
    assert found.settings.water_c <= boiling_c
    assert found.best.water_c <= boiling_c


def test_where_no_change_is_allowed_none_is_made():
    found = propose(asked(sour_cup(20), changes=0))
    assert found.action is Action.REPEAT
    assert found.settings == at(20)


def test_a_dial_that_cannot_move_is_left_alone():
    context = replace(CONTEXT, dial=Dial(min=20, max=20, step=1), levers={})
    found = propose(asked(sour_cup(20), context=context))
    assert found.settings == at(20)


def test_a_cup_near_the_top_thrice_is_dialled_in_and_said_with_its_chance():
    good = sour_cup(14.0, liking=8.5)
    found = propose(asked(sour_cup(20), sour_cup(17), sour_cup(11), good, good, good))
    assert found.status is Status.DIALLED_IN
    assert found.action is Action.HOLD
    assert found.settings == at(14)
    assert 0.4 <= found.confidence <= 1.0


def test_a_cup_that_was_good_twice_is_held_before_it_is_dialled_in():
    good = sour_cup(14.0, liking=8.5)
    found = propose(asked(sour_cup(20), sour_cup(17), sour_cup(11), good, good))
    assert found.settings == at(14)
    assert found.action in {Action.HOLD, Action.REPEAT}
    assert found.status is not Status.DIALLED_IN


def test_a_coffee_that_nothing_mends_is_not_for_the_recipe():
    bad = {"liking": 1.5, "marks": {"sour": 3, "bitter": 6, "thin": 3, "harsh": 7, "sweet": 1}}
    history = [sour_cup(float(one), **bad) for one in (20, 26, 15, 12, 22, 18, 24, 16)]
    found = propose(asked(*history))
    assert found.status is Status.NOT_THE_RECIPE
    assert found.action is Action.IMMERSION


@pytest.mark.parametrize("weight", [0.0, 0.3])
def test_a_slipped_cup_alone_moves_less_than_a_whole_one(weight):
    whole = propose(asked(sour_cup(20, liking=8.5), sour_cup(20, liking=8.5)))
    part = propose(
        asked(sour_cup(20, liking=8.5, weight=weight), sour_cup(20, liking=8.5, weight=weight))
    )
    assert part.confidence < whole.confidence


def test_a_cup_that_tasted_good_is_brewed_again_before_it_counts():
    found = propose(asked(sour_cup(20), sour_cup(17), sour_cup(14, liking=8)))
    assert found.action is Action.REPEAT
    assert found.status is Status.ONE_GOOD_CUP
    assert found.settings == at(14)


def test_a_cup_whose_weight_is_not_told_counts_as_a_whole_one():
    def found(weight: float | None):
        good = sour_cup(14.0, liking=8.5, weight=weight)
        return propose(asked(sour_cup(20), sour_cup(17), sour_cup(11), good, good, good))

    assert (found(None).action, found(None).status) == (found(1.0).action, found(1.0).status)


def test_a_cup_that_was_not_the_recipe_at_all_is_brewed_again():
    found = propose(asked(sour_cup(20), sour_cup(17, weight=0.0)))
    assert found.action is Action.REPEAT
    assert found.settings == at(17)


@pytest.mark.parametrize("dial", [Dial(min=20, max=20, step=1), Dial(min=20, max=21, step=1)])
def test_the_best_of_what_little_can_be_set_is_not_called_good_where_it_is_poor(dial):
    poor = sour_cup(20, liking=2, marks={"sour": 9, "bitter": 3, "thin": 8, "harsh": 2, "sweet": 1})
    found = propose(asked(poor, poor, context=replace(CONTEXT, dial=dial, levers={})))
    assert found.status is Status.SEARCHING


def test_water_that_boils_below_every_setting_is_not_proposed_hotter():
    context = replace(CONTEXT, boiling_c=80.0)
    cups = [replace(sour_cup(one), settings=replace(at(one), water_c=93)) for one in (20.0, 17.0)]
    found = propose(asked(*cups, context=context))
    assert found.settings.water_c <= 80.0
    assert found.best.water_c <= 80.0


def test_a_setting_that_this_dial_does_not_have_is_not_proposed():
    found = propose(asked(sour_cup(45.0), sour_cup(20.3)))
    for one in (found.settings, found.best):
        assert 0 <= one.setting <= 40
    assert found.best.setting == round(found.best.setting)


def poor_history(more: int = 0) -> list[Cup]:
    bad = {"liking": 1.5, "marks": {"sour": 3, "bitter": 6, "thin": 3, "harsh": 7, "sweet": 1}}
    settings = (20, 26, 15, 12, 22, 18, 24, 16, *([16] * more))
    return [sour_cup(float(one), **bad) for one in settings]


def test_the_immersion_check_is_proposed_once():
    assert propose(asked(*poor_history())).action is Action.IMMERSION
    checked = [*poor_history(1), poor_history()[3]]
    found = propose(asked(*checked))
    assert found.status is Status.NOT_THE_RECIPE
    assert found.action is not Action.IMMERSION


def test_who_steeps_already_is_not_sent_to_steep():
    found = propose(asked(*poor_history(), context=replace(CONTEXT, dripper="immersion")))
    assert found.action is not Action.IMMERSION


def test_nothing_is_said_to_have_been_lacking_in_a_cup_that_nobody_tasted():
    told = propose(asked(Cup(settings=at(20.0), seen=Seen()))).why
    assert not [one.code for one in told if one.code.startswith("dial.leans")]
