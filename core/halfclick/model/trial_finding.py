"""What a trial found, kept for the habit, the coffee, the water and the kit it was made with."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from math import isfinite
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.trial_kinds import Finding

MOST_NUMBERS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialFinding:
    """The verdict of a trial, as a fact that closes it.

    `numbers` holds what it rests on by name: counts, p, evidence, dprime and its limits; a limit
    that is infinite is left out. `about_habit` says that it is of the habit, and not only of the
    brews that were tasted.
    """

    id: UUID
    trial_id: UUID
    filed_at: datetime
    finding: Finding
    about_habit: bool
    numbers: Mapping[str, float]

    def __post_init__(self) -> None:
        if not 1 <= len(self.numbers) <= MOST_NUMBERS:
            raise BadInput("finding.bad_number", given=len(self.numbers))
        if not all(map(isfinite, self.numbers.values())):
            raise BadInput("finding.not_finite")
