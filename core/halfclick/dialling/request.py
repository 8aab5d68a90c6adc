"""What is known when the next brew is asked for: kit, coffee, levers, and every cup so far.

The names are those of the door for outsiders, so that a line of JSON decodes into these records.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Literal

Finer = Literal["lower", "higher"]
DripperKind = Literal[
    "steep cone", "flat bottom", "wedge", "thick-paper cone", "narrow outlet cone", "immersion"
]
RoastKind = Literal["light", "medium", "dark"]
TastedBy = Literal["marks", "words"]
StrengthFelt = Literal["weak", "right", "strong"]
MARKS = ("sour", "bitter", "thin", "harsh", "sweet")
Word = Literal["sour", "bitter", "thin", "harsh", "sweet"]
# What a lever can be at all, far beyond any kettle: past these a request is a slip of the pen.
BOUNDS = {
    "setting": (-1e6, 1e6),
    "ratio": (0.1, 1000.0),
    "water_c": (0.1, 150.0),
    "pour_g_s": (0.01, 1000.0),
    "bloom_x": (0.0, 1000.0),
    "bloom_s": (0.0, 86_400.0),
    "swirl": (0.0, 100.0),
}
LEAST_STEP = 1e-6
# A word means a mark at 5 or more.
WORD_FROM = 5.0
LEVERS = ("setting", "ratio", "water_c", "pour_g_s", "bloom_x", "bloom_s", "swirl")


class BadRequest(ValueError):
    """What was asked cannot be answered; the text says what and where."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How one cup is brewed; water is ratio x dose.

    Attributes:
        setting: the grinder's dial.
        ratio: water poured per dose, g/g.
        water_c: of the water poured, degrees Celsius.
        pour_g_s: g/s.
        bloom_x, bloom_s: water of the first pour per dose, g/g, and how long it stands, s.
        swirl: 1 where the bed is swirled, else 0.
    """

    setting: float
    ratio: float = 16.0
    water_c: float = 93.0
    pour_g_s: float = 5.0
    bloom_x: float = 3.0
    bloom_s: float = 45.0
    swirl: float = 0.0

    def __post_init__(self) -> None:
        for name, (low, high) in BOUNDS.items():
            value = getattr(self, name)
            if not low <= value <= high:
                raise BadRequest(f"{name} is {value}; give {low:g} to {high:g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Dial:
    """The grinder's dial: its ends, its step, and which way is finer."""

    min: float
    max: float
    step: float
    finer: Finer = "lower"

    def __post_init__(self) -> None:
        low, high = BOUNDS["setting"]
        if not low <= self.min <= self.max <= high:
            raise BadRequest(
                f"dial from {self.min} to {self.max}; min must not be above max, and both must lie "
                f"in {low:g} to {high:g}"
            )
        if not LEAST_STEP <= self.step <= high:
            raise BadRequest(f"dial step is {self.step}; give {LEAST_STEP:g} or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What was seen of one cup; None where nobody looked.

    Attributes:
        time_s: first water to drained.
        beverage_g: the drink.
        strength_pct: percent, as the door has it.
        marks: 0 to 10 each.
        liking: 1 to 9.
        words: the marks named; empty where the person looked and had nothing to say.
        bed_even: whether the drained bed lay flat; False for craters, slopes, dry patches, mud.
        day_number: the day it was drunk, counted from any; cups of one share how it tastes.
        weight: how far the cup counts, 0 to 1.
    """

    time_s: float | None = None
    beverage_g: float | None = None
    strength_pct: float | None = None
    marks: dict[str, float | None] | None = None
    liking: float | None = None
    words: list[Word] | None = None
    strength_felt: StrengthFelt | None = None
    better_than_last: bool | None = None
    bed_even: bool | None = None
    day_number: float | None = None
    weight: float | None = 1.0

    def __post_init__(self) -> None:
        bounds = {
            "time_s": (0, 86_400),
            "beverage_g": (0, 20_000),
            "strength_pct": (0, 50),
            "liking": (1, 9),
            "day_number": (0, 10_000_000),
            "weight": (0, 1),
        }
        for name, (low, high) in bounds.items():
            value = getattr(self, name)
            if value is not None and not low <= value <= high:
                raise BadRequest(f"{name} is {value}; give {low} to {high}")
        for name, mark in (self.marks or {}).items():
            if mark is not None and not 0 <= mark <= 10:
                raise BadRequest(f"mark {name} is {mark}; give 0 to 10")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cup:
    """One brewed cup."""

    settings: Settings
    seen: Seen = field(default_factory=Seen)


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """The kit, the coffee and the person that cups are brewed with.

    Attributes:
        levers: low, high and step of each lever that may move; steps are counted from low.
        earlier: the same person's earlier coffees on the same kit, oldest first.
        shown: what blind trials here showed of less and of more of a lever, d' of 0 or more.
    """

    dial: Dial
    start: Settings
    dose_g: float = 15.0
    dripper: DripperKind | None = None
    roast: RoastKind | None = None
    days_off_roast: float | None = None
    strength_measured: bool | None = None
    tasted_by: TastedBy | None = None
    boiling_c: float | None = None
    levers: dict[str, tuple[float, float, float]] = field(default_factory=dict)
    earlier: list["EarlierCoffee"] | None = None
    shown: dict[str, tuple[float, float]] | None = None

    def __post_init__(self) -> None:
        if not (math.isfinite(self.dose_g) and 1 <= self.dose_g <= 1000):
            raise BadRequest(f"dose_g is {self.dose_g}; give 1 to 1000")
        if self.boiling_c is not None and not 40 <= self.boiling_c <= 120:
            raise BadRequest(f"boiling_c is {self.boiling_c}; give 40 to 120")
        if self.days_off_roast is not None and not abs(self.days_off_roast) <= 1e6:
            raise BadRequest(f"days_off_roast is {self.days_off_roast}; give a plain number")
        for name, (low, high, step) in self.levers.items():
            least, most = BOUNDS.get(name, BOUNDS["setting"])
            if not (least <= low <= high <= most and step >= LEAST_STEP):
                raise BadRequest(
                    f"lever {name} is [{low}, {high}, {step}]; give low, high, step, within "
                    f"{least:g} to {most:g}"
                )
        for name, both in (self.shown or {}).items():
            if not all(0 <= d <= 20 for d in both):
                raise BadRequest(f"shown {name} is {list(both)}; give a d' of 0 to 20 for each way")


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierCoffee:
    """An earlier coffee of the same person on the same kit, with its cups.

    `other_burrs`: it was ground by burrs that are in the grinder no more, at settings of then.
    """

    context: Context
    history: list[Cup] = field(default_factory=list)
    other_burrs: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """One question: what is to be brewed next?"""

    context: Context
    history: list[Cup] = field(default_factory=list)
    id: Any = None
    changes_at_most: int = 1
    seed: int = 0

    def __post_init__(self) -> None:
        if self.changes_at_most < 0:
            raise BadRequest(f"changes_at_most is {self.changes_at_most}; give 0 or more")

    def luck(self) -> int:
        """Return the seed as random numbers take it, 0 or more; any whole number is one."""
        return self.seed % 2**64


def setting_values(settings: Settings) -> Iterator[float]:
    """Yield the value of each lever, in the order of LEVERS."""
    return (getattr(settings, name) for name in LEVERS)
