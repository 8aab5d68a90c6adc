"""Boiling points against independent libraries and published rows."""

import pytest
from ambiance import Atmosphere
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97

from halfclick.physics.water import boiling_point_c, pressure_pa, saturation_c


@given(st.floats(-400, 5000))
def test_boiling_point_agrees_with_two_independent_libraries(altitude_m):
    pressure = float(Atmosphere(altitude_m).pressure[0])
    expected_c = IAPWS97(P=pressure / 1e6, x=0).T - 273.15
    assert boiling_point_c(altitude_m) == pytest.approx(expected_c, abs=0.05)


@pytest.mark.parametrize(
    ("altitude_m", "expected_c"),
    # ambiance 1.3.1 with iapws 1.5.5; CoolProp 8.0.0 agrees within 0.001.
    [(0, 99.97), (500, 98.31), (1609.344, 94.62), (2000, 93.32), (3000, 89.98)],
)
def test_boiling_point_falls_with_altitude_as_tabulated(altitude_m, expected_c):
    assert boiling_point_c(altitude_m) == pytest.approx(expected_c, abs=0.05)


def test_pressure_at_a_thousand_metres_is_the_standard_atmospheres():
    assert pressure_pa(1000) == pytest.approx(89_876.3, abs=20)


def test_205_fahrenheit_cannot_be_reached_above_1162_metres():
    assert boiling_point_c(1162 - 15) > 96.11 > boiling_point_c(1162 + 15)


def test_water_boils_at_the_published_check_value():
    # IAPWS-IF97 (2007), table 36: 0.1 MPa gives 372.755919 K.
    assert saturation_c(0.1e6) == pytest.approx(372.755919 - 273.15, abs=1e-6)


@pytest.mark.parametrize("altitude_m", [-501, 11_001])
def test_an_altitude_outside_the_layer_is_refused(altitude_m):
    with pytest.raises(ValueError, match="altitude_m"):
        pressure_pa(altitude_m)
