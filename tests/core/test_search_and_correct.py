"""Brews found over all coffees, corrected twice, deleted and brought back."""

from dataclasses import replace
from uuid import uuid4

import pytest

from halfclick.errors import BadInput, NotFound
from halfclick.model.brew import Brew, How, Slip, SlipKind
from halfclick.model.forecast import Forecast
from halfclick.model.tasting import Mark, Marks, Tasting, Verdict
from halfclick.model.wanted import Wanted
from halfclick.service.coffees import coffee_of_bag
from halfclick.service.corrections import (
    brew_versions,
    bring_back_cup,
    correct_cup,
    correction_of,
    delete_cup,
    tasting_versions,
)
from halfclick.service.cups import cups_of_coffee
from halfclick.service.done import Touched
from halfclick.service.history import coffee_history
from halfclick.service.plan import next_plan
from halfclick.service.record import (
    BREW_BOUNDS,
    TastingEntry,
    correct_drained,
    correct_tasting,
    record_tasting,
)
from halfclick.service.search import end_of, search, start_of
from halfclick.service.tastings import cup_to_taste


@pytest.fixture
def found(store):
    """Return what finds brews and gives their identities."""
    return lambda **wanted: [hit.brew_id for hit in search(store, Wanted(**wanted)).hits]


@pytest.fixture
def tasted(store, clock):
    def kept(brew, **entry):
        return record_tasting(store, brew.id, TastingEntry(**entry), clock=clock).value

    return kept


def corrected(store, clock, brew_id, **changed):
    standing = brew_versions(store, brew_id)[0].record
    said = replace(correction_of(standing), **changed)
    return correct_cup(store, brew_id, said, clock=clock).value


def foretell(store, clock, brew):
    """Add a forecast of a brew and return it."""
    forecast = Forecast(
        id=uuid4(),
        brew_id=brew.id,
        made_at=clock(),
        engine="1",
        brews_behind=0,
        bands={"time_s": (140.0, 160.0, 190.0)},
    )
    with store.writing(clock()) as w:
        w.add(forecast)
    return forecast


def standing(store, bag):
    coffee_id = coffee_of_bag(store, bag.id).id
    with store.reading() as r:
        return cups_of_coffee(r, coffee_id)


def test_words_are_sought_in_coffee_roaster_note_and_taste(
    store, clock, coffee, cup, found, tasted
):
    one = cup(coffee("Tarn Hollow", roaster="Mill"), "20")
    other = cup(coffee("Pell Ridge", note="from the fair"), "18")
    tasted(one, words="plum jam")
    other = corrected(store, clock, other.id, note="Bed was flat")
    assert found(words="tarn") == [one.id]
    assert found(words="MILL jam") == [one.id]
    assert found(words="fair flat") == [other.id]
    assert found(words="tarn flat") == []
    assert found() == [other.id, one.id]


def test_signs_that_stand_for_anything_are_sought_as_they_are(store, coffee, cup, found, tasted):
    first, second = (cup(coffee("Tarn Hollow"), "20") for _ in range(2))
    tasted(first, words="100% plum_jam /dry")
    tasted(second, words="1000 plumxjam")
    for text in ("100%", "plum_jam", "/dry"):
        assert found(words=text) == [first.id]
    assert found(words="'; DROP TABLE brew; --") == []


def test_letters_with_marks_are_found_in_either_case(coffee, cup, found):
    brew = cup(coffee("Ärla Ås"), "20")
    assert found(words="ärla") == [brew.id]
    assert found(words="ÅS") == [brew.id]


def test_filters_keep_what_has_them_all(store, clock, coffee, cup, found, tasted, kit):
    began = clock().date()
    bag = coffee("Tarn Hollow")
    one, two, three = cup(bag, "20"), cup(bag, "18"), cup(bag, "18")
    tasted(one, verdict=Verdict.KEEP, liking=8.0)
    tasted(two, verdict=Verdict.CHANGE, liking=5.0, marks=Marks(sour=5.0))
    slip = Slip(kind=SlipKind.STALL)
    three = corrected(store, clock, three.id, slips=(slip,))
    assert found(verdict=Verdict.KEEP) == [one.id]
    assert found(liking_from=5.0) == [two.id, one.id]
    assert found(mark=Mark.SOUR) == [two.id]
    assert found(mark=Mark.BITTER) == []
    assert found(setting=" 18 ") == [three.id, two.id]
    assert found(dripper_id=kit().dripper.id, setting="20") == [one.id]
    assert found(dripper_id=bag.id) == []
    assert found(slipped=True) == found(corrected=True) == [three.id]
    assert found(from_at=start_of(began), before_at=end_of(began)) == [one.id]


def test_what_cannot_be_sought_is_refused_with_a_sentence(words):
    for wanted in (
        {"liking_from": 12.0},
        {"words": "a " * 13},
    ):
        with pytest.raises(BadInput) as refused:
            Wanted(**wanted)
        assert words.sentence(refused.value)


