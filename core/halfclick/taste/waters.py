"""What a water's figures say of it, against the trade's targets for brew water."""

from halfclick.model.kit import Water
from halfclick.taste.suspects import WaterTrait

# A specialty-coffee association's targets, as several pages restate them: hardness 50 to 175,
# alkalinity 40 to 75, both mg/L as CaCO3.
HARDNESS_MG_L = (50.0, 175.0)
ALKALINITY_MG_L = (40.0, 75.0)
# A softener that swaps calcium for sodium leaves the alkalinity and takes the hardness; so little
# hardness beside ordinary alkalinity speaks for one (our own default).
SOFTENED_HARDNESS_MG_L = 20.0


def water_traits(water: Water | None) -> frozenset[WaterTrait]:
    """Return what stands out of a water; nothing where its figures are not known."""
    hardness = water.hardness_mg_l if water else None
    alkalinity = water.alkalinity_mg_l if water else None
    found: set[WaterTrait] = set()
    if hardness is not None:
        low, high = HARDNESS_MG_L
        found |= {WaterTrait.SOFT} if hardness < low else set()
        found |= {WaterTrait.HARD} if hardness > high else set()
    if alkalinity is not None:
        low, high = ALKALINITY_MG_L
        found |= {WaterTrait.LOW_ALKALINITY} if alkalinity < low else set()
        found |= {WaterTrait.ALKALINE} if alkalinity > high else set()
        if hardness is not None and hardness < SOFTENED_HARDNESS_MG_L and alkalinity >= low:
            found.add(WaterTrait.SOFTENED)
    return frozenset(found)
