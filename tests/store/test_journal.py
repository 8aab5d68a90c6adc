"""What a reading and a writing block promise."""

from dataclasses import replace
from uuid import uuid4

import pytest
import sqlalchemy as sa

from halfclick.errors import BadInput, NotFound
from halfclick.model.brew import Brew
from halfclick.model.coffee import Bag, Coffee, Lot
from halfclick.model.person import Stamp
from halfclick.model.preference import Preference
from halfclick.model.tasting import Tasting
from halfclick.store.rows import FACTS


@pytest.fixture
def full(store, clock, records):
    """A journal that holds the samples."""
    with store.writing(clock()) as w:
        for record in records:
            w.add(record)
    return store


def coffee(name="Hill farm"):
    return Coffee(id=uuid4(), name=name)


def half_done(w):
    w.add(coffee())
    w.add(coffee(name=" "))


def test_a_block_that_fails_keeps_nothing(store, clock):
    with pytest.raises(BadInput), store.writing(clock()) as w:
        half_done(w)
    with store.reading() as r:
        assert r.all(Coffee) == []


def test_a_writer_reads_what_its_block_wrote(store, clock):
    one = coffee()
    with store.writing(clock()) as w:
        w.add(one)
        assert w.get(Coffee, one.id) == one


def test_adding_the_same_record_twice_is_once(store, clock):
    one = coffee()
    for _ in range(2):
        with store.writing(clock()) as w:
            w.add(one)
            w.add(one)
    with store.reading() as r:
        assert r.all(Coffee) == [one]


def test_records_come_back_in_the_order_they_were_written_though_the_clock_stands_still(
    store, clock
):
    written = [coffee(f"{number}") for number in range(40)]
    for one in written[:20]:
        with store.writing(clock()) as w:
            w.add(one)
    with store.writing(clock()) as w:
        for one in written[20:]:
            w.add(one)
    with store.reading() as r:
        assert r.all(Coffee) == written


def test_a_row_tells_who_wrote_it_where_and_when(store, clock):
    one = coffee()
    clock.advance(90)
    with store.writing(clock()) as w:
        w.add(one)
    with store.reading() as r:
        assert r.stamp(Coffee, one.id) == Stamp(
            person_id=store.person.id, device_id=store.device.id, written_at=clock()
        )
        with pytest.raises(NotFound):
            r.stamp(Coffee, uuid4())


def test_a_change_keeps_who_wrote_first_and_tells_when_it_changed(store, clock):
    one = coffee()
    with store.writing(clock()) as w:
        w.add(one)
    written_at = clock()
    clock.advance(60)
    with store.writing(clock()) as w:
        w.change(replace(one, note="plums"))
    with store.reading() as r:
        assert r.get(Coffee, one.id).note == "plums"
        assert r.stamp(Coffee, one.id).written_at == written_at
    with store.engine.connect() as connection:
        changed = connection.exec_driver_sql("SELECT changed_at FROM coffee").scalar_one()
    assert changed == clock().isoformat(timespec="microseconds")


def test_no_fact_can_be_changed(full, clock, records):
    for record in records:
        if type(record) in FACTS:
            with pytest.raises(TypeError, match="is a fact"), full.writing(clock()) as w:
                w.change(record)


def test_changing_or_deleting_what_is_not_there_is_refused(store, clock):
    with pytest.raises(NotFound), store.writing(clock()) as w:
        w.change(coffee())
    with pytest.raises(NotFound), store.writing(clock()) as w:
        w.bury(Bag, uuid4())


def test_a_deleted_record_is_out_of_lists_but_stays_and_comes_back(full, clock, records):
    one = next(record for record in records if isinstance(record, Coffee))
    with full.writing(clock()) as w:
        w.bury(Coffee, one.id)
    with full.reading() as r:
        assert one not in r.all(Coffee)
        assert r.get(Coffee, one.id) == one
    with full.writing(clock()) as w:
        w.unbury(Coffee, one.id)
    with full.reading() as r:
        assert one in r.all(Coffee)


def test_a_corrected_fact_is_left_out_unless_it_is_asked_for(full, records):
    wrong, right, *others = (record for record in records if isinstance(record, Tasting))
    with full.reading() as r:
        assert r.all(Tasting, brew_id=wrong.brew_id) == [right]
        assert r.all(Tasting, corrected=True) == [wrong, right, *others]


def test_of_a_chain_of_corrections_only_the_last_stands(full, clock, records):
    _, right, *others = (record for record in records if isinstance(record, Tasting))
    last = replace(right, id=uuid4(), words="no, tea", corrects_id=right.id)
    with full.writing(clock()) as w:
        w.add(last)
    with full.reading() as r:
        assert r.all(Tasting) == [*others, last]


def test_taking_a_correction_back_brings_the_corrected_fact_back(full, clock, records):
    wrong, right, *others = (record for record in records if isinstance(record, Tasting))
    with full.writing(clock()) as w:
        w.bury(Tasting, right.id)
    with full.reading() as r:
        assert r.all(Tasting) == [wrong, *others]


def test_records_are_asked_for_by_their_columns(full, records):
    brews = [record for record in records if isinstance(record, Brew)]
    lots = [record for record in records if isinstance(record, Lot)]
    with full.reading() as r:
        assert r.all(Brew, bag_id=brews[0].bag_id) == brews
        assert r.all(Brew, parent_id=brews[0].id) == [brews[1]]
        assert r.all(Lot, coffee_id=lots[1].coffee_id) == [lots[1]]
        assert r.all(Preference, key="theme", value="light") == []
        assert r.all(Brew, bag_id=uuid4()) == []


def test_a_record_may_not_name_one_that_is_not_there(store, clock):
    with (
        pytest.raises(sa.exc.IntegrityError, match="FOREIGN KEY"),
        store.writing(clock()) as w,
    ):
        w.add(Lot(id=uuid4(), coffee_id=uuid4()))


def test_a_reading_block_sees_one_state(store, clock, tmp_path):
    one = coffee()
    with store.writing(clock()) as w:
        w.add(one)
    with store.reading() as r, store.engine.connect() as other:
        before = r.all(Coffee)
        other.exec_driver_sql("SELECT 1")
        assert r.all(Coffee) == before == [one]
