"""Waters that may eat at metal when heated: little alkalinity, or much chloride beside it."""

from enum import StrEnum

from halfclick.model.minerals import Minerals
from halfclick.physics.minerals.figures import alkalinity_mg_l, meq_l, mg_l_of
from halfclick.physics.minerals.molar import Ion

# Below, nothing holds the pH up (our own default).
LEAST_ALKALINITY_MG_L = 10.0
# Chloride and sulfate over bicarbonate, all in equivalents: above 1.2, mild steel pipes corroded
# fast (Larson and Skold 1958, Corrosion 14:285, by secondary sources; lake waters, cold). Kettles
# are stainless steel, of which it is only a hint.
LARSON_HIGH = 1.2
# Below, chloride is too little to matter here (our own default).
CHLORIDE_MG_L = 50.0


class Corrosion(StrEnum):
    """Why a water may eat at metal."""

    NO_ALKALINITY = "no_alkalinity"
    CHLORIDE = "chloride"


def corrosion_of(minerals: Minerals | None, alkalinity: float | None) -> Corrosion | None:
    """Return why a water may eat at a kettle's metal; None where nothing known says so.

    Args:
        minerals: its ions, where known.
        alkalinity: mg/L as CaCO3, where known apart from them.
    """
    told = alkalinity
    if told is None and minerals is not None:
        told = alkalinity_mg_l(minerals)
    if told is not None and told < LEAST_ALKALINITY_MG_L:
        return Corrosion.NO_ALKALINITY
    ratio = larson_ratio(minerals) if minerals else None
    chloride = mg_l_of(minerals, Ion.CHLORIDE) if minerals else None
    if ratio is not None and ratio > LARSON_HIGH and (chloride or 0.0) >= CHLORIDE_MG_L:
        return Corrosion.CHLORIDE
    return None


def larson_ratio(minerals: Minerals) -> float | None:
    """Return chloride and sulfate over bicarbonate, in equivalents; None where not known."""
    bicarbonate = meq_l(minerals, Ion.BICARBONATE)
    if mg_l_of(minerals, Ion.CHLORIDE) is None or bicarbonate <= 0:
        return None
    return (meq_l(minerals, Ion.CHLORIDE) + meq_l(minerals, Ion.SULFATE)) / bicarbonate
