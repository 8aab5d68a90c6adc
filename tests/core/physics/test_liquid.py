"""Water's properties and its boiling point, against two independent libraries."""

import ambiance
import fluids
import iapws
import numpy as np
import pytest
from CoolProp import CoolProp

from halfclick.physics.liquid import (
    density_kg_m3,
    heat_capacity_j_kg_k,
    saturation_pressure_pa,
    viscosity_pa_s,
)
from halfclick.physics.water import (
    boiling_point_at_pressure_c,
    boiling_point_c,
    pressure_pa,
    station_pressure_pa,
)

WARM_C = np.linspace(0.5, 99.5, 9)
OURS = (
    (density_kg_m3, "rho", 1.0, "D"),
    (viscosity_pa_s, "mu", 1.0, "V"),
    (heat_capacity_j_kg_k, "cp", 1000.0, "C"),
)


@pytest.mark.parametrize(("ours", "name", "scale", "letter"), OURS)
def test_water_is_as_two_libraries_have_it(ours, name, scale, letter):
    """iapws (IAPWS-IF97) and CoolProp (IAPWS-95), at 101 325 Pa.

    The two themselves part by 0.05 % in the heat capacity of cool water.
    """
    got = ours(WARM_C)
    for value, warm_c in zip(got, WARM_C, strict=True):
        one = getattr(iapws.IAPWS97(T=warm_c + 273.15, P=0.101325), name) * scale
        other = CoolProp.PropsSI(letter, "T", warm_c + 273.15, "P", 101325, "Water")
        assert value == pytest.approx(one, rel=2e-4)
        assert value == pytest.approx(other, rel=1e-3)
        assert ours(float(warm_c)) == pytest.approx(value, rel=1e-13)


def test_the_saturation_pressure_is_as_two_libraries_have_it():
    for warm_c in WARM_C:
        ours = saturation_pressure_pa(float(warm_c))
        kelvin = warm_c + 273.15
        assert ours == pytest.approx(iapws.iapws97._PSat_T(kelvin) * 1e6, rel=2e-4)
        assert ours == pytest.approx(CoolProp.PropsSI("P", "T", kelvin, "Q", 0, "Water"), rel=5e-4)


@pytest.mark.parametrize(
    ("warm_c", "density", "viscosity"),
    [(80, 971.80, 0.3541e-3), (90, 965.32, 0.3142e-3), (96, 961.20, 0.2939e-3)],
)
def test_density_and_viscosity_at_printed_temperatures(warm_c, density, viscosity):
    """Values of iapws 1.5.5 at 101 325 Pa."""
    assert density_kg_m3(float(warm_c)) == pytest.approx(density, abs=0.3)
    assert viscosity_pa_s(float(warm_c)) == pytest.approx(viscosity, abs=0.003e-3)


def test_the_heat_of_water_at_93_degrees():
    """Value of iapws 1.5.5 at 101 325 Pa."""
    assert heat_capacity_j_kg_k(93.0) == pytest.approx(4208.3, abs=10)


@pytest.mark.parametrize(
    ("altitude_m", "boils_c"),
    [(0, 99.97), (500, 98.31), (1609.344, 94.62), (2000, 93.32), (3000, 89.98)],
)
def test_water_boils_by_altitude(altitude_m, boils_c):
    """ambiance 1.3.1 with iapws 1.5.5."""
    assert boiling_point_c(altitude_m) == pytest.approx(boils_c, abs=0.05)


def test_205_fahrenheit_is_out_of_reach_above_1162_metres():
    """ambiance 1.3.1 with iapws 1.5.5."""
    assert boiling_point_c(1162 - 15) > (205 - 32) / 1.8 > boiling_point_c(1162 + 15)


def test_the_pressure_of_a_thousand_metres_is_the_standard_atmosphere():
    assert pressure_pa(1000) == pytest.approx(89876.3, abs=20)
    assert pressure_pa(1000) == pytest.approx(float(ambiance.Atmosphere(1000).pressure[0]), abs=1)
    assert pressure_pa(1000) == pytest.approx(fluids.ATMOSPHERE_1976(1000).P, abs=1)


@pytest.mark.parametrize("station_pa", [55_000, 70_000, 85_000, 101_325, 105_000])
def test_a_barometer_says_where_water_boils(station_pa):
    ours = boiling_point_at_pressure_c(station_pa)
    assert ours == pytest.approx(iapws.iapws97._TSat_P(station_pa / 1e6) - 273.15, abs=0.05)
    theirs = CoolProp.PropsSI("T", "P", station_pa, "Q", 0, "Water") - 273.15
    assert ours == pytest.approx(theirs, abs=0.05)


def test_no_kitchen_has_a_tenth_of_an_atmosphere():
    with pytest.raises(ValueError, match="station_pa"):
        boiling_point_at_pressure_c(10_000)


def test_a_standard_day_has_the_standard_pressure_at_the_place():
    assert station_pressure_pa(101_325, 2000) == pytest.approx(pressure_pa(2000))
