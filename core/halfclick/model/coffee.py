"""A coffee as it is sold, a lot of it as delivered, and a bag of it as bought."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from uuid import UUID

from halfclick.errors import BadInput


class Roast(StrEnum):
    """How dark a label says the coffee is roasted."""

    LIGHT = "light"
    MEDIUM = "medium"
    DARK = "dark"


class Process(StrEnum):
    """How the fruit was taken off the seed."""

    WASHED = "washed"
    NATURAL = "natural"
    HONEY = "honey"
    ANAEROBIC = "anaerobic"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Coffee:
    """What is sold under one name; everything but the name may be unknown."""

    id: UUID
    name: str
    roaster: str = ""
    origin: str = ""
    process: Process | None = None
    roast: Roast | None = None
    altitude_m: float | None = None
    decaf: bool = False
    note: str = ""

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise BadInput("coffee.needs_name")
        if self.altitude_m is not None and not 0 <= self.altitude_m <= 4000:
            raise BadInput("coffee.bad_altitude", given_m=self.altitude_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One delivery, or one roast batch, of a coffee."""

    id: UUID
    coffee_id: UUID
    lot_code: str = ""
    batch_code: str = ""
    roasted_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedRecipe:
    """What the label suggests; grind numbers on labels belong to another grinder."""

    dose_g: float | None = None
    water_g: float | None = None
    temperature_c: float | None = None
    drained_s: float | None = None
    grind_words: str = ""

    def __post_init__(self) -> None:
        if self.dose_g is not None and not 1 <= self.dose_g <= 500:
            raise BadInput("label.bad_dose", given_g=self.dose_g)
        if self.water_g is not None and not 10 <= self.water_g <= 5000:
            raise BadInput("label.bad_water", given_g=self.water_g)
        if self.temperature_c is not None and not 0 < self.temperature_c <= 100:
            raise BadInput("label.bad_temperature", given_c=self.temperature_c)
        if self.drained_s is not None and not 0 < self.drained_s < 5000:
            raise BadInput("label.bad_drained", given_time_s=self.drained_s)
        if self.dose_g and self.water_g and not 3 <= self.water_g / self.dose_g <= 60:
            raise BadInput("recipe.bad_water", given_g=self.water_g, dose_g=self.dose_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bag:
    """One purchase of a lot; its age stands still while it is frozen."""

    id: UUID
    lot_id: UUID
    weight_g: float | None = None
    opened_on: date | None = None
    frozen_on: date | None = None
    thawed_on: date | None = None
    printed: PrintedRecipe | None = None
    # What the person last said is left, and when; brews after that are taken off it.
    left_g: float | None = None
    left_said_at: datetime | None = None

    def __post_init__(self) -> None:
        if self.weight_g is not None and not 0 < self.weight_g <= 100_000:
            raise BadInput("bag.bad_weight", given_g=self.weight_g)
        if self.left_g is not None and not 0 <= self.left_g <= 100_000:
            raise BadInput("bag.bad_weight", given_g=self.left_g)
        if self.thawed_on is not None:
            if self.frozen_on is None:
                raise BadInput("bag.thawed_never_frozen")
            if self.thawed_on < self.frozen_on:
                raise BadInput("bag.thawed_before_frozen")

    @property
    def is_frozen(self) -> bool:
        """Whether it lies in the freezer now."""
        return self.frozen_on is not None and self.thawed_on is None


def age_days(lot: Lot, bag: Bag, today: date) -> int | None:
    """Return days off roast, less the days spent frozen; None where no roast date is known."""
    if lot.roasted_on is None:
        return None
    age = (today - lot.roasted_on).days
    if bag.frozen_on is not None and bag.frozen_on <= today:
        age -= (min(bag.thawed_on or today, today) - bag.frozen_on).days
    return max(age, 0)


def brews_left(left_g: float, dose_g: float) -> int:
    """Return how many whole doses are left."""
    if dose_g <= 0:
        raise ValueError(f"dose_g must be positive, got {dose_g}")
    # A tenth of a gram short is still a brew: it is the usual scale's last digit.
    return max(int((left_g + 0.1) // dose_g), 0)
