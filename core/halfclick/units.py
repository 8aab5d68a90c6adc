"""Conversions between the units inside the program and those people write."""

from dataclasses import dataclass
from enum import StrEnum

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


class TemperatureUnit(StrEnum):
    """What a person reads temperatures in."""

    CELSIUS = "c"
    FAHRENHEIT = "f"


class WeightUnit(StrEnum):
    """What a person reads weights in."""

    GRAM = "g"
    OUNCE = "oz"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A unit as a person reads and types it: shown = base x factor + offset.

    The base is what the program computes in: g, g/s, or degrees Celsius.
    """

    sign: str
    decimals: int = 1
    factor: float = 1.0
    offset: float = 0.0

    def shown(self, base: float) -> float:
        """Return a value of the base unit in this unit."""
        return base * self.factor + self.offset

    def base(self, shown: float) -> float:
        """Return a value of this unit in the base unit."""
        return (shown - self.offset) / self.factor


@dataclass(frozen=True, slots=True, kw_only=True)
class Units:
    """The units one person reads and types."""

    temperature: TemperatureUnit = TemperatureUnit.CELSIUS
    weight: WeightUnit = WeightUnit.GRAM

    def of(self, suffix: str) -> Unit | None:
        """Return the unit for values whose name ends so; None where a person has no choice.

        `size_c` is a difference of temperatures, which has no offset.
        """
        fahrenheit = self.temperature is TemperatureUnit.FAHRENHEIT
        ounce = self.weight is WeightUnit.OUNCE
        match suffix:
            case "g":
                return _OUNCE if ounce else _GRAM
            case "g_s":
                return _OUNCE_A_SECOND if ounce else _GRAM_A_SECOND
            case "c":
                return _FAHRENHEIT if fahrenheit else _CELSIUS
            case "size_c":
                return _FAHRENHEIT_BETWEEN if fahrenheit else _CELSIUS
            case _:
                return None


# Ounces with two decimals: a hundredth is 0.3 g, about what a kitchen scale tells apart.
_GRAM = Unit(sign="g")
_OUNCE = Unit(sign="oz", decimals=2, factor=1 / G_PER_OZ)
_GRAM_A_SECOND = Unit(sign="g/s")
_OUNCE_A_SECOND = Unit(sign="oz/s", decimals=2, factor=1 / G_PER_OZ)
_CELSIUS = Unit(sign="°C")
_FAHRENHEIT = Unit(sign="°F", factor=1.8, offset=32.0)
_FAHRENHEIT_BETWEEN = Unit(sign="°F", factor=1.8)
