"""A brew under way in the journal: every event at once, and nothing lost with the program."""

import pytest
from brews_under_way import recipe

from halfclick.brewing.screen import screen_at
from halfclick.errors import NotFound
from halfclick.model.brew import Brew, How, Mode, SlipKind
from halfclick.model.under_way import GuideEventKind as Kind
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.done import Touched
from halfclick.service.guide import begin, finish, give_up, note, under_way
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import Planned
from halfclick.store.opening import open_store
from halfclick.wording import own_words


@pytest.fixture
def begun(store, clock):
    """A brew that was begun on a fresh kit, not yet with water."""
    set_up_kitchen(store, KitchenEntry(), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    planned = Planned(
        bag_id=bag.id, recipe=recipe(), mode=Mode.EXPERIMENT, why=own_words("sharper than I like")
    )
    return begin(store, planned, kit_in_use(store), clock=clock).value


def tell(store, begun, clock, *told):
    """Note events, each some seconds after the one before, and return the last state."""
    for after_s, kind, *value in told:
        clock.advance(after_s)
        state = note(store, begun.id, kind, *value, clock=clock).value
    return state


STARTED = (30, Kind.CLOCK_STARTED)
TO_THE_END = (STARTED, (150, Kind.DRAINED), (5, Kind.FINAL_READING, 238.0))


def test_no_brew_is_under_way_before_one_is_begun(store):
    assert under_way(store) is None


def test_a_brew_goes_on_where_it_stood_after_the_program_was_gone(store, clock, begun):
    told = tell(store, begun, clock, STARTED, (20, Kind.UNTARED_DOSE, 15.0))
    store.close()
    clock.advance(30)
    again = open_store(store.path, clock=clock)
    try:
        found = under_way(again)
        assert found.under_way == begun
        assert found.guide == told
        assert screen_at(found.guide, clock()).stop_at_g == 155.0
        assert screen_at(found.guide, clock()).clock_s == 50.0
    finally:
        again.close()


def test_a_finished_brew_is_kept_with_its_reasons_and_closed(store, clock, begun):
    tell(store, begun, clock, *TO_THE_END)
    done = finish(store, begun.id, clock=clock)
    assert Touched.BREWS in done.touched
    with store.reading() as r:
        assert r.all(Brew) == [done.value]
    assert done.value.why == begun.why
    assert done.value.poured.water_g.value == 238.0
    assert done.value.poured.drained_s.value == 150.0
    assert under_way(store) is None


def test_what_is_known_of_a_brew_that_was_broken_off_can_be_kept(store, clock, begun):
    tell(store, begun, clock, STARTED)
    clock.advance(7200)
    kept = finish(store, begun.id, clock=clock).value
    assert kept.started_at == begun.begun_at.replace(second=30)
    assert kept.poured.drained_s.how is How.UNKNOWN
    assert kept.poured.water_g.how is How.PLANNED


def test_a_slip_taken_back_is_not_kept_with_the_brew(store, clock, begun):
    tell(store, begun, clock, STARTED, (20, Kind.LOST_CLOCK), (2, Kind.TAKEN_BACK))
    tell(store, begun, clock, (120, Kind.DRAINED), (5, Kind.FINAL_READING, None))
    kept = finish(store, begun.id, clock=clock).value
    assert kept.slips == ()
    assert kept.poured.drained_s.value == 142.0


def test_two_slips_are_both_kept(store, clock, begun):
    tell(store, begun, clock, STARTED, (20, Kind.UNTARED_DOSE, 15.0))
    tell(store, begun, clock, (80, Kind.OVERSHOOT, 270.0), (60, Kind.DRAINED))
    kept = finish(store, begun.id, clock=clock).value
    assert kept.poured.water_g.value == 255.0
    assert {slip.kind for slip in kept.slips} == {SlipKind.UNTARED_DOSE, SlipKind.OVERSHOOT}


def test_a_brew_given_up_leaves_no_brew_behind(store, clock, begun):
    tell(store, begun, clock, STARTED)
    give_up(store, begun.id, clock=clock)
    assert under_way(store) is None
    with store.reading() as r:
        assert r.all(Brew) == []


def test_a_brew_is_kept_once_however_often_it_is_finished(store, clock, begun, words):
    tell(store, begun, clock, *TO_THE_END)
    finish(store, begun.id, clock=clock)
    with pytest.raises(NotFound) as closed:
        finish(store, begun.id, clock=clock)
    assert words.sentence(closed.value) == "That brew is closed already."
    with store.reading() as r:
        assert len(r.all(Brew)) == 1


def test_nothing_is_noted_of_a_brew_that_was_never_begun(store, clock, begun, words):
    with pytest.raises(NotFound) as missing:
        note(store, begun.bag_id, Kind.DRAINED, clock=clock)
    assert words.sentence(missing.value)
