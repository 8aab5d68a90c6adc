"""How much caffeine a dose gives to the cup, as a range and never as a number."""

import math
from dataclasses import dataclass
from enum import StrEnum


class Beans(StrEnum):
    """What a dose is, as far as caffeine goes."""

    ARABICA = "arabica"
    ROBUSTA = "robusta"
    HALF_DECAF = "half_decaf"
    DECAF = "decaf"


# Caffeine as a share of roasted mass, low and high. Arabica from memory, as textbooks give it;
# robusta about double (from memory). Decaf: at most 0.1 % of dry mass may be sold as such (Italian
# decree of 20 May 1976; US commercial item description A-A-20213B), and a fifth of it stands in
# for the low end (our own default).
CONTENT = {
    Beans.ARABICA: (0.010, 0.014),
    Beans.ROBUSTA: (0.020, 0.028),
    Beans.DECAF: (0.0002, 0.001),
}
# The share of it that a filter brew takes out (from memory; caffeine leaves the grounds early).
EXTRACTED = (0.85, 0.95)


@dataclass(frozen=True, slots=True, kw_only=True)
class Caffeine:
    """A range of caffeine, mg."""

    low_mg: float
    high_mg: float

    def __post_init__(self) -> None:
        if not 0 <= self.low_mg <= self.high_mg:
            raise ValueError(f"not a range: {self}")

    def part(self, share: float) -> "Caffeine":
        """Return what a share of the drink holds.

        Args:
            share: of the whole pot, 0 to 1.

        Raises:
            ValueError: there is no such share.
        """
        if not 0 <= share <= 1:
            raise ValueError(f"share must be 0 to 1, got {share}")
        return Caffeine(low_mg=self.low_mg * share, high_mg=self.high_mg * share)

    def plus(self, other: "Caffeine") -> "Caffeine":
        """Return both together, the ranges added end to end."""
        return Caffeine(low_mg=self.low_mg + other.low_mg, high_mg=self.high_mg + other.high_mg)

    def shown(self) -> tuple[int, int]:
        """Return the range as it is printed: to 10 mg, small ones to 5 mg and never to nothing."""
        return _rounded(self.low_mg), _rounded(self.high_mg)


NO_CAFFEINE = Caffeine(low_mg=0.0, high_mg=0.0)


def caffeine_of(dose_g: float, beans: Beans = Beans.ARABICA) -> Caffeine:
    """Return the caffeine that a dose gives to the drink, as a range.

    Raises:
        ValueError: dose_g is not positive.
    """
    if dose_g <= 0:
        raise ValueError(f"dose_g must be positive, got {dose_g}")
    if beans is Beans.HALF_DECAF:
        return caffeine_of(dose_g / 2).plus(caffeine_of(dose_g / 2, Beans.DECAF))
    low, high = CONTENT[beans]
    return Caffeine(
        low_mg=dose_g * low * EXTRACTED[0] * 1000, high_mg=dose_g * high * EXTRACTED[1] * 1000
    )


def _rounded(value_mg: float) -> int:
    step = 10 if value_mg >= 30 else 5
    nearest = math.floor(value_mg / step + 0.5) * step
    return max(nearest, step) if value_mg > 0 else 0
