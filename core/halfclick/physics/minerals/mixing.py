"""Waters poured together: every ion goes by volume."""

from collections.abc import Mapping, Sequence

from halfclick.model.minerals import Minerals
from halfclick.physics.minerals.figures import mg_l_of
from halfclick.physics.minerals.molar import Ion

DEMINERALISED = Minerals(**{ion.field: 0.0 for ion in Ion})


def mixed(parts: Sequence[tuple[Minerals, float]]) -> Minerals:
    """Return the water that waters make together, mg/L of each ion.

    Nothing is taken to come down as scale, and no carbon dioxide to leave. An ion that is not
    known in a part that is there is not known in the mix.

    Args:
        parts: each water and its volume, in any one unit.

    Raises:
        ValueError: no volume at all, or a negative one.
    """
    there = [(minerals, volume) for minerals, volume in parts if volume != 0]
    whole = sum(volume for _, volume in there)
    if any(volume < 0 for _, volume in there) or whole <= 0:
        raise ValueError(f"no water to mix: {[volume for _, volume in parts]}")
    return Minerals(**{ion.field: _mean(ion, there, whole) for ion in Ion})


def with_added(minerals: Minerals, share: float, added: Mapping[Ion, float]) -> Minerals:
    """Return a water after it was topped up with what holds only what is added.

    Args:
        minerals: of the water.
        share: of the finished volume that is this water, above 0 to 1.
        added: mg of each ion brought into a litre of the finished water.

    Raises:
        BadInput: an ion is beyond what a water can hold.
    """
    given: dict[str, float | None] = {}
    for ion in Ion:
        mg_l = mg_l_of(minerals, ion)
        given[ion.field] = None if mg_l is None else mg_l * share + added.get(ion, 0.0)
    return Minerals(**given)


def share_for(target: float, water: float, diluting: float) -> float | None:
    """Return the share of a water, the rest diluting it, at which a figure meets its target.

    Args:
        target: what the mix should have, in any one unit that goes by volume.
        water: what the water has.
        diluting: what the diluting water has, 0 where it is demineralised.

    Returns:
        0 to 1; None where no mix of the two has it.
    """
    if water == diluting:
        return 1.0 if target == water else None
    share = (target - diluting) / (water - diluting)
    return share if 0.0 <= share <= 1.0 else None


def _mean(ion: Ion, parts: Sequence[tuple[Minerals, float]], whole: float) -> float | None:
    total = 0.0
    for minerals, volume in parts:
        mg_l = mg_l_of(minerals, ion)
        if mg_l is None:
            return None
        total += mg_l * volume
    return total / whole
