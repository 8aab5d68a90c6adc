"""Hardness and alkalinity in every unit that bottles, water works and test strips use."""

from enum import StrEnum

from halfclick.physics.minerals.molar import CALCIUM_CARBONATE_G, CALCIUM_OXIDE_G

# Exact by definition (1959): one grain in mg, and the two gallons in litres.
GRAIN_MG = 64.79891
US_GALLON_L = 3.785411784
IMPERIAL_GALLON_L = 4.54609


class HardnessUnit(StrEnum):
    """What hardness and alkalinity are told in."""

    MG_L = "mg_l"
    GERMAN = "german"
    FRENCH = "french"
    ENGLISH = "english"
    GRAINS = "grains"
    MMOL_L = "mmol_l"
    MEQ_L = "meq_l"


# One of each in mg/L as CaCO3. German: 10 mg CaO a litre; French: 10 mg CaCO3 a litre; English:
# a grain of CaCO3 in an imperial gallon; definitions, the French and the German from memory.
_MG_L = {
    HardnessUnit.MG_L: 1.0,
    HardnessUnit.GERMAN: 10.0 * CALCIUM_CARBONATE_G / CALCIUM_OXIDE_G,
    HardnessUnit.FRENCH: 10.0,
    HardnessUnit.ENGLISH: GRAIN_MG / IMPERIAL_GALLON_L,
    HardnessUnit.GRAINS: GRAIN_MG / US_GALLON_L,
    HardnessUnit.MMOL_L: CALCIUM_CARBONATE_G,
    HardnessUnit.MEQ_L: CALCIUM_CARBONATE_G / 2,
}


def mg_l_of_one(unit: HardnessUnit, *, alkalinity: bool = False) -> float:
    """Return one of a unit in mg/L as CaCO3.

    A millimole of hardness is one of calcium or magnesium, two equivalents; a millimole of
    alkalinity is one of bicarbonate, one equivalent.
    """
    if alkalinity and unit is HardnessUnit.MMOL_L:
        return _MG_L[HardnessUnit.MEQ_L]
    return _MG_L[unit]


def to_mg_l(value: float, unit: HardnessUnit, *, alkalinity: bool = False) -> float:
    """Return hardness or alkalinity in mg/L as CaCO3."""
    return value * mg_l_of_one(unit, alkalinity=alkalinity)


def from_mg_l(mg_l: float, unit: HardnessUnit, *, alkalinity: bool = False) -> float:
    """Return hardness or alkalinity, given in mg/L as CaCO3, in another unit."""
    return mg_l / mg_l_of_one(unit, alkalinity=alkalinity)
