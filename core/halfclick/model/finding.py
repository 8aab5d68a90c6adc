"""What a trial found, kept for the habit, the coffee, the water and the kit it was made with."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from math import isfinite
from uuid import UUID

from halfclick.errors import BadInput

MOST_NUMBERS = 60


class Outcome(StrEnum):
    """The three words of a verdict; that there is no difference is none of them."""

    SHOWN = "shown"
    SMALLER = "smaller"
    NOT_SETTLED = "not_settled"


class Claim(StrEnum):
    """How far a verdict may reach, as blind and as fresh as the cups were."""

    HABIT = "habit"
    BREWS = "brews"
    WEAK = "weak"  # these brews, weakly blinded
    LIKING = "liking"
    DIARY = "diary"  # not blind: a note of what was liked, and no proof


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """The verdict of a trial, as a fact that closes it.

    `numbers` holds what it rests on by name: counts, p, e, d and its limits.
    """

    id: UUID
    trial_id: UUID
    filed_at: datetime
    outcome: Outcome
    claim: Claim
    numbers: Mapping[str, float]

    def __post_init__(self) -> None:
        if not 1 <= len(self.numbers) <= MOST_NUMBERS:
            raise BadInput("finding.bad_number", given=len(self.numbers))
        if not all(map(isfinite, self.numbers.values())):
            raise BadInput("finding.not_finite")