def test_a_page_of_what_was_found_tells_how_many_there_are(store, coffee, cup, found, monkeypatch):
    bag = coffee("Tarn Hollow")
    brews = [cup(bag, "20") for _ in range(5)]
    monkeypatch.setattr("halfclick.service.search.PAGE", 2)
    page = search(store, Wanted(), first=2)
    assert [hit.brew_id for hit in page.hits] == [brews[2].id, brews[1].id]
    assert (page.total, page.first) == (5, 2)


def test_a_brew_corrected_twice_leaves_one_and_keeps_its_taste(
    store, clock, coffee, cup, found, tasted
):
    bag = coffee("Tarn Hollow")
    first = cup(bag, "20")
    tasted(first, liking=7.0, words="plum")
    correct_drained(store, first.id, 170.0, clock=clock)
    # Corrected again by the identity of the first: the newest is what is corrected.
    last = correct_drained(store, first.id, 180.0, clock=clock).value
    (cup_now,) = standing(store, bag)
    assert (cup_now.brew, cup_now.tasting.liking) == (last, 7.0)
    assert found(words="plum") == [last.id]
    assert search(store, Wanted()).hits[0].liking == 7.0
    versions = [version.record for version in brew_versions(store, first.id)]
    assert [brew.poured.drained_s.value for brew in versions] == [180.0, 170.0, 160.0]


def test_a_tasting_corrected_twice_leaves_one(store, clock, coffee, cup, tasted):
    bag = coffee("Tarn Hollow")
    first = tasted(cup(bag, "20"), liking=5.0)
    for liking in (6.0, 7.0):
        clock.advance(1)
        correct_tasting(store, first.id, TastingEntry(liking=liking), clock=clock)
    with store.reading() as r:
        assert [one.liking for one in r.all(Tasting)] == [7.0]
    assert [v.record.liking for v in tasting_versions(store, first.id)] == [7.0, 6.0, 5.0]


def test_two_corrections_of_one_brew_from_two_journals_show_as_one_cup(store, clock, coffee, cup):
    bag = coffee("Tarn Hollow")
    first = cup(bag, "20")
    from uuid import uuid4

    with store.writing(clock()) as w:
        for number in range(2):
            w.add(replace(first, id=uuid4(), note=str(number), corrects_id=first.id))
    assert [cup.brew.note for cup in standing(store, bag)] == ["1"]


def test_a_correction_mends_what_is_said_and_keeps_how_the_rest_was_known(
    store, clock, coffee, cup
):
    brew = cup(coffee("Tarn Hollow"), "20")
    right = corrected(store, clock, brew.id, water_g=252.0, drained_s=None, note=" spilled ")
    assert (right.poured.water_g.value, right.poured.water_g.how) == (252.0, How.MEASURED)
    assert right.poured.drained_s.how is How.UNKNOWN
    assert right.poured.dose_g == brew.poured.dose_g
    assert (right.note, right.parent_id, right.plan) == ("spilled", brew.parent_id, brew.plan)
    assert right.weight > brew.weight
    back = corrected(store, clock, brew.id, water_g=None)
    assert back.poured.water_g.how is How.PLANNED


def test_a_correction_that_says_nothing_new_adds_nothing(store, clock, coffee, cup):
    brew = cup(coffee("Tarn Hollow"), "20")
    done = correct_cup(store, brew.id, correction_of(brew), clock=clock)
    assert (done.value, done.touched) == (brew, Touched.NOTHING)
    with pytest.raises(BadInput):
        replace(correction_of(brew), water_g=1.0)


def test_a_deleted_cup_is_gone_whole_and_comes_back_whole(store, clock, coffee, cup, found, tasted):
    bag = coffee("Tarn Hollow")
    first = cup(bag, "20", Verdict.KEEP)
    second = cup(bag, "18", Verdict.CHANGE)
    corrected(store, clock, first.id, note="one")
    newest = corrected(store, clock, first.id, note="two")
    foretold = foretell(store, clock, first)
    before = standing(store, bag)
    gone = delete_cup(store, first.id, clock=clock).value
    assert found() == [second.id]
    with store.reading() as r:
        assert [taste.brew_id for taste in r.all(Tasting)] == [second.id]
        assert len(r.all(Brew, corrected=True)) == 1
        assert r.all(Forecast) == []
    # What came from it keeps working.
    assert next_plan(store, bag.id, today=clock().date()).parent_id == second.id
    told = coffee_history(store, coffee_of_bag(store, bag.id).id)
    assert [point.parent_number for point in told.points] == [None]
    with pytest.raises(NotFound):
        cup_to_taste(store, newest.id)
    with pytest.raises(NotFound):
        delete_cup(store, newest.id, clock=clock)
    assert bring_back_cup(store, gone, clock=clock).value == newest.id
    assert standing(store, bag) == before
    with store.reading() as r:
        assert r.all(Forecast) == [foretold]


@pytest.mark.parametrize("name", BREW_BOUNDS)
def test_a_correction_beyond_what_can_be_is_said_in_a_sentence(coffee, cup, words, name):
    said = correction_of(cup(coffee("Tarn Hollow"), "20"))
    with pytest.raises(BadInput) as refused:
        replace(said, **{name: 1e9})
    assert "{" not in words.sentence(refused.value)
