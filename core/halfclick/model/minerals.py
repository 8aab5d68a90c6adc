"""What is dissolved in a water, ion by ion, as a report or a recipe tells it."""

from dataclasses import dataclass, fields

from halfclick.errors import BadInput
from halfclick.wording import Message

# Drinking waters lie well below; the bound only keeps out what cannot be.
MOST_MG_L = 5_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Minerals:
    """Ions in milligrams of the ion itself a litre, never as CaCO3; None: not known."""

    calcium_mg_l: float | None = None
    magnesium_mg_l: float | None = None
    sodium_mg_l: float | None = None
    potassium_mg_l: float | None = None
    bicarbonate_mg_l: float | None = None
    chloride_mg_l: float | None = None
    sulfate_mg_l: float | None = None

    def __post_init__(self) -> None:
        for field in fields(self):
            value: float | None = getattr(self, field.name)
            if value is not None and not 0.0 <= value <= MOST_MG_L:
                ion = Message(f"minerals.{field.name.removesuffix('_mg_l')}")
                raise BadInput("minerals.bad_ion", ion=ion, given=value)
