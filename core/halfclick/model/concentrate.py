"""A stock solution of one salt, from which a water is mixed by drops or grams."""

from dataclasses import dataclass
from enum import StrEnum
from uuid import UUID

from halfclick.errors import BadInput


class Salt(StrEnum):
    """A salt as it is weighed, its water of crystallisation with it."""

    MAGNESIUM_SULFATE_7H2O = "magnesium_sulfate_7h2o"
    MAGNESIUM_CHLORIDE_6H2O = "magnesium_chloride_6h2o"
    CALCIUM_CHLORIDE = "calcium_chloride"
    CALCIUM_CHLORIDE_2H2O = "calcium_chloride_2h2o"
    SODIUM_BICARBONATE = "sodium_bicarbonate"
    POTASSIUM_BICARBONATE = "potassium_bicarbonate"


@dataclass(frozen=True, slots=True, kw_only=True)
class Concentrate:
    """A bottle of stock; `g_per_l` is salt, as weighed, in a litre of the solution."""

    id: UUID
    name: str
    salt: Salt
    g_per_l: float
    food_grade: bool = False

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise BadInput("kit.needs_name", thing="concentrate")
        # Most of these salts no longer dissolve whole beyond; our own bound.
        if not 0.01 <= self.g_per_l <= 1_000:
            raise BadInput("concentrate.bad_strength", given=self.g_per_l)
