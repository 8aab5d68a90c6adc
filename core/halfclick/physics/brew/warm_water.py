"""Density and fluidity of water as cubics: quick, for a solver that asks thousands of times.

Fitted here to IAPWS values at 101 325 Pa from 0 to 99.5 degrees Celsius; off by less than 0.03 %
from 40 degrees on. `halfclick.physics.liquid` is closer and slower.
"""

from typing import Any

MIDDLE_C = 60.0


def density_kg_m3(temperature_c: Any) -> Any:
    """Return the density of water, kg/m3; numbers and arrays alike."""
    x = temperature_c - MIDDLE_C
    return ((1.51342400e-05 * x - 3.06781245e-03) * x - 5.19608629e-01) * x + 9.83223872e02


def fluidity_per_pa_s(temperature_c: Any) -> Any:
    """Return one over the viscosity of water, 1/(Pa s); numbers and arrays alike."""
    x = temperature_c - MIDDLE_C
    return ((-3.13709884e-04 * x + 8.07081048e-02) * x + 3.24250532e01) * x + 2.14590701e03
