"""Where water boils: the standard atmosphere by altitude, and saturation by pressure."""

import math

# ISO 2533 (1975), standard atmosphere, lowest layer: sea-level pressure and temperature, lapse
# rate, gravity, and the specific gas constant of air.
SEA_LEVEL_PA = 101_325.0
SEA_LEVEL_K = 288.15
LAPSE_K_M = 0.0065
GRAVITY_M_S2 = 9.80665
AIR_J_KG_K = 287.05287
EARTH_RADIUS_M = 6_356_766.0

# IAPWS-IF97 (2007 revision), region 4, coefficients n1 to n10 of the saturation line.
_N = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)
_MPA = 1e6
KELVIN = 273.15
# Station pressures a kitchen can have, from the Dead Sea's shore to 9 km (our own default).
LOWEST_STATION_PA = 30_000.0
HIGHEST_STATION_PA = 110_000.0


def pressure_pa(altitude_m: float) -> float:
    """Return the standard atmosphere's pressure at an altitude, Pa.

    Args:
        altitude_m: geometric altitude above sea level, m; -500 to 11 000.

    Raises:
        ValueError: the altitude is outside the lowest layer.

    Source: ISO 2533 (1975), equations of the layer with a linear lapse.
    """
    if not -500 <= altitude_m <= 11_000:
        raise ValueError(f"altitude_m must be -500 to 11000, got {altitude_m}")
    geopotential_m = EARTH_RADIUS_M * altitude_m / (EARTH_RADIUS_M + altitude_m)
    base = 1.0 - LAPSE_K_M * geopotential_m / SEA_LEVEL_K
    return float(SEA_LEVEL_PA * base ** (GRAVITY_M_S2 / (AIR_J_KG_K * LAPSE_K_M)))


def saturation_c(pressure: float) -> float:
    """Return the temperature at which water boils under a pressure, degrees Celsius.

    Args:
        pressure: absolute pressure, Pa; 612 to 22 million.

    Raises:
        ValueError: the pressure is off the saturation line.

    Source: IAPWS-IF97 (2007), backward equation 31 of region 4.
    """
    if not 612.0 <= pressure <= 22.0e6:
        raise ValueError(f"pressure must be 612 to 22e6 Pa, got {pressure}")
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = _N
    beta = math.sqrt(math.sqrt(pressure / _MPA))
    e = beta**2 + n3 * beta + n6
    f = n1 * beta**2 + n4 * beta + n7
    g = n2 * beta**2 + n5 * beta + n8
    d = 2.0 * g / (-f - math.sqrt(f**2 - 4.0 * e * g))
    kelvin = (n10 + d - math.sqrt((n10 + d) ** 2 - 4.0 * (n9 + n10 * d))) / 2.0
    return kelvin - KELVIN


def boiling_point_c(altitude_m: float) -> float:
    """Return the boiling point of water in a kitchen at an altitude, degrees Celsius.

    Weather moves it by about half a degree either way (from memory).
    """
    return saturation_c(pressure_pa(altitude_m))


def boiling_point_at_pressure_c(station_pa: float) -> float:
    """Return the boiling point of water by a barometer in the kitchen, degrees Celsius.

    Args:
        station_pa: the pressure at the place itself, Pa (not reduced to sea level, as weather
            reports print it: at altitude that one is far too high); 30 000 to 110 000.

    Raises:
        ValueError: no kitchen has such a pressure.
    """
    if not LOWEST_STATION_PA <= station_pa <= HIGHEST_STATION_PA:
        raise ValueError(f"station_pa must be 30000 to 110000, got {station_pa}")
    return saturation_c(station_pa)


def station_pressure_pa(sea_level_pa: float, altitude_m: float) -> float:
    """Return the pressure at a place from a weather report's, reduced to sea level, Pa.

    Scaled by the standard atmosphere; a report reduced by the day's temperature differs by up to
    about 1 % at 2000 m (our own estimate), a quarter of a degree of the boiling point.
    """
    return sea_level_pa * pressure_pa(altitude_m) / SEA_LEVEL_PA
