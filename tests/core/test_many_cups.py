"""What the database tells of many cups is what their records tell one by one."""

import random
import shutil
from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import pytest

from halfclick.model.brew import Brew
from halfclick.model.coffee import Coffee
from halfclick.model.tasting import Marks, Tasting, Verdict
from halfclick.service.coffees import CoffeeEntry, add_coffee, left_in, shelf
from halfclick.service.cups import cups_of_coffee, status_of
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, record_brew
from halfclick.store.good_cups import good_lately, newest_good
from halfclick.store.many import recent_marks
from halfclick.store.opening import open_store


@pytest.fixture(scope="module", params=range(6))
def made_once(request, tmp_path_factory, new_journal, hand_clock):
    """Return a journal's file and the time it ends at; each test works on a copy of its own."""
    path = tmp_path_factory.mktemp("lived in") / "journal.db"
    shutil.copy(new_journal, path)
    clock = hand_clock()
    store = open_store(path, clock=clock, person_name="Ada", device_name="kitchen laptop")
    set_up_kitchen(store, KitchenEntry(step_um=25.0, purge_g=2.0), clock=clock)
    _live(store, clock, random.Random(request.param))
    store.close()
    return path, clock.now


@pytest.fixture
def lived_in(made_once, tmp_path, clock):
    """A journal of a few coffees, brewed, tasted, corrected, deleted and put away by chance."""
    path, now = made_once
    shutil.copy(path, tmp_path / "journal.db")
    clock.set(now)
    opened = open_store(tmp_path / "journal.db", clock=clock, device_name="kitchen laptop")
    yield opened
    opened.close()


def _live(store, clock, chance):
    for number in range(4):
        entry = CoffeeEntry(name=f"Coffee {number}", weight_g=250.0)
        bag = add_coffee(store, entry, clock=clock).value
        for _ in range(chance.randrange(7)):
            clock.advance(3600)
            planned = next_plan(store, bag.id, today=clock().date())
            if chance.random() < 0.5:
                recipe = replace(planned.recipe, stir_bloom=chance.random() < 0.5)
                planned = replace(planned, recipe=recipe)
            entry = BrewEntry(planned=planned, dose_g=chance.choice([None, 14.0, 18.0]))
            brew = record_brew(store, entry, kit_in_use(store), clock=clock).value
            _taste(store, clock, chance, brew)
            while chance.random() < 0.3:
                brew = replace(brew, id=uuid4(), corrects_id=brew.id)
                with store.writing(clock.advance(5)) as w:
                    w.add(brew)
                if chance.random() < 0.3:
                    _taste(store, clock, chance, brew)
            if chance.random() < 0.15:
                with store.writing(clock.advance(5)) as w:
                    w.bury(Brew, brew.id)


def _taste(store, clock, chance, brew):
    for _ in range(chance.randrange(3)):
        tasting = Tasting(
            id=uuid4(),
            brew_id=brew.id,
            tasted_at=clock.advance(60),
            marks=Marks(sour=float(chance.randrange(10))),
            verdict=chance.choice([None, Verdict.KEEP, Verdict.CHANGE]),
            liking=chance.choice([None, 5.0, 7.0, 9.0]),
        )
        with store.writing(clock()) as w:
            w.add(tasting)
            if chance.random() < 0.2:
                again = replace(tasting, id=uuid4(), verdict=None, corrects_id=tasting.id)
                w.add(replace(again, tasted_at=tasting.tasted_at + timedelta(seconds=1)))


def test_the_shelf_tells_what_the_cups_tell(lived_in, clock):
    rows = {row.coffee.id: row for row in shelf(lived_in, clock().date())}
    with lived_in.reading() as r:
        for coffee in r.all(Coffee):
            cups = cups_of_coffee(r, coffee.id)
            row = rows[coffee.id]
            assert row.brews == len(cups)
            assert row.status is status_of(cups)
            assert row.last_brewed_at == (cups[-1].brew.started_at if cups else None)


def test_what_is_left_in_a_bag_is_what_was_not_ground(lived_in, clock):
    rows = shelf(lived_in, clock().date())
    for row in rows:
        with lived_in.reading() as r:
            doses = [brew.poured.dose_g.value for brew in r.all(Brew, bag_id=row.bag.id)]
        assert row.left_g == pytest.approx(250.0 - sum(doses))
        assert left_in(lived_in, row.bag.id) == row.left_g


def test_the_newest_good_brew_is_that_of_the_cups(lived_in):
    kit = kit_in_use(lived_in)
    with lived_in.reading() as r:
        for coffee in r.all(Coffee):
            good = [cup.brew.id for cup in cups_of_coffee(r, coffee.id) if cup.is_good]
            found = newest_good(r, kit.grinder.id, kit.dripper.id, of={coffee.id})
            assert found == (good[-1] if good else None)


def test_the_newest_marks_come_first(lived_in):
    with lived_in.reading() as r:
        tastings = sorted(r.all(Tasting), key=lambda one: one.tasted_at, reverse=True)
        marks = recent_marks(r, 3)
    assert [one["sour"] for one in marks] == [one.marks.sour for one in tastings[:3]]


def test_the_coffees_lately_good_are_those_whose_newest_tasted_cup_was(lived_in, clock):
    kit = kit_in_use(lived_in)
    with lived_in.reading() as r:
        wanted = {}
        for coffee in r.all(Coffee):
            told = [cup for cup in cups_of_coffee(r, coffee.id) if cup.tasting is not None]
            if told:
                wanted[coffee.id] = told[-1].is_good
        found = good_lately(
            r,
            grinder_id=kit.grinder.id,
            water_id=kit.water.id,
            since=clock() - timedelta(days=60),
            before=clock() + timedelta(days=1),
        )
        untasted = [
            coffee.id
            for coffee in r.all(Coffee)
            if any(
                cup.tasting is None and cup.brew.corrects_id is not None
                for cup in cups_of_coffee(r, coffee.id)
            )
        ]
        none = good_lately(
            r, grinder_id=kit.grinder.id, water_id=None, since=clock(), before=clock()
        )
    # A corrected brew that nobody tasted counts as not good; it is told apart in no other way.
    assert {one: good for one, good in found.items() if one not in untasted} == {
        one: good for one, good in wanted.items() if one not in untasted
    }
    assert none == {}
