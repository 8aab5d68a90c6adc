"""A cooling kettle: the lumped law, what readings teach, and the wait for a target."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.physics.kettle import (
    BAND_SDS,
    LID_OFF,
    LID_ON,
    Body,
    Reading,
    cooled_c,
    heat_j_k,
    prior_of,
    wait_for,
)
from halfclick.physics.kettle_fill import FilledReading, fit_at_fill
from halfclick.physics.water import boiling_point_c


def full(one):
    """Return a reading of a kettle filled as the prior speaks of."""
    return FilledReading(reading=one, fill_ratio=1.0)


def test_a_litre_in_a_steel_kettle_holds_its_heat():
    """Hand-worked: 1 kg of water at 4.205 kJ/kg/K and 0.45 kg of steel, 4435 J/K within 1 %."""
    assert heat_j_k(1.0, 0.45, Body.STEEL) == pytest.approx(4435, rel=0.01)


def test_two_minutes_off_the_heat_by_the_lumped_law():
    """Hand-worked: 22 + 78 exp(-0.85 x 120 / 4435)."""
    assert cooled_c(100, 22, 120, 0.85, 4435) == pytest.approx(98.227, abs=0.01)


def test_a_lid_keeps_more_than_it_costs():
    assert prior_of(lid_on=True).ua_w_k < prior_of(lid_on=False).ua_w_k


@given(st.floats(0.4, 4.0), st.floats(60, 900), st.booleans())
def test_exact_readings_find_the_loss_they_came_from(ua, wait_s, lid_on):
    end_c = cooled_c(98, 21, wait_s, ua, 4400)
    one = Reading(start_c=98, end_c=end_c, wait_s=wait_s, room_c=21, heat_j_k=4400, sd_c=1e-4)
    found = fit_at_fill(prior_of(lid_on=lid_on), [full(one)], 1.0)
    assert found.ua_w_k == pytest.approx(ua, rel=1e-3)
    assert found.sd < LID_ON.sd


@given(st.floats(90, 99.5), st.floats(0.2, 3.0))
def test_a_reading_never_widens_what_is_believed(end_c, sd_c):
    one = Reading(start_c=100, end_c=end_c, wait_s=120, room_c=20, heat_j_k=4435, sd_c=sd_c)
    once = fit_at_fill(LID_OFF, [full(one)], 1.0)
    twice = fit_at_fill(LID_OFF, [full(one), full(one)], 1.0)
    assert twice.sd < once.sd < LID_OFF.sd
    assert twice.readings == 2


def test_a_useless_thermometer_leaves_the_prior():
    one = Reading(start_c=100, end_c=90, wait_s=60, room_c=20, heat_j_k=4435, sd_c=1e4)
    assert fit_at_fill(LID_ON, [full(one)], 1.0).ln_ua == pytest.approx(LID_ON.ln_ua, abs=1e-4)


@given(st.floats(70, 98))
def test_waiting_as_told_arrives_at_the_target(target_c):
    wait = wait_for(LID_ON, target_c, 99.97, 21, 4435)
    assert wait.low_s < wait.middle_s < wait.high_s
    assert cooled_c(99.97, 21, wait.middle_s, LID_ON.ua_w_k, 4435) == pytest.approx(target_c)
    for side, wait_s in ((1.0, wait.low_s), (-1.0, wait.high_s)):
        ua = math.exp(LID_ON.ln_ua + side * BAND_SDS * LID_ON.sd)
        assert cooled_c(99.97, 21, wait_s, ua, 4435) == pytest.approx(target_c)


def test_at_two_thousand_metres_94_degrees_is_poured_at_once():
    wait = wait_for(LID_OFF, 94.0, boiling_point_c(2000), 21, 4435)
    assert wait.pour_at_once
    assert wait.middle_s == 0


def test_the_room_is_never_reached():
    assert wait_for(LID_OFF, 20.0, 100, 21, 4435).never


def test_half_the_water_cools_nearly_twice_as_fast_and_is_less_certain():
    half = fit_at_fill(LID_ON, [], 0.5)
    assert half.sd > LID_ON.sd
    rate = half.ua_w_k / heat_j_k(0.5) / (LID_ON.ua_w_k / heat_j_k(1.0))
    assert 1.4 < rate < 2.0


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="tells nothing"):
        Reading(start_c=20, end_c=19, wait_s=60, room_c=21, heat_j_k=4000)
    with pytest.raises(ValueError, match="fill_ratio"):
        fit_at_fill(LID_ON, [], 0)
    assert math.isfinite(LID_ON.ln_ua)
