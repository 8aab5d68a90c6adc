"""Conversions between the units inside the program and those people write."""

SECONDS_A_MINUTE = 60
HOURS_A_DAY = 24

# Exact by definition: the international avoirdupois ounce (international yard and pound
# agreement, 1959).
G_PER_OZ = 28.349523125


def c_from_f(temperature_f: float) -> float:
    """Return degrees Celsius for degrees Fahrenheit (exact by definition)."""
    return (temperature_f - 32.0) / 1.8


def f_from_c(temperature_c: float) -> float:
    """Return degrees Fahrenheit for degrees Celsius (exact by definition)."""
    return temperature_c * 1.8 + 32.0


def oz_from_g(mass_g: float) -> float:
    """Return avoirdupois ounces for grams (exact by definition)."""
    return mass_g / G_PER_OZ
