"""One round of a trial: its cups, what they were served like, the answer, and its opening."""

import re
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from math import isfinite
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.trial_kinds import Sureness

MOST_GRADE = 3
_CODE = re.compile(r"[1-9][0-9]{2}")


class VoidReason(StrEnum):
    """Why a round does not count; told before it is opened."""

    TOLD = "told"  # something but taste told which was which
    SPILLED = "spilled"
    MIXED_UP = "mixed_up"
    UNEVEN = "uneven"  # not as warm, or not as full, as one another
    OTHER = "other"
    ENDED = "ended"  # the trial was ended before it was served


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialRound:
    """The cups of one answer, as a fact: their codes from left to right, and who tastes them.

    `number` counts from 1 in the trial; `sitting` too: rounds of one sitting are poured from the
    same brews, and are opened together. `taster` is a place in the trial's tasters.
    """

    id: UUID
    trial_id: UUID
    number: int
    sitting: int
    taster: int
    codes: tuple[str, ...]

    def __post_init__(self) -> None:
        if self.number < 1 or self.sitting < 1 or self.taster < 0:
            raise BadInput("trial_round.bad_number", given=self.number)
        if len(set(self.codes)) != len(self.codes) or not all(map(_CODE.fullmatch, self.codes)):
            raise BadInput("trial_round.bad_codes")


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialServing:
    """How a round was served, as a fact; what was measured of each cup is sealed until it opens.

    `temperature_c` is of the cups when they were handed over.
    """

    id: UUID
    round_id: UUID
    served_at: datetime
    temperature_c: float | None = None
    sealed: str = ""

    def __post_init__(self) -> None:
        if self.temperature_c is not None and not 5 <= self.temperature_c <= 100:
            raise BadInput("trial_serving.bad_temperature", given_c=self.temperature_c)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialAnswer:
    """What a taster said of a round, as a fact: locked when it is written.

    Cups are places from 0 at the left. `chosen` holds the cup named, the two cups grouped
    together, or all cups from the best liked to the least. `grade` runs from -3, the left cup had
    much more of it, to +3, the right one had. `liked` is None where none is liked better.
    """

    id: UUID
    round_id: UUID
    locked_at: datetime
    chosen: tuple[int, ...] = ()
    sureness: Sureness | None = None
    grade: int | None = None
    liked: int | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if self.grade is not None and not -MOST_GRADE <= self.grade <= MOST_GRADE:
            raise BadInput("trial_answer.bad_grade", given=self.grade)
        places = [*self.chosen, *([] if self.liked is None else [self.liked])]
        if any(place < 0 for place in places) or len(set(self.chosen)) != len(self.chosen):
            raise BadInput("trial_answer.bad_cups")


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialVoid:
    """A round set aside before it was opened, as a fact."""

    id: UUID
    round_id: UUID
    voided_at: datetime
    reason: VoidReason
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialOpening:
    """Which brew was in which cup, as a fact that is written when a round is opened.

    `brews` gives a place in the trial's names for each cup from the left. `weights_g` and
    `strengths` (fractions) are what was measured of each cup; None where nobody did.
    """

    id: UUID
    round_id: UUID
    opened_at: datetime
    brews: tuple[int, ...]
    weights_g: tuple[float | None, ...] = ()
    strengths: tuple[float | None, ...] = ()

    def __post_init__(self) -> None:
        if not self.brews or any(brew < 0 for brew in self.brews):
            raise BadInput("trial_opening.bad_brews")
        require_measured(self.weights_g, self.strengths)


def require_measured(
    weights_g: tuple[float | None, ...], strengths: tuple[float | None, ...]
) -> None:
    """Check what was measured of a round's cups.

    Raises:
        BadInput: a weight or a strength cannot be.
    """
    for given_g in weights_g:
        if given_g is not None and not (isfinite(given_g) and 0 < given_g < 20_000):
            raise BadInput("trial_serving.bad_weight", given_g=given_g)
    for given in strengths:
        if given is not None and not 0.0 < given < 0.2:
            raise BadInput("trial_serving.bad_strength", given_strength=given)
