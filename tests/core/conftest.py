"""A kitchen, bags in it and cups of them, for tests over a real journal."""

import pytest

from halfclick.model.grinder import read_setting
from halfclick.model.moves import with_setting
from halfclick.model.tasting import Verdict
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan, planned_from
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting


@pytest.fixture
def kit(store, clock):
    """Set up a kitchen, and return what looks at it again."""
    set_up_kitchen(store, KitchenEntry(step_um=25.0, purge_g=2.0), clock=clock)
    return lambda: kit_in_use(store)


@pytest.fixture
def coffee(store, clock):
    """Return what buys a bag of a coffee by its label."""

    def made(name: str, **label: object):
        return add_coffee(store, CoffeeEntry(name=name, **label), clock=clock).value

    return made


@pytest.fixture
def cup(store, clock, kit):
    """Return what brews and tastes the next cup of a bag, and moves on by a day."""

    def made(bag, setting: str, verdict: Verdict | None = None, drained_s: float | None = 160.0):
        planned = next_plan(store, bag.id, today=clock().date())
        recipe = with_setting(planned.recipe, read_setting(kit().grinder, kit().zero, setting))
        planned = planned_from(store, planned, recipe)
        brew = record_brew(
            store, BrewEntry(planned=planned, drained_s=drained_s), kit(), clock=clock
        ).value
        clock.advance(300)
        if verdict is not None:
            record_tasting(store, brew.id, TastingEntry(verdict=verdict), clock=clock)
        clock.advance(86_400)
        return brew

    return made
