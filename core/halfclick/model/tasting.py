"""What a cup tasted like, to one person."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID

from halfclick.errors import BadInput

CLEARLY_THERE = 5.0
OVERWHELMING = 10.0


class Mark(StrEnum):
    """What a person looks for in a cup."""

    SOUR = "sour"
    BITTER = "bitter"
    THIN = "thin"
    HARSH = "harsh"
    SWEET = "sweet"


class StrengthFelt(StrEnum):
    """How strong the cup felt."""

    WEAK = "weak"
    RIGHT = "right"
    STRONG = "strong"


class Verdict(StrEnum):
    """What the person decides about the recipe."""

    KEEP = "keep"
    CHANGE = "change"


class Bed(StrEnum):
    """What the bed looked like when it had drained."""

    FLAT = "flat"
    CRATER = "crater"
    TILTED = "tilted"
    DRY_PATCH = "dry_patch"
    HIGH_AND_DRY = "high_and_dry"
    MUDDY = "muddy"


class Complaint(StrEnum):
    """What else a cup can be found to be; said or not said, without a number."""

    FLAT = "flat"
    MUDDY = "muddy"
    HOLLOW = "hollow"
    SALTY = "salty"
    PAPERY = "papery"
    GRASSY = "grassy"
    SMOKY = "smoky"
    NOT_SWEET = "not_sweet"


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """Intensities as this person uses the scale, 0 none to 10 overwhelming; None: not looked for.

    A tick without a number is stored as 5, clearly there.
    """

    sour: float | None = None
    bitter: float | None = None
    thin: float | None = None
    harsh: float | None = None
    sweet: float | None = None

    def __post_init__(self) -> None:
        for mark in Mark:
            value = self.of(mark)
            if value is not None and not 0.0 <= value <= OVERWHELMING:
                raise BadInput("tasting.bad_mark", mark=mark.value, given=value)

    def of(self, mark: Mark) -> float | None:
        """Return one mark."""
        value: float | None = getattr(self, mark.value)
        return value


@dataclass(frozen=True, slots=True, kw_only=True)
class Tasting:
    """A person's taste of one brew, as a fact; a correction names what it corrects.

    `strength` is measured dissolved mass over beverage mass, a fraction, and `strength_sd` the
    standard deviation of that measurement. `dose_moisture` is the water in the dose over its
    mass: None where the extraction is told of the dose as it was weighed. `sample_c` is how warm
    the sample was when it was measured.
    """

    id: UUID
    brew_id: UUID
    tasted_at: datetime
    marks: Marks
    strength_felt: StrengthFelt | None = None
    liking: float | None = None
    words: str = ""
    verdict: Verdict | None = None
    beverage_g: float | None = None
    strength: float | None = None
    bed: Bed | None = None
    corrects_id: UUID | None = None
    complaints: tuple[Complaint, ...] = ()
    strength_sd: float | None = None
    dose_moisture: float | None = None
    sample_c: float | None = None

    def __post_init__(self) -> None:
        if self.liking is not None and not 1.0 <= self.liking <= 9.0:
            raise BadInput("tasting.bad_liking", given=self.liking)
        if self.strength is not None and not 0.0 < self.strength < 0.2:
            raise BadInput("tasting.bad_strength", given_strength=self.strength)
        if self.beverage_g is not None and not 0 < self.beverage_g < 20_000:
            raise BadInput("tasting.bad_beverage", given_g=self.beverage_g)
        self._require_measurement()

    def _require_measurement(self) -> None:
        if self.strength_sd is not None and not 0.0 < self.strength_sd <= 0.02:
            raise BadInput("tasting.bad_strength_sd", given_strength=self.strength_sd)
        if self.dose_moisture is not None and not 0.0 <= self.dose_moisture <= 0.15:
            raise BadInput("tasting.bad_moisture", given_strength=self.dose_moisture)
        if self.sample_c is not None and not 0.0 <= self.sample_c <= 100.0:
            raise BadInput("tasting.bad_sample", given_c=self.sample_c)
