"""The arithmetic of a cup against published rows."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.model.cup import (
    beverage_g,
    strength_from_yield,
    usual_strength,
    water_for_beverage_g,
)
from halfclick.units import c_from_f, f_from_c, oz_from_g

UNITS = pint.UnitRegistry()


def test_beverage_is_water_less_what_the_grounds_keep():
    assert beverage_g(500, 32, retained=2.0) == 436.0


def test_strength_from_yield_follows_the_mass_balance():
    assert strength_from_yield(0.20, 436, 32) == pytest.approx(0.014679, abs=1e-5)


def test_an_overshoot_of_fifteen_grams_takes_a_tenth_of_a_percent_of_strength():
    # Worked by hand: 16 g at 20 % is 3.2 g dissolved, in 256 - 33.6 and in 271 - 33.6 g.
    assert usual_strength(16, 256) == pytest.approx(0.01439, abs=1e-5)
    assert usual_strength(16, 271) == pytest.approx(0.01348, abs=1e-5)


@given(st.floats(5, 1000), st.floats(5, 25))
def test_a_recipe_sized_for_a_cup_gives_that_cup(beverage, ratio):
    dose_g, water_g = water_for_beverage_g(beverage, ratio)
    assert beverage_g(water_g, dose_g) == pytest.approx(beverage)


@given(st.floats(-40, 120))
def test_temperatures_convert_as_pint_converts_them(temperature_c):
    expected = UNITS.Quantity(temperature_c, "degC").to("degF").magnitude
    assert f_from_c(temperature_c) == pytest.approx(expected)
    assert c_from_f(f_from_c(temperature_c)) == pytest.approx(temperature_c, abs=1e-9)


def test_kettle_temperatures_in_fahrenheit_are_the_tabulated_ones():
    assert c_from_f(202) == pytest.approx(94.444, abs=0.001)
    assert c_from_f(205) == pytest.approx(96.111, abs=0.001)


def test_an_ounce_is_the_avoirdupois_ounce():
    grams = UNITS.Quantity(1, "oz").to("g").magnitude
    assert oz_from_g(grams) == pytest.approx(1.0)
