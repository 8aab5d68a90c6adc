"""Activities of ions in dilute water: Davies' equation, with Debye and Hückel's slope."""

from collections.abc import Iterable

KELVIN = 273.15


def debye_slope(temperature_c: float) -> float:
    """Return the Debye-Hückel slope A of water, kg^0.5 mol^-0.5, base 10.

    Args:
        temperature_c: 0 to 100.

    Sources: dielectric constant by Malmberg and Maryott (1956), J. Res. NBS 56:1; density by
    Kell (1975), J. Chem. Eng. Data 20:97; the slope's constant by Truesdell and Jones (1974).
    """
    t = temperature_c
    dielectric = 87.740 - 0.40008 * t + 9.398e-4 * t**2 - 1.410e-6 * t**3
    kelvin = t + KELVIN
    return float(1.82483e6 * _density_kg_l(t) ** 0.5 / (dielectric * kelvin) ** 1.5)


def ionic_strength(parts: Iterable[tuple[float, int]]) -> float:
    """Return half the sum of amount times charge squared, mol/L, of amounts in mol/L."""
    return sum(amount * charge**2 for amount, charge in parts) / 2


def activity_coefficient(charge: int, strength: float, slope: float) -> float:
    """Return the activity coefficient of an ion (Davies 1962); good to about 0.1 mol/L.

    Args:
        charge: of the ion, with or without its sign.
        strength: ionic strength, mol/L.
        slope: of `debye_slope`.
    """
    root = strength**0.5
    return float(10.0 ** (-slope * charge**2 * (root / (1.0 + root) - 0.3 * strength)))


def _density_kg_l(t: float) -> float:
    top = 999.83952 + 16.945176 * t - 7.9870401e-3 * t**2
    top += -46.170461e-6 * t**3 + 105.56302e-9 * t**4 - 280.54253e-12 * t**5
    return top / (1.0 + 16.879850e-3 * t) / 1000.0
