"""A kettle read at several fills."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.physics.kettle import (
    LID_OFF,
    LID_ON,
    Reading,
    at_fill,
    cooled_c,
    fit_loss,
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
    found, prior = fit_at_fill(LID_ON, [], fill), at_fill(LID_ON, fill)
    assert found.ln_ua == pytest.approx(prior.ln_ua)
    assert found.sd == pytest.approx(prior.sd)


def test_read_at_the_priors_own_fill_it_learns_as_from_a_single_fill():
    one = read(1.1, 1.0, 300)
    found, single = fit_at_fill(LID_ON, [one], 1.0), fit_loss(LID_ON, [one.reading])
    assert found.ln_ua == pytest.approx(single.ln_ua)
    # The prior holds the fit back from what was read, so the two count its worth differently.
    assert found.sd == pytest.approx(single.sd, rel=0.05)
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
