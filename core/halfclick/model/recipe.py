"""A recipe: dose, water, temperature, grind setting and pours; and the levers that move it."""

from dataclasses import dataclass
from enum import StrEnum

from halfclick.errors import BadInput
from halfclick.model.grinder import Setting


class Lever(StrEnum):
    """What one change may move; amounts are in the unit beside each."""

    GRIND = "grind"  # steps of the grinder from its zero, coarser is positive
    RATIO = "ratio"  # g water per g dose, longer is positive
    TEMPERATURE = "temperature"  # degrees Celsius
    POURS = "pours"  # number of pours after the bloom
    POUR_RATE = "pour_rate"  # g/s
    BLOOM = "bloom"  # g water per g dose; with it, whether the bloom is stirred


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One lever moved, by an amount in the lever's own unit."""

    lever: Lever
    amount: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pour:
    """One pour: when it starts, the weight to stop at, how fast."""

    start_s: float
    until_g: float
    rate_g_s: float

    def __post_init__(self) -> None:
        if self.start_s < 0 or self.until_g <= 0 or self.rate_g_s <= 0:
            raise ValueError(f"impossible pour: {self}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """What to brew: the first pour is the bloom, the last one ends at the water.

    `steep_s` is the clock time at which an immersion dripper's valve opens.
    """

    dose_g: float
    water_g: float
    pours: tuple[Pour, ...]
    temperature_c: float | None = None
    setting: Setting | None = None
    stir_bloom: bool = False
    steep_s: float | None = None

    def __post_init__(self) -> None:
        if not 1 <= self.dose_g <= 500:
            raise BadInput("recipe.bad_dose", given_g=self.dose_g)
        if not self.dose_g * 3 <= self.water_g <= self.dose_g * 60:
            raise BadInput("recipe.bad_water", given_g=self.water_g, dose_g=self.dose_g)
        if self.temperature_c is not None and not 0 < self.temperature_c <= 101:
            raise BadInput("recipe.bad_temperature", given_c=self.temperature_c)
        if not self.pours or abs(self.pours[-1].until_g - self.water_g) > 0.05:
            raise ValueError(f"the last pour must end at the water: {self}")
        for one, next_one in zip(self.pours, self.pours[1:], strict=False):
            if next_one.until_g <= one.until_g or next_one.start_s <= one.start_s:
                raise ValueError(f"pours out of order: {self}")

    @property
    def ratio(self) -> float:
        """Water poured per dose, g/g."""
        return self.water_g / self.dose_g

    @property
    def bloom_g(self) -> float:
        """Water of the first pour, g."""
        return self.pours[0].until_g

    @property
    def bloom_multiple(self) -> float:
        """Water of the first pour per dose, g/g."""
        return self.bloom_g / self.dose_g

    @property
    def bloom_s(self) -> float:
        """Clock time from the first water to the second pour, s; 0 without a second pour."""
        return self.pours[1].start_s if len(self.pours) > 1 else 0.0


# Common practice, no source: 3 x the dose for 45 s, then even pours; TRIED in the trade
# between 2-4 x and 20-60 s.
BLOOM_MULTIPLE = 3.0
BLOOM_S = 45.0
POUR_GAP_S = 35.0
POUR_RATE_G_S = 5.0


def even_pours(
    dose_g: float,
    water_g: float,
    *,
    count: int = 2,
    bloom_multiple: float = BLOOM_MULTIPLE,
    bloom_s: float = BLOOM_S,
    rate_g_s: float = POUR_RATE_G_S,
) -> tuple[Pour, ...]:
    """Return a bloom and `count` even pours, as cumulative weights with clock times.

    Weights are rounded down to 5 g, which a person can read while pouring; the last is exact.
    """
    bloom_g = float(min(round(dose_g * bloom_multiple), water_g - count))
    pours = [Pour(start_s=0.0, until_g=bloom_g, rate_g_s=rate_g_s)]
    share_g = (water_g - bloom_g) / count
    start_s = bloom_s
    for index in range(count):
        last = index == count - 1
        ideal_g = bloom_g + share_g * (index + 1)
        rounded_g = ideal_g // 5 * 5
        until_g = water_g if last else (rounded_g if rounded_g > pours[-1].until_g else ideal_g)
        pours.append(Pour(start_s=start_s, until_g=until_g, rate_g_s=rate_g_s))
        poured_s = (until_g - pours[-2].until_g) / rate_g_s
        start_s += max(POUR_GAP_S, float(round(poured_s + 10)))
    return tuple(pours)
