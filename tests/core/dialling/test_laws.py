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
