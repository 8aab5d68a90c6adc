"""A brew as it happened: what was planned, what was poured, and what slipped."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID

from halfclick.model.kit import DrainedRule, ScaleCarries
from halfclick.model.recipe import Change, Recipe
from halfclick.wording import Message


class How(StrEnum):
    """How a value came to be known."""

    MEASURED = "measured"
    PLANNED = "planned"  # not weighed: the plan's value stands in
    CORRECTED = "corrected"  # measured, then mended for a known slip
    ESTIMATED = "estimated"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A value with its standard deviation and how it came to be known; unknown has no value."""

    value: float | None
    sd: float | None
    how: How

    def __post_init__(self) -> None:
        if (self.value is None) != (self.how is How.UNKNOWN):
            raise ValueError(f"a reading is unknown exactly when it has no value: {self}")


UNKNOWN = Reading(value=None, sd=None, how=How.UNKNOWN)


class Mode(StrEnum):
    """Why this cup is brewed."""

    GOOD_ONE = "good_one"
    EXPERIMENT = "experiment"


class SlipKind(StrEnum):
    """What went other than planned."""

    UNTARED_DOSE = "untared_dose"
    OVERSHOOT = "overshoot"
    LATE_CLOCK = "late_clock"
    LOST_CLOCK = "lost_clock"
    STALL = "stall"
    LIFTED_EARLY = "lifted_early"
    UNTARED_SERVER = "untared_server"  # g the scale reads too high
    TARED_AFTER_BLOOM = "tared_after_bloom"  # g the scale reads too low
    LOST_TOTAL = "lost_total"
    UNDERSHOOT = "undershoot"  # g of the plan's water that was not poured
    BYPASS = "bypass"  # g of water added to the cup afterwards
    LONG_BLOOM = "long_bloom"  # s beyond the plan
    RINSE_LEFT = "rinse_left"  # g of rinse water in the server
    COLD_DRIPPER = "cold_dripper"
    PAPER_LEAKED = "paper_leaked"  # folded, or water ran down its seam
    OTHER_PAPER = "other_paper"  # another than the plan is for


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A slip, when it was noticed, and its size in its own unit (g or s) where it has one."""

    kind: SlipKind
    at_s: float | None = None
    amount: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Poured:
    """What truly went into and came out of the dripper."""

    dose_g: Reading
    water_g: Reading
    bloom_g: Reading = UNKNOWN
    temperature_c: Reading = UNKNOWN
    beverage_g: Reading = UNKNOWN
    drained_s: Reading = UNKNOWN
    bypass_g: Reading = UNKNOWN  # water added to the cup, not through the bed
    # The largest departure of a pour's start from its planned clock time, s.
    latest_pour_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KitUsed:
    """Which things a brew was made with, by identity."""

    grinder_id: UUID
    zero_id: UUID
    dripper_id: UUID
    paper_id: UUID | None = None
    kettle_id: UUID | None = None
    water_id: UUID | None = None
    server_id: UUID | None = None
    altitude_m: float = 0.0
    scale_carries: ScaleCarries = ScaleCarries.DRIPPER_AND_SERVER


@dataclass(frozen=True, slots=True, kw_only=True)
class Brew:
    """A brew, as a fact that is added and never rewritten; a correction names what it corrects.

    `weight` is how far the cup counts in advice, 0 to 1; slips lower it.
    `why` holds the reasons as messages; a person's own words are `wording.own_words(text)`.
    """

    id: UUID
    bag_id: UUID
    kit: KitUsed
    started_at: datetime
    mode: Mode
    plan: Recipe
    poured: Poured
    drained_rule: DrainedRule
    slips: tuple[Slip, ...] = ()
    weight: float = 1.0
    parent_id: UUID | None = None
    changes: tuple[Change, ...] = ()
    proposal_id: UUID | None = None
    why: tuple[Message, ...] = ()
    note: str = ""
    corrects_id: UUID | None = None

    def __post_init__(self) -> None:
        if not 0.0 <= self.weight <= 1.0:
            raise ValueError(f"weight must be 0 to 1, got {self.weight}")
