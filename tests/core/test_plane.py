"""A coffee's cups by strength and extraction, and where the next is expected."""

from dataclasses import replace

import pytest

from halfclick.model.grinder import read_setting
from halfclick.service.coffees import coffee_of_bag
from halfclick.service.plan import next_plan, planned_from
from halfclick.service.plane import plane_of
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting


def test_measured_cups_stand_where_their_balance_puts_them(store, clock, kit, coffee, words):
    bag = coffee("Tarn Hollow")
    coffee_id = coffee_of_bag(store, bag.id).id
    today = clock().date()
    assert plane_of(store, coffee_id, today=today).points == ()
    planned = next_plan(store, bag.id, today=today)
    recipe = replace(planned.recipe, setting=read_setting(kit().grinder, kit().zero, "18"))
    planned = planned_from(store, planned, recipe)
    entry = BrewEntry(planned=planned, drained_s=150.0, beverage_g=207.0)
    brew = record_brew(store, entry, kit(), clock=clock).value
    record_tasting(store, brew.id, TastingEntry(strength=0.0130, liking=8.0), clock=clock)
    found = plane_of(store, coffee_id, today=today)
    (point,) = found.points
    # By hand: 1.30 % of 207 g from 15 g.
    assert point.extraction == pytest.approx(0.0130 * 207 / 15, rel=1e-6)
    assert point.is_good
    assert found.strength[0] < found.strength[1] < found.strength[2]
    assert found.extraction[0] < point.extraction < found.extraction[2]
    said = words.sentences(found.summary)
    assert said.startswith("One measured cup: strength 1.3\N{NO-BREAK SPACE}%")
    assert "The next one is expected at a strength of" in said
