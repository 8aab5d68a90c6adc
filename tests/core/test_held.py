"""What was said of a brew, held against what happened; and what the kit learned from it."""

from dataclasses import replace
from uuid import uuid4

import numpy as np
import pytest

from halfclick.model.brew import How, Reading
from halfclick.model.forecast import Forecast
from halfclick.physics.brew.calibrate import Belief, no_belief
from halfclick.physics.brew.priors import NAMES
from halfclick.service.corrections import correct_cup, correction_of
from halfclick.service.held import FEW, LAST, Held, Reckoning, held_by, moved, reckon


@pytest.fixture
def said(store, clock):
    """Return what keeps a forecast of a brew, of its drained time only."""

    def made(brew, low: float, high: float) -> Forecast:
        forecast = Forecast(
            id=uuid4(),
            brew_id=brew.id,
            made_at=clock(),
            engine="test",
            brews_behind=0,
            bands={"time_s": (low, (low + high) / 2, high)},
        )
        with store.writing(clock()) as w:
            w.add(forecast)
        return forecast

    return made


@pytest.mark.parametrize(
    ("read", "where"), [(139.0, "below"), (140.0, "inside"), (170.0, "inside"), (171.0, "above")]
)
def test_a_reading_lies_inside_above_or_below(read, where):
    assert Held(name="time_s", band=(140.0, 155.0, 170.0), read=read).where == where


def test_a_time_is_told_with_its_band(words):
    told = words.sentence(Held(name="time_s", band=(140.0, 155.0, 170.0), read=161.0).told())
    assert told == "Drained at 2:41; 2:20 to 2:50 was expected: inside."


def test_few_readings_are_said_to_be_few(words):
    few = Reckoning(held=(), inside=3, of=3, learned=())
    assert "so few say little" in words.sentence(few.share_told())
    many = Reckoning(held=(), inside=18, of=20, learned=())
    assert "90\N{NO-BREAK SPACE}%" in words.sentence(many.share_told())
    assert Reckoning(held=(), inside=0, of=0, learned=()).share_told() is None
    assert 0.9**FEW < 0.5
    assert LAST > FEW


def test_the_newest_reading_of_a_corrected_brew_is_what_counts(
    store, clock, kit, coffee, cup, said
):
    brew = cup(coffee("Tarn Hollow"), "18", drained_s=160.0)
    said(brew, 150.0, 170.0)
    found = reckon(store, brew.id)
    assert [(one.name, one.read, one.where) for one in found.held] == [("time_s", 160.0, "inside")]
    assert (found.inside, found.of) == (1, 1)
    assert found.learned
    mended = correct_cup(
        store, brew.id, replace(correction_of(brew), drained_s=190.0), clock=clock
    ).value
    found = reckon(store, mended.id)
    assert [one.where for one in found.held] == ["above"]
    assert (found.inside, found.of) == (0, 1)


def test_what_was_not_read_is_not_held_against_anything(coffee, cup, said):
    brew = cup(coffee("Tarn Hollow"), "18", drained_s=None)
    forecast = said(brew, 150.0, 170.0)
    assert brew.poured.drained_s == Reading(value=None, sd=None, how=How.UNKNOWN)
    assert held_by(forecast, brew, None) == ()


def test_the_constants_that_moved_or_narrowed_most_are_told(words):
    before = no_belief()
    mean, covariance = np.zeros(len(NAMES)), np.eye(len(NAMES))
    mean[NAMES.index("permeability_m2")] = -0.9
    covariance[NAMES.index("size_um"), NAMES.index("size_um")] = 0.25
    told = moved(before, Belief(mean, covariance, brews=1))
    assert [one.code for one in told] == ["held.moved_down", "held.narrowed"]
    assert "narrowed by 50\N{NO-BREAK SPACE}%" in words.sentence(told[1])
    assert moved(before, before) == ()
