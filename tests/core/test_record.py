"""Brews and tastings typed after the fact, and corrections as new facts."""

from dataclasses import replace

import pytest
from brews_under_way import recipe

from halfclick.errors import BadInput, NotFound
from halfclick.model.brew import Brew, How, Mode, Reading
from halfclick.model.departures import departures
from halfclick.model.tasting import Marks, Tasting, Verdict
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import Planned
from halfclick.service.record import (
    BrewEntry,
    TastingEntry,
    correct_brew,
    correct_drained,
    correct_tasting,
    record_brew,
    record_tasting,
)


@pytest.fixture
def planned(store, clock):
    set_up_kitchen(store, KitchenEntry(), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    return Planned(bag_id=bag.id, recipe=recipe(), mode=Mode.EXPERIMENT)


@pytest.fixture
def log(store, clock, planned):
    """Log a brew of the plan, only departures given."""

    def logged(**departed):
        entry = BrewEntry(planned=planned, **departed)
        return record_brew(store, entry, kit_in_use(store), clock=clock).value

    return logged


def all_of(store, kind, **given):
    with store.reading() as r:
        return r.all(kind, **given)


def test_a_brew_logged_bare_is_kept_as_planned_and_not_as_measured(log):
    poured = log().poured
    assert (poured.water_g.value, poured.water_g.how) == (240.0, How.PLANNED)
    assert poured.drained_s.how is How.UNKNOWN


def test_only_departures_are_typed_and_they_are_kept_as_measured(log):
    kept = log(water_g=252.0, drained_s=128.0, beverage_g=221.0)
    assert kept.poured.water_g.how is How.MEASURED
    assert kept.poured.drained_s.value == 128.0
    assert kept.poured.beverage_g.value == 221.0
    assert kept.poured.dose_g.how is How.PLANNED
    assert log(water_g=240.0).weight > log().weight


@pytest.mark.parametrize(
    ("departed", "code"),
    [
        ({"water_g": 252.0}, None),  # just 5 %
        ({"water_g": 253.0}, "departed.water"),
        ({"dose_g": 15.5}, None),
        ({"dose_g": 15.6}, "departed.dose"),
        ({"temperature_c": 92.0}, None),
        ({"temperature_c": 91.0}, "departed.temperature"),
    ],
)
def test_a_departure_counts_beyond_its_limit(log, departed, code, words):
    # 5 % water, 0.5 g, 3 °C: our own limits.
    found = departures(log(**departed))
    assert [one.code for one in found] == ([code] if code else [])
    assert all(words.sentence(one) for one in found)


def test_a_pour_far_off_its_time_departs_from_the_plan(log, words):
    brew = log()
    late = replace(brew, poured=replace(brew.poured, latest_pour_s=-21.0))
    assert words.sentences(departures(late)) == "A pour came 21\N{NO-BREAK SPACE}s off its time."


@pytest.mark.parametrize(
    "departed",
    [
        {"dose_g": 0.2},
        {"water_g": 30_000.0},
        {"temperature_c": 140.0},
        {"drained_s": 2.0},
        {"beverage_g": 0.0},
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(log, departed, words, store):
    with pytest.raises(BadInput) as refused:
        log(**departed)
    assert words.sentence(refused.value)
    assert all_of(store, Brew) == []


def test_a_correction_is_a_new_fact_that_names_what_it_corrects(log, store, clock):
    wrong = log()
    water = Reading(value=250.0, sd=1.0, how=How.MEASURED)
    poured = replace(wrong.poured, water_g=water)
    right = correct_brew(store, wrong.id, poured, note="misread", clock=clock).value
    assert right.corrects_id == wrong.id
    assert all_of(store, Brew) == [right]
    assert all_of(store, Brew, corrected=True) == [wrong, right]


def test_another_drained_time_corrects_and_the_same_one_adds_nothing(log, store, clock):
    brew = log(drained_s=128.0)
    assert correct_drained(store, brew.id, 128.0, clock=clock).touched is Touched.NOTHING
    mended = correct_drained(store, brew.id, 148.0, clock=clock).value
    assert [one.poured.drained_s.value for one in all_of(store, Brew)] == [148.0]
    assert mended.corrects_id == brew.id


def test_a_tasting_is_kept_beside_its_brew(log, store, clock):
    entry = TastingEntry(marks=Marks(sour=6.0), verdict=Verdict.CHANGE, words=" sharp ")
    done = record_tasting(store, log().id, entry, clock=clock)
    assert Touched.BREWS in done.touched
    assert all_of(store, Tasting) == [done.value]
    assert done.value.words == "sharp"


def test_a_tasting_tasted_again_corrects_the_first(log, store, clock):
    first = record_tasting(store, log().id, TastingEntry(liking=6.0), clock=clock).value
    second = correct_tasting(store, first.id, TastingEntry(liking=7.0), clock=clock).value
    assert (second.brew_id, second.corrects_id) == (first.brew_id, first.id)
    assert all_of(store, Tasting) == [second]


def test_no_tasting_is_kept_of_a_brew_that_is_not_there(planned, store, clock):
    with pytest.raises(NotFound):
        record_tasting(store, planned.bag_id, TastingEntry(), clock=clock)
    assert all_of(store, Tasting) == []
