"""What a brew came to, before anybody tasted it: each of shape (b,)."""

from dataclasses import dataclass

import numpy as np

from dial.levers import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Cup:
    """A cup as it is.

    Attributes:
        time_s: first water to drained.
        beverage_g: drink.
        strength_pct, extraction_pct: dissolved over drink, and over dose.
        quick_pct, middle_pct, last_pct: the three pools over the drink.
        uneven: how unevenly the bed was met, 0 to 1.
        harm: dryness from fines worked over, 0 to about 1.
    """

    time_s: Floats
    beverage_g: Floats
    strength_pct: Floats
    extraction_pct: Floats
    quick_pct: Floats
    middle_pct: Floats
    last_pct: Floats
    uneven: Floats
    harm: Floats


def cup_of(
    *,
    time_s: Floats,
    beverage_g: Floats,
    solids_g: Floats,
    dose_g: float,
    uneven: Floats,
    harm: Floats,
) -> Cup:
    """Return a cup from what ran into it; `solids_g` of shape (3, b)."""
    drink = np.maximum(beverage_g, 5.0)
    pools = 100.0 * solids_g / drink
    total = solids_g.sum(axis=0)
    return Cup(
        time_s=time_s,
        beverage_g=beverage_g,
        strength_pct=100.0 * total / drink,
        extraction_pct=100.0 * total / dose_g,
        quick_pct=pools[0],
        middle_pct=pools[1],
        last_pct=pools[2],
        uneven=np.clip(uneven, 0.0, 1.0),
        harm=np.clip(harm, 0.0, 1.5),
    )
