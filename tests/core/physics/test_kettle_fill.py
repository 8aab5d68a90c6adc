"""A kettle read at several fills."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.physics.kettle import (
    LID_OFF,
    LID_ON,
    Reading,
    cooled_c,
    heat_j_k,
)
from halfclick.physics.kettle_fill import FilledReading, fit_at_fill

FILLS = st.floats(0.3, 1.7)


def read(ua, fill, wait_s, sd_c=0.5, power=0.25):
    """Return an exact reading of a kettle that loses `ua` at the prior's fill."""
    heat = heat_j_k(fill)
    end_c = cooled_c(99, 21, wait_s, ua * fill**power, heat)
    one = Reading(start_c=99, end_c=end_c, wait_s=wait_s, room_c=21, heat_j_k=heat, sd_c=sd_c)
    return FilledReading(reading=one, fill_ratio=fill)


READ = st.builds(read, st.floats(0.3, 3.0), FILLS, st.floats(60, 900), st.floats(0.2, 2.0))


@given(FILLS)
def test_without_readings_it_is_the_prior_at_that_fill(fill):
    """By hand: UA as the fill to 0.25, and wider by half the logarithm of the fill."""
    found = fit_at_fill(LID_ON, [], fill)
    assert found.ua_w_k == pytest.approx(LID_ON.ua_w_k * fill**0.25)
    assert found.sd == pytest.approx(math.hypot(LID_ON.sd, 0.5 * math.log(fill)))


def test_read_at_the_priors_own_fill_it_learns_as_from_a_single_fill():
    one = read(1.1, 1.0, 300)
    """The same posterior on a grid of ln UA, thermometer and prior both normal."""
    found, reading = fit_at_fill(LID_ON, [one], 1.0), one.reading
    grid = np.linspace(LID_ON.ln_ua - 1.5, LID_ON.ln_ua + 1.5, 20_001)
    ends_c = 21 + (99 - 21) * np.exp(-np.exp(grid) * 300 / reading.heat_j_k)
    log_posterior = -0.5 * ((grid - LID_ON.ln_ua) / LID_ON.sd) ** 2
    log_posterior -= 0.5 * ((ends_c - reading.end_c) / reading.sd_c) ** 2
    weight = np.exp(log_posterior - log_posterior.max())
    assert found.ln_ua == pytest.approx(grid[weight.argmax()], abs=1e-3)
    middle = (weight * grid).sum() / weight.sum()
    spread = np.sqrt((weight * (grid - middle) ** 2).sum() / weight.sum())
    # The grid knows that ends near the room tell less; a straight line does not.
    assert found.sd == pytest.approx(spread, rel=0.1)
    assert found.readings == 1


@given(st.lists(READ, max_size=4), READ, FILLS)
def test_another_reading_never_widens_what_is_believed(before, one, fill):
    narrow = fit_at_fill(LID_ON, [*before, one], fill)
    assert narrow.sd <= fit_at_fill(LID_ON, before, fill).sd + 1e-9


@given(st.floats(0.5, 3.0), st.floats(-0.3, 0.9), st.floats(0.4, 1.6))
def test_exact_readings_at_two_fills_find_how_the_loss_follows_the_fill(ua, power, fill):
    exact = [read(ua, at, 300, sd_c=1e-4, power=power) for at in (0.5, 1.5)]
    found = fit_at_fill(LID_OFF, exact, fill)
    assert found.ua_w_k == pytest.approx(ua * fill**power, rel=1e-3)


def test_a_fill_further_from_those_read_is_less_certain():
    one = read(0.85, 0.5, 600)
    sds = [fit_at_fill(LID_ON, [one], fill).sd for fill in (0.5, 0.8, 1.5)]
    assert sds == sorted(sds)
    assert all(math.isfinite(sd) for sd in sds)


def test_no_fill_is_refused():
    with pytest.raises(ValueError, match="fill_ratio"):
        fit_at_fill(LID_ON, [], 0.0)
    with pytest.raises(ValueError, match="fill_ratio"):
        FilledReading(reading=read(1.0, 1.0, 60).reading, fill_ratio=-1.0)
