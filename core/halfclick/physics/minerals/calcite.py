"""Whether a water leaves scale when it is hot: how far it is past calcite's solubility."""

import math
from enum import StrEnum

from halfclick.model.minerals import Minerals
from halfclick.physics.minerals.carbonates import constants_at
from halfclick.physics.minerals.figures import mg_l_of
from halfclick.physics.minerals.molar import Ion
from halfclick.physics.minerals.speciation import Carbon, Equilibrium, Speciation

# Carbon dioxide in outdoor air, atmospheres: 420 ppm by volume (NOAA, global mean of 2023; from
# memory).
AIR_CO2_ATM = 420e-6
OPEN_C = 25.0
HOT_C = 93.0
# Bounds of the words: our own defaults.
SLIGHT, CLEAR, STRONG = 0.0, 0.5, 1.0


class Scaling(StrEnum):
    """How much scale to expect."""

    NONE = "none"
    SLIGHT = "slight"
    CLEAR = "clear"
    STRONG = "strong"


def saturation_index(minerals: Minerals, hot_c: float = HOT_C) -> float | None:
    """Return log10 of how many times over calcite is dissolved when the water is hot.

    The water stands open to air at 25 °C until its carbon dioxide is that of the air, and is
    then heated with nothing leaving it: the start of heating. Boiling on drives carbon dioxide
    out, and the index goes up.

    Args:
        minerals: its ions; bicarbonate stands for the alkalinity, unknown ones for none.
        hot_c: 0 to 100 °C.

    Returns:
        The index; None where calcium or bicarbonate is not known, or not there.

    Source: own solution of the mass balances, with the constants of Plummer and Busenberg
    (1982), Geochim. Cosmochim. Acta 46:1011, and Davies' activity coefficients.
    """
    if not mg_l_of(minerals, Ion.CALCIUM) or not mg_l_of(minerals, Ion.BICARBONATE):
        return None
    carbon = Carbon(total=open_to_air(minerals).carbon)
    hot = Speciation(minerals, hot_c).equilibrium(carbon)
    return math.log10(hot.calcium_times_carbonate / constants_at(hot_c).calcite)


def open_to_air(minerals: Minerals, temperature_c: float = OPEN_C) -> Equilibrium:
    """Return a water that took up or gave off carbon dioxide until it matches the air."""
    water = Speciation(minerals, temperature_c)
    return water.equilibrium(Carbon(dissolved_co2=water.constants.henry * AIR_CO2_ATM))


def scaling_of(index: float | None) -> Scaling:
    """Return how much scale an index speaks for; none where there is nothing to make it."""
    if index is None or index <= SLIGHT:
        return Scaling.NONE
    if index <= CLEAR:
        return Scaling.SLIGHT
    return Scaling.CLEAR if index <= STRONG else Scaling.STRONG
