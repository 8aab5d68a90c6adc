"""Equilibrium constants of carbon dioxide, carbonate and calcite in water, 0 to 90 °C and near."""

import math
from dataclasses import dataclass

from halfclick.physics.minerals.activity import KELVIN

# log10 K = a + b T + c / T + d log10 T + e / T^2, T in kelvin.
Coefficients = tuple[float, float, float, float, float]

# Plummer and Busenberg (1982), Geochim. Cosmochim. Acta 46:1011, their summary table.
_HENRY = (108.3865, 0.01985076, -6919.53, -40.45154, 669365.0)
_FIRST = (-356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0)
_SECOND = (-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9)
_CALCITE = (-171.9065, -0.077993, 2839.319, 71.595, 0.0)
_CALCIUM_BICARBONATE = (1209.120, 0.31294, -34765.05, -478.782, 0.0)
_CALCIUM_CARBONATE = (-1228.732, -0.299444, 35512.75, 485.818, 0.0)
# Water itself: Harned and Owen's data as fitted in PHREEQC's and WATEQ4F's databases (USGS).
_WATER = (-283.9710, -0.05069842, 13323.00, 102.24447, -1119669.0)
# Magnesium's pairs, as in the same databases; sulfate's by their enthalpies (kcal/mol).
_MAGNESIUM_BICARBONATE = (-59.215, 0.0, 2537.455, 20.92298, 0.0)
_MAGNESIUM_CARBONATE = (0.9910, 0.00667, 0.0, 0.0, 0.0)
_CALCIUM_SULFATE = (2.25, 1.325)
_MAGNESIUM_SULFATE = (2.37, 4.550)
_KCAL_R_LN10 = 1.987204e-3 * math.log(10.0)
_REFERENCE_K = 298.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Constants:
    """Equilibrium constants at one temperature, of activities in mol/L; pairs by association."""

    henry: float  # CO2 in water over its pressure in atmospheres
    first: float  # CO2 + H2O = H + HCO3
    second: float  # HCO3 = H + CO3
    water: float  # H2O = H + OH
    calcite: float  # CaCO3 = Ca + CO3
    calcium_bicarbonate: float
    calcium_carbonate: float
    magnesium_bicarbonate: float
    magnesium_carbonate: float
    calcium_sulfate: float
    magnesium_sulfate: float


def constants_at(temperature_c: float) -> Constants:
    """Return the constants at a temperature.

    Args:
        temperature_c: 0 to 100; those of carbonate were measured up to 90.
    """
    kelvin = temperature_c + KELVIN
    return Constants(
        henry=_analytic(_HENRY, kelvin),
        first=_analytic(_FIRST, kelvin),
        second=_analytic(_SECOND, kelvin),
        water=_analytic(_WATER, kelvin),
        calcite=_analytic(_CALCITE, kelvin),
        calcium_bicarbonate=_analytic(_CALCIUM_BICARBONATE, kelvin),
        calcium_carbonate=_analytic(_CALCIUM_CARBONATE, kelvin),
        magnesium_bicarbonate=_analytic(_MAGNESIUM_BICARBONATE, kelvin),
        magnesium_carbonate=_analytic(_MAGNESIUM_CARBONATE, kelvin),
        calcium_sulfate=_by_enthalpy(_CALCIUM_SULFATE, kelvin),
        magnesium_sulfate=_by_enthalpy(_MAGNESIUM_SULFATE, kelvin),
    )


def _analytic(coefficients: Coefficients, kelvin: float) -> float:
    a, b, c, d, e = coefficients
    return float(10.0 ** (a + b * kelvin + c / kelvin + d * math.log10(kelvin) + e / kelvin**2))


def _by_enthalpy(given: tuple[float, float], kelvin: float) -> float:
    log_k, kcal = given  # van 't Hoff
    return float(10.0 ** (log_k + kcal / _KCAL_R_LN10 * (1.0 / _REFERENCE_K - 1.0 / kelvin)))
