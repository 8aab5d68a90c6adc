"""The same recipe drains otherwise: which recorded thing moved with it, and when none is blamed."""

from dataclasses import replace
from datetime import date
from uuid import uuid4

import pytest

from halfclick.model.coffee import Roast
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.drift import drifted, drifting
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, record_brew

# 8 of 10 in 2:20 to 2:40; the standard deviation is about 5 %, so 3:20 lies far out.
EXPECTED = (140.0, 150.0, 160.0)


@pytest.fixture
def brew(store, clock):
    set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=clock)
    entry = CoffeeEntry(name="Fell Beck", roast=Roast.LIGHT)
    bag = add_coffee(store, entry, clock=clock).value
    planned = next_plan(store, bag.id, today=date(2026, 11, 25))
    entry = BrewEntry(planned=planned, drained_s=150.0)
    return record_brew(store, entry, kit_in_use(store), clock=clock).value


def codes(messages):
    return [one.code for one in messages]


def test_a_cup_as_expected_is_no_drift(brew):
    assert drifted([brew, brew], {"time_s": (EXPECTED, 158.0), "liking": ((4, 6, 8), 5)}) == ()


def test_a_recipe_brewed_for_the_first_time_is_no_drift(brew):
    hotter = replace(brew, plan=replace(brew.plan, temperature_c=88.0))
    assert drifted([brew, hotter], {"time_s": (EXPECTED, 200.0)}) == ()


def test_nothing_recorded_moved(brew):
    told = drifted([brew, brew], {"time_s": (EXPECTED, 200.0)})
    assert codes(told) == ["drift.slower", "drift.nothing_moved"]


def test_the_one_thing_that_moved_is_named(brew):
    other = replace(brew, kit=replace(brew.kit, water_id=uuid4()))
    told = drifted([brew, other], {"time_s": (EXPECTED, 110.0)})
    assert codes(told) == ["drift.quicker", "drift.one_moved"]
    assert codes(told[-1].values["things"]) == ["input.water"]


def test_of_two_things_neither_is_blamed(brew, words):
    other = replace(brew, kit=replace(brew.kit, water_id=uuid4(), paper_id=uuid4()))
    told = drifted([brew, other], {"liking": ((5.0, 6.0, 7.0), 2.0)})
    assert codes(told) == ["drift.liked_less", "drift.several_moved"]
    said = words.sentence(told[-1])
    assert "paper" in said
    assert "water" in said
    assert "None of them alone" in said


def test_a_slow_drift_is_told_of_cups_none_of_which_lies_far_out(brew, words):
    told = drifting([brew] * 6, {"time_s": [178.0, 174.0, 171.0, 167.0, 163.0, 158.0]})
    assert codes(told) == ["drift.quicker_lately", "drift.nothing_moved"]
    assert "from 2:59 to 2:39" in words.sentence(told[0])


def test_cups_of_another_recipe_are_no_part_of_a_drift(brew):
    hotter = replace(brew, plan=replace(brew.plan, temperature_c=88.0))
    seen = {"time_s": [178.0, 174.0, 171.0, 167.0, 163.0, 158.0]}
    assert drifting([hotter] * 3 + [brew] * 3, seen) == ()


def test_likings_that_scatter_are_no_drift(brew):
    seen = {"liking": [7.0, 6.0, 8.0, None, 6.0, 7.0]}
    assert drifting([brew] * 6, seen) == ()
