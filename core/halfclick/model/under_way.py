"""A brew under way: the plan it follows, and its events as they are added to the journal."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID

from halfclick.model.brew import KitUsed, Mode
from halfclick.model.kit import DrainedRule
from halfclick.model.recipe import Change, Recipe
from halfclick.wording import Message


class GuideEventKind(StrEnum):
    """What can happen while a brew is under way; `value` is in the unit beside each."""

    CLOCK_STARTED = "clock_started"
    POUR_STARTED = "pour_started"  # number of the pour, the bloom is 0
    UNTARED_DOSE = "untared_dose"  # g the scale reads too high
    OVERSHOOT = "overshoot"  # g the scale reads
    LATE_CLOCK = "late_clock"  # s the clock is behind
    LOST_CLOCK = "lost_clock"
    STALLED = "stalled"
    LIFTED = "lifted"  # g in the server where it was read
    DRAINED = "drained"
    FINAL_READING = "final_reading"  # g the scale reads
    UNTARED_SERVER = "untared_server"  # g the scale reads too high, dripper and server
    TARED_AFTER_BLOOM = "tared_after_bloom"  # g the scale read when it was tared
    LOST_TOTAL = "lost_total"
    UNDERSHOOT = "undershoot"  # g the scale reads after the last pour
    BYPASS = "bypass"  # g of water added to the cup; none: as advised
    LONG_BLOOM = "long_bloom"  # s the bloom lasted; none: until now
    RINSE_LEFT = "rinse_left"  # g of rinse water in the server; none: unknown
    COLD_DRIPPER = "cold_dripper"
    PAPER_LEAKED = "paper_leaked"
    OTHER_PAPER = "other_paper"
    TAKEN_BACK = "taken_back"  # undoes the last event that is not itself taken back


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderWay:
    """A brew that was begun; it is closed when its brew is recorded or it is given up."""

    id: UUID
    bag_id: UUID
    kit: KitUsed
    plan: Recipe
    mode: Mode
    drained_rule: DrainedRule
    begun_at: datetime
    parent_id: UUID | None = None
    changes: tuple[Change, ...] = ()
    proposal_id: UUID | None = None
    why: tuple[Message, ...] = ()
    closed_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GuideEvent:
    """One event of a brew under way, kept the moment it happens."""

    id: UUID
    under_way_id: UUID
    number: int
    at: datetime
    kind: GuideEventKind
    value: float | None = None
