"""Liquid water at the pressure of the sea level: polynomials that serve numbers and arrays alike.

Fitted here to IAPWS values at 101 325 Pa (density and heat: IAPWS-IF97, revision 2007; viscosity:
IAPWS R12-08), 0 to 100 degrees Celsius; off by less than 0.01 % of them. The pressure of a
kitchen at any altitude moves none of them by as much as that. Below 0 or above 100 they are not
fitted and run away; callers keep inside.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Number = TypeVar("Number", float, "NDArray[np.float64]")

_MIDDLE_C = 50.0
_HALF_C = 50.0
_DENSITY = (
    988.047688,
    -22.5906615,
    -8.23490297,
    1.50855151,
    -0.545121793,
    0.333879535,
    -0.167675099,
)
_FLUIDITY = (  # per mPa s
    1.82975196,
    1.53579287,
    0.228232913,
    -0.0392770358,
    -0.00438320899,
    0.000107287449,
    0.00111648769,
)
_HEAT = (
    4179.53448,
    10.6859075,
    28.1339599,
    -3.25562504,
    -0.0337086847,
    -2.05956288,
    10.3256909,
    -6.74548354,
)
_FOURTH_ROOT_OF_PRESSURE = (  # of Pa
    10.5421187,
    6.5392843,
    0.87217611,
    -0.106251985,
    -0.00507766425,
    0.0036235411,
    -0.0003701236,
)


def density_kg_m3(temperature_c: Number) -> Number:
    """Return the density of water, kg/m3, of the shape of `temperature_c` (0 to 100)."""
    return _polynomial(_DENSITY, temperature_c)


def viscosity_pa_s(temperature_c: Number) -> Number:
    """Return the dynamic viscosity of water, Pa s, of the shape of `temperature_c` (0 to 100)."""
    return 1e-3 / _polynomial(_FLUIDITY, temperature_c)


def heat_capacity_j_kg_k(temperature_c: Number) -> Number:
    """Return the isobaric heat capacity of water, J/kg/K, of the shape of `temperature_c`."""
    return _polynomial(_HEAT, temperature_c)


def saturation_pressure_pa(temperature_c: Number) -> Number:
    """Return the pressure under which water boils, Pa, of the shape of `temperature_c`."""
    root = _polynomial(_FOURTH_ROOT_OF_PRESSURE, temperature_c)
    return root * root * root * root


def _polynomial(coefficients: tuple[float, ...], temperature_c: Number) -> Number:
    x = (temperature_c - _MIDDLE_C) / _HALF_C
    total = 0.0 * x + coefficients[-1]
    for one in coefficients[-2::-1]:
        total = total * x + one
    return total
