"""A grinder's zeros over a real journal, and settings that keep their steps between them."""

from datetime import date
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.errors import BadInput, NotFound
from halfclick.model.grinder import (
    Finer,
    Grinder,
    Zero,
    ZeroFound,
    ZeroReason,
    read_setting,
    setting_at,
)
from halfclick.model.numbering import Numbering, Scheme
from halfclick.service.grinders import at_zero, take_zero, zero_in_force, zeros_of
from halfclick.service.kitchens import (
    KitchenEntry,
    add_thing,
    first_zero,
    kit_in_use,
    set_up_kitchen,
)

CLICKS = Numbering(scheme=Scheme.CLICKS, highest="60")
BY_TEN = Numbering(scheme=Scheme.ROTATIONS, bases=(10,), highest="6.0")


def a_grinder(numbering: Numbering = CLICKS, **facts: object) -> Grinder:
    return Grinder(id=uuid4(), name="Hand grinder", numbering=numbering, **facts)


@pytest.fixture
def ground(store, clock):
    """Return what takes a zero of a grinder in the journal."""

    def taken(grinder: Grinder, reading_text: str, reason=ZeroReason.REZEROED, note=""):
        clock.advance(60)
        return take_zero(
            store,
            grinder.id,
            reading_text=reading_text,
            found=ZeroFound.BURRS_LOCK,
            reason=reason,
            note=note,
            clock=clock,
        ).value

    return taken


@pytest.fixture
def added(store, clock):
    """Return what adds a grinder to the journal."""
    return lambda grinder: add_thing(store, grinder, clock=clock).value


@pytest.mark.parametrize(
    ("finer", "first", "text", "steps"), [(Finer.LOWER, 0, "18", 18), (Finer.HIGHER, 60, "42", 18)]
)
def test_the_first_zero_is_where_the_dial_is_finest(clock, finer, first, text, steps):
    grinder = a_grinder(finer=finer)
    zero = first_zero(grinder, clock())
    assert (zero.reading, zero.found, zero.reason) == (
        first,
        ZeroFound.NOT_CHECKED,
        ZeroReason.FIRST,
    )
    assert read_setting(grinder, zero, text).steps == steps


def test_a_dial_that_runs_backwards_must_tell_where_it_ends(store, clock, words):
    endless = Numbering(scheme=Scheme.CLICKS)
    with pytest.raises(BadInput) as refused:
        set_up_kitchen(store, KitchenEntry(numbering=endless, finer=Finer.HIGHER), clock=clock)
    assert "the burrs meet at the dial's end" in words.sentence(refused.value)
    assert kit_in_use(store) is None


def test_a_new_zero_keeps_the_steps_and_changes_the_text(store, added, ground):
    grinder = added(a_grinder(BY_TEN))
    with store.reading() as r:
        before = zero_in_force(r, grinder.id)
    set_before = read_setting(grinder, before, "2.0")
    now = ground(grinder, "0.3")
    moved = at_zero(grinder, now, set_before)
    assert (moved.text, moved.steps, moved.zero_id) == ("2.3", 20, now.id)


def test_a_new_zero_of_a_reversed_dial_moves_its_text_down(added, ground, store):
    grinder = added(a_grinder(finer=Finer.HIGHER))
    with store.reading() as r:
        before = zero_in_force(r, grinder.id)
    now = ground(grinder, "57")
    assert at_zero(grinder, now, read_setting(grinder, before, "42")).text == "39"


def test_a_setting_at_its_own_zero_keeps_the_text_as_written(added, store):
    grinder = added(a_grinder(Numbering(scheme=Scheme.PLAIN, step="0.5")))
    with store.reading() as r:
        zero = zero_in_force(r, grinder.id)
    written = read_setting(grinder, zero, " 7,50 ")
    assert at_zero(grinder, zero, written) is written
    assert (written.text, written.steps) == ("7,50", 15)


def test_every_zero_is_kept_and_the_newest_is_in_force(added, ground, store, clock):
    grinder = added(a_grinder())
    ground(grinder, "2", ZeroReason.CLEANED, note="  brushed")
    newest = ground(grinder, "", ZeroReason.NEW_BURRS)
    kept = zeros_of(store, grinder.id)
    assert [zero.reason for zero in kept] == [
        ZeroReason.FIRST,
        ZeroReason.CLEANED,
        ZeroReason.NEW_BURRS,
    ]
    # Nothing was typed for the last one, so it is read where the one before was.
    assert [zero.reading for zero in kept] == [0, 2, 2]
    assert kept[-1].found_on == clock().date()
    with store.reading() as r:
        assert zero_in_force(r, grinder.id) == newest


def test_the_zeros_of_two_grinders_are_apart(added, ground, store):
    one, other = added(a_grinder()), added(a_grinder())
    ground(one, "4")
    with store.reading() as r:
        assert zero_in_force(r, other.id).reading == 0


@pytest.mark.parametrize(("text", "said"), [("8-E", "does not read"), ("61", "stops at 60")])
def test_a_zero_the_dial_cannot_have_is_refused_and_nothing_is_kept(
    added, ground, store, words, text, said
):
    grinder = added(a_grinder())
    with pytest.raises(BadInput) as refused:
        ground(grinder, text)
    assert said in words.sentence(refused.value)
    assert len(zeros_of(store, grinder.id)) == 1


def test_a_grinder_that_is_not_there_has_no_zero(store, ground, words):
    with pytest.raises(NotFound):
        ground(a_grinder(), "2")
    with store.reading() as r, pytest.raises(NotFound) as missing:
        zero_in_force(r, uuid4())
    assert words.sentence(missing.value)


def test_steps_past_either_end_of_the_dial_are_refused(clock, words):
    grinder = a_grinder()
    zero = first_zero(grinder, clock())
    for steps in (-1, 61):
        with pytest.raises(BadInput) as refused:
            setting_at(grinder, zero, steps)
        assert words.sentence(refused.value)


@given(st.sampled_from(Finer), st.integers(0, 60), st.integers(0, 60))
def test_the_text_of_steps_from_any_zero_reads_back_as_those_steps(finer, reading, steps):
    grinder = a_grinder(finer=finer)
    zero = Zero(id=uuid4(), grinder_id=grinder.id, found_on=date(2026, 11, 1), reading=reading)
    try:
        written = setting_at(grinder, zero, steps)
    except BadInput:
        reached = reading + (steps if finer is Finer.LOWER else -steps)
        assert not 0 <= reached <= 60
        return
    assert read_setting(grinder, zero, written.text) == written


@pytest.mark.parametrize(
    "facts", [{"step_um": 0.0}, {"step_um": 900.0}, {"purge_g": -1.0}, {"purge_g": 80.0}]
)
def test_a_grinder_that_cannot_be_is_refused_with_a_sentence(facts, words):
    with pytest.raises(BadInput) as refused:
        a_grinder(**facts)
    assert words.sentence(refused.value)


def test_a_grinder_needs_a_name(words):
    with pytest.raises(BadInput) as refused:
        Grinder(id=uuid4(), name=" ", numbering=CLICKS)
    assert words.sentence(refused.value)
