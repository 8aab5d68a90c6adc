"""Records go into the journal and come back as they were."""

from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta, timezone
from types import MappingProxyType
from uuid import UUID, uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.errors import NotFound
from halfclick.model.brew import Brew
from halfclick.model.coffee import Bag, Coffee, Process, Roast
from halfclick.model.tasting import Bed, Marks, StrengthFelt, Tasting, Verdict
from halfclick.store.rows import FACTS, TABLES, from_row, to_row
from halfclick.store.tables import METADATA, STAMPS
from halfclick.wording import Message

MARK = st.none() | st.floats(0, 10)


def test_every_field_of_every_kind_has_its_column():
    for kind, table in TABLES.items():
        assert {f.name for f in fields(kind)} == set(table.c.keys()) - set(STAMPS), kind
    assert set(TABLES.values()) == set(METADATA.tables.values())


def test_the_samples_leave_no_kind_out(records):
    assert {type(record) for record in records} == set(TABLES)


def test_records_of_every_kind_come_back_as_they_were(store, clock, records):
    with store.writing(clock()) as w:
        for record in records:
            w.add(record)
    with store.reading() as r:
        for record in records:
            assert r.get(type(record), record.id) == record


@given(
    name=st.text(min_size=1).filter(str.strip),
    note=st.text(),
    process=st.none() | st.sampled_from(Process),
    roast=st.none() | st.sampled_from(Roast),
    altitude_m=st.none() | st.floats(0, 4000),
    decaf=st.booleans(),
)
def test_a_coffee_comes_back_from_its_row(name, note, process, roast, altitude_m, decaf):
    coffee = Coffee(
        id=uuid4(),
        name=name,
        note=note,
        process=process,
        roast=roast,
        altitude_m=altitude_m,
        decaf=decaf,
    )
    assert from_row(Coffee, to_row(coffee)) == coffee


@given(
    marks=st.builds(Marks, sour=MARK, bitter=MARK, thin=MARK, harsh=MARK, sweet=MARK),
    felt=st.none() | st.sampled_from(StrengthFelt),
    liking=st.none() | st.floats(1, 9),
    verdict=st.none() | st.sampled_from(Verdict),
    bed=st.none() | st.sampled_from(Bed),
    tasted_at=st.datetimes(
        min_value=datetime(2000, 1, 1),
        timezones=st.integers(-14 * 60, 14 * 60).map(lambda m: timezone(timedelta(minutes=m))),
    ),
    words=st.text(),
)
def test_a_tasting_comes_back_from_its_row(marks, felt, liking, verdict, bed, tasted_at, words):
    tasting = Tasting(
        id=uuid4(),
        brew_id=uuid4(),
        tasted_at=tasted_at,
        marks=marks,
        strength_felt=felt,
        liking=liking,
        verdict=verdict,
        bed=bed,
        words=words,
    )
    row = to_row(tasting)
    assert from_row(Tasting, row) == tasting
    assert row["tasted_at"].endswith("+00:00")


def test_a_time_without_a_zone_is_our_mistake(records):
    brew = next(record for record in records if isinstance(record, Brew))
    with pytest.raises(ValueError, match="time zone"):
        to_row(replace(brew, started_at=datetime(2026, 11, 25, 8)))


def test_a_time_comes_back_as_utc(records):
    brew = next(record for record in records if isinstance(record, Brew))
    east = brew.started_at.astimezone(timezone(timedelta(hours=5, minutes=30)))
    back = from_row(Brew, to_row(replace(brew, started_at=east)))
    assert back.started_at == brew.started_at
    assert back.started_at.utcoffset() == timedelta(0)
    assert back.started_at.tzinfo == UTC


def test_a_reason_may_hold_its_values_in_a_frozen_mapping(store, clock, records):
    first = next(index for index, one in enumerate(records) if isinstance(one, Brew))
    for record in records[:first]:
        with store.writing(clock()) as w:
            w.add(record)
    brew = next(record for record in records if isinstance(record, Brew))
    frozen = replace(brew, why=(Message("x", MappingProxyType({"water_g": 250.0})),))
    with store.writing(clock()) as w:
        w.add(frozen)
    with store.reading() as r:
        assert r.get(Brew, brew.id).why == (Message("x", {"water_g": 250.0}),)


def test_what_is_not_there_is_found_as_none_and_got_as_an_error(store, words):
    with store.reading() as r:
        assert r.find(Bag, uuid4()) is None
        with pytest.raises(NotFound) as caught:
            r.get(Bag, UUID(int=0))
    assert words.sentence(caught.value).startswith("What was asked for is not in this journal")


def test_facts_are_brews_tastings_answers_events_zeros_trials_and_what_was_measured():
    assert {kind.__name__ for kind in FACTS} == {
        "Brew",
        "Tasting",
        "Proposal",
        "GuideEvent",
        "Zero",
        "KettleReading",
        "Sieving",
        "Forecast",
        "Trial",
        "TrialRound",
        "TrialServing",
        "TrialAnswer",
        "TrialVoid",
        "TrialOpening",
        "TrialFinding",
    }
