"""What a dripper that was not warmed can take from the water: an upper bound."""

from halfclick.model.kit import DripperMaterial

# J/(kg K): figures that barista-training texts give for each body; common practice, no source.
_HEAT_J_KG_K = {
    DripperMaterial.CERAMIC: 1085.0,
    DripperMaterial.GLASS: 753.0,
    DripperMaterial.PLASTIC: 1250.0,
    DripperMaterial.STEEL: 490.0,
}
# Water near 93 degrees: IAPWS-95 gives 4208 J/(kg K) at one atmosphere.
_WATER_J_KG_K = 4208.0
ROOM_C = 22.0  # our own default for a kitchen


def most_lost_c(
    material: DripperMaterial, dripper_g: float, water_g: float, water_c: float
) -> float:
    """Return how far the water cools if all of a cold dripper warms to it, degrees Celsius.

    Heat balance of the whole water with the whole body. A real dripper warms in part, and the
    first water through it is cooled by more than the mean.
    """
    body = dripper_g * _HEAT_J_KG_K[material]
    water = water_g * _WATER_J_KG_K
    return body * max(water_c - ROOM_C, 0.0) / (body + water)
