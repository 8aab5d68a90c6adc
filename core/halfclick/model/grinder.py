"""A grinder, its dated zeros, and a setting as written with its steps from a zero."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.numbering import Numbering, parse_reading, print_reading

# One search step is 40-60 um of burr travel (midpoint of what practitioners change by; our
# own default, no source); burr travel is not particle size.
SEARCH_TRAVEL_UM = 50.0
SEARCH_STEPS_UNKNOWN = 2


class Finer(StrEnum):
    """Which way the dial's numbers run."""

    LOWER = "lower"
    HIGHER = "higher"


class ZeroFound(StrEnum):
    """How a zero was found; the ways differ by several clicks (common practice, no source)."""

    BURRS_LOCK = "burrs_lock"
    FIRST_RUB = "first_rub"
    FACTORY_MARK = "factory_mark"
    NOT_CHECKED = "not_checked"


class ZeroReason(StrEnum):
    """Why a zero was taken; every reason but the first is a break in the history."""

    FIRST = "first"
    CLEANED = "cleaned"
    NEW_BURRS = "new_burrs"
    REZEROED = "rezeroed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Grinder:
    """A grinder of one person, with its own dial."""

    id: UUID
    name: str
    numbering: Numbering
    finer: Finer = Finer.LOWER
    step_um: float | None = None
    purge_g: float = 0.0

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise BadInput("kit.needs_name", thing="grinder")
        if self.step_um is not None and not 0.1 <= self.step_um <= 500:
            raise BadInput("grinder.bad_step_um", given_um=self.step_um)
        if not 0 <= self.purge_g <= 50:
            raise BadInput("grinder.bad_purge", given_g=self.purge_g)

    @property
    def search_steps(self) -> int:
        """Smallest steps in one search step: far enough to be noticed, never less than one."""
        if self.step_um is None:
            return SEARCH_STEPS_UNKNOWN
        return max(round(SEARCH_TRAVEL_UM / self.step_um), 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Zero:
    """A dated zero: the dial's reading where the burrs meet, and how that was found."""

    id: UUID
    grinder_id: UUID
    found_on: date
    reading: int = 0
    found: ZeroFound = ZeroFound.NOT_CHECKED
    reason: ZeroReason = ZeroReason.FIRST
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A grind setting: the text as written, and steps coarser than the zero it was set from."""

    text: str
    steps: int
    zero_id: UUID


def read_setting(grinder: Grinder, zero: Zero, text: str) -> Setting:
    """Return the setting that a text names on this grinder at this zero.

    Raises:
        BadInput: the dial is not written so, or cannot be set there.
    """
    reading = parse_reading(grinder.numbering, text)
    steps = (reading - zero.reading) * _sign(grinder)
    if steps < 0:
        raise BadInput("setting.finer_than_zero", text=text.strip(), grinder=grinder.name)
    return Setting(text=text.strip(), steps=steps, zero_id=zero.id)


def setting_at(grinder: Grinder, zero: Zero, steps: int) -> Setting:
    """Return the setting so many steps coarser than a zero, as this grinder writes it.

    Raises:
        BadInput: the dial does not reach it.
    """
    if steps < 0:
        raise BadInput("setting.below_the_dial")
    text = print_reading(grinder.numbering, zero.reading + steps * _sign(grinder))
    return Setting(text=text, steps=steps, zero_id=zero.id)


def _sign(grinder: Grinder) -> int:
    return 1 if grinder.finer is Finer.LOWER else -1
