"""Against SQLAlchemy's own memory of what it has worded: what was read ahead is worded no more."""

from typing import get_args
from uuid import uuid4

import pytest
from sqlalchemy.sql.compiler import SQLCompiler

from halfclick.model.kit import Kettle
from halfclick.service.ahead import read_ahead
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.grinders import zeros_of
from halfclick.service.kettle_readings import readings_of
from halfclick.service.kitchens import (
    KitchenEntry,
    Thing,
    add_thing,
    kit_in_use,
    list_kit,
    put_to_use,
    set_up_kitchen,
)
from halfclick.service.plan import good_one, next_plan
from halfclick.service.rule_book import rule_book
from halfclick.service.sievings import sievings_of


@pytest.fixture
def worded(store, monkeypatch) -> list[object]:
    """Forget what was worded before; return what is worded from now on."""
    store.engine._compiled_cache.clear()
    seen: list[object] = []
    make = SQLCompiler.__init__

    def counted(self, dialect, statement, *given, **named):
        if statement is not None:
            seen.append(statement)
        make(self, dialect, statement, *given, **named)

    monkeypatch.setattr(SQLCompiler, "__init__", counted)
    return seen


def test_what_a_page_asks_first_was_worded_before(store, clock, worded):
    set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=clock)
    kettle = add_thing(store, Kettle(id=uuid4(), name="gooseneck"), clock=clock).value
    put_to_use(store, kettle, clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    read_ahead(store, today=clock().date())
    assert worded
    worded.clear()
    rule_book(store)
    for kind in get_args(Thing):
        list_kit(store, kind)
    kit = kit_in_use(store)
    zeros_of(store, kit.grinder.id)
    sievings_of(store, kit.grinder.id)
    readings_of(store, kit.kettle.id)
    next_plan(store, bag.id, today=clock().date())
    good_one(store, bag.id)
    assert worded == []


def test_before_the_first_run_there_is_little_to_read(store, clock):
    read_ahead(store, today=clock().date())
    assert kit_in_use(store) is None
