"""Dials as they are written: round trips for every scheme, and refusals with a sentence."""

from datetime import date
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.errors import BadInput
from halfclick.model.grinder import Finer, Grinder, Zero, read_setting, setting_at
from halfclick.model.numbering import Numbering, Scheme, example_of, parse_reading, print_reading

NUMBERINGS = st.one_of(
    st.sampled_from(["1", "2", "1/2", "0.5", "0.25", "0.1", "1/4", "1/5"]).map(
        lambda step: Numbering(scheme=Scheme.PLAIN, step=step)
    ),
    st.just(Numbering(scheme=Scheme.CLICKS)),
    st.lists(st.integers(2, 100), min_size=1, max_size=2).map(
        lambda bases: Numbering(scheme=Scheme.ROTATIONS, bases=tuple(bases))
    ),
    st.integers(2, 26).map(lambda letters: Numbering(scheme=Scheme.LETTERED, letters=letters)),
    st.integers(1, 20).map(lambda parts: Numbering(scheme=Scheme.STEPLESS, parts=parts)),
)


@given(NUMBERINGS, st.integers(0, 5000))
def test_what_a_dial_prints_it_reads_back(numbering, reading):
    assert parse_reading(numbering, print_reading(numbering, reading)) == reading


@given(NUMBERINGS, st.text(max_size=30))
def test_any_text_is_a_reading_or_a_refusal(numbering, text):
    try:
        reading = parse_reading(numbering, text)
    except BadInput:
        return
    assert reading >= 0


@given(NUMBERINGS)
def test_the_example_shown_in_a_refusal_can_be_set(numbering):
    assert parse_reading(numbering, example_of(numbering)) > 0


@pytest.mark.parametrize(("base", "steps"), [(10, 20), (12, 24)])
def test_the_same_text_is_other_steps_on_another_base(base, steps):
    # Worked by hand: two whole rotations.
    assert parse_reading(Numbering(scheme=Scheme.ROTATIONS, bases=(base,)), "2.0") == steps


@pytest.mark.parametrize(
    ("numbering", "text", "said"),
    [
        (Numbering(scheme=Scheme.CLICKS), "8-E", "does not read “8-E”"),
        (Numbering(scheme=Scheme.CLICKS), "", "does not read"),
        (Numbering(scheme=Scheme.CLICKS, highest="40"), "41", "stops at 40"),
        (Numbering(scheme=Scheme.PLAIN, step="0.5"), "7.3", "between two steps"),
        (Numbering(scheme=Scheme.ROTATIONS, bases=(10,)), "2.10", "past the end of a rotation"),
        (Numbering(scheme=Scheme.LETTERED, letters=6), "8-G", "letters end at F"),
        (Numbering(scheme=Scheme.STEPLESS, parts=2), "5 1/3", "between the parts"),
    ],
)
def test_a_setting_the_dial_cannot_have_is_refused_with_a_sentence(numbering, text, said, words):
    with pytest.raises(BadInput) as refused:
        parse_reading(numbering, text)
    assert said in words.sentence(refused.value)


def test_a_comma_is_a_decimal_mark_too():
    assert parse_reading(Numbering(scheme=Scheme.PLAIN, step="0.5"), "7,5") == 15


@pytest.mark.parametrize(
    "made",
    [
        lambda: Numbering(scheme=Scheme.PLAIN, step="0"),
        lambda: Numbering(scheme=Scheme.PLAIN, step="x"),
        lambda: Numbering(scheme=Scheme.ROTATIONS),
        lambda: Numbering(scheme=Scheme.LETTERED, letters=40),
        lambda: Numbering(scheme=Scheme.STEPLESS, parts=0),
    ],
)
def test_a_dial_that_cannot_be_is_refused_with_a_sentence(made, words):
    with pytest.raises(BadInput) as refused:
        made()
    assert words.sentence(refused.value)


def a_grinder(finer: Finer, reading: int) -> tuple[Grinder, Zero]:
    numbering = Numbering(scheme=Scheme.CLICKS, highest="60")
    grinder = Grinder(id=uuid4(), name="Hand grinder", numbering=numbering, finer=finer)
    found_on = date(2026, 11, 1)
    return grinder, Zero(id=uuid4(), grinder_id=grinder.id, found_on=found_on, reading=reading)


def test_steps_count_coarser_from_the_zero_whichever_way_the_numbers_run():
    assert read_setting(*a_grinder(Finer.LOWER, 2), "20").steps == 18
    assert read_setting(*a_grinder(Finer.HIGHER, 60), "42").steps == 18


def test_the_same_steps_at_another_zero_are_another_text():
    grinder, zero = a_grinder(Finer.LOWER, 3)
    assert setting_at(grinder, zero, 18).text == "21"


def test_finer_than_the_zero_is_refused(words):
    with pytest.raises(BadInput) as refused:
        read_setting(*a_grinder(Finer.LOWER, 5), "4")
    assert "the burrs would touch" in words.sentence(refused.value)


@pytest.mark.parametrize(
    ("step_um", "steps"), [(25.0, 2), (50.0, 1), (8.0, 6), (200.0, 1), (None, 2)]
)
def test_a_search_step_is_about_fifty_micrometres_of_travel(step_um, steps):
    grinder = Grinder(
        id=uuid4(),
        name="Hand grinder",
        numbering=Numbering(scheme=Scheme.CLICKS),
        step_um=step_um,
    )
    assert grinder.search_steps == steps
