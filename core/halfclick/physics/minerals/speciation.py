"""A water's ions, their pairs and its carbonates in equilibrium at one temperature.

Amounts are in mol/L, which in water this dilute is mol/kg within the other errors.
"""

import math
from dataclasses import dataclass

from halfclick.model.minerals import Minerals
from halfclick.physics.minerals.activity import activity_coefficient, debye_slope, ionic_strength
from halfclick.physics.minerals.carbonates import Constants, constants_at
from halfclick.physics.minerals.figures import mg_l_of
from halfclick.physics.minerals.molar import Ion, ion_mass_g

_ROUNDS = 100
_HALVINGS = 50
_NEAR = 1e-10
LOWEST_PH, HIGHEST_PH = 3.0, 11.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Free:
    """What is free of pairs at one pH, and the activity coefficients of charges 1 and 2."""

    calcium: float
    magnesium: float
    sulfate: float
    bicarbonate: float
    carbonate: float
    one: float
    two: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Equilibrium:
    """A water in equilibrium: its pH, all its carbon, and Ca times CO3 as activities."""

    ph: float
    carbon: float
    calcium_times_carbonate: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Carbon:
    """What holds the carbon: so much dissolved CO2, or so much carbon in all; one of the two."""

    dissolved_co2: float | None = None
    total: float | None = None


class Speciation:
    """Finds the equilibrium of one water at one temperature.

    Args:
        minerals: its ions; those not known are taken as 0, and bicarbonate as the alkalinity.
        temperature_c: 0 to 100.
    """

    def __init__(self, minerals: Minerals, temperature_c: float) -> None:
        moles = {ion: (mg_l_of(minerals, ion) or 0.0) / ion_mass_g(ion) / 1000 for ion in Ion}
        self.constants: Constants = constants_at(temperature_c)
        self._slope = debye_slope(temperature_c)
        self._moles = moles
        self._ones = moles[Ion.SODIUM] + moles[Ion.POTASSIUM] + moles[Ion.CHLORIDE]

    def equilibrium(self, carbon: Carbon) -> Equilibrium:
        """Return the equilibrium in which the alkalinity is that of the water."""
        low, high = LOWEST_PH, HIGHEST_PH
        for _ in range(_HALVINGS):
            ph = (low + high) / 2
            # Alkalinity rises with pH, whichever way the carbon is held.
            if self._alkalinity(ph, self._free(ph, carbon)) < self._moles[Ion.BICARBONATE]:
                low = ph
            else:
                high = ph
        free = self._free(high, carbon)
        return Equilibrium(
            ph=high,
            carbon=self._carbon(high, free),
            calcium_times_carbonate=free.calcium * free.carbonate * free.two**2,
        )

    def _free(self, ph: float, carbon: Carbon) -> Free:
        """Return what is free at a pH, by going round until nothing moves."""
        k, moles = self.constants, self._moles
        free = Free(
            calcium=moles[Ion.CALCIUM],
            magnesium=moles[Ion.MAGNESIUM],
            sulfate=moles[Ion.SULFATE],
            bicarbonate=moles[Ion.BICARBONATE],
            carbonate=0.0,
            one=1.0,
            two=1.0,
        )
        for _ in range(_ROUNDS):
            bicarbonate = self._bicarbonate(ph, free, carbon)
            strength = self._strength(free)
            one = activity_coefficient(1, strength, self._slope)
            two = activity_coefficient(2, strength, self._slope)
            carbonate = bicarbonate * one * k.second / (math.pow(10.0, -ph) * two)
            # A pair of 2 with -1 keeps one charge; pairs of 2 with -2 keep none.
            bi, carb, sulf = bicarbonate * two, carbonate * two**2, free.sulfate * two**2
            calcium = moles[Ion.CALCIUM] / (
                1
                + k.calcium_bicarbonate * bi
                + k.calcium_carbonate * carb
                + k.calcium_sulfate * sulf
            )
            magnesium = moles[Ion.MAGNESIUM] / (
                1
                + k.magnesium_bicarbonate * bi
                + k.magnesium_carbonate * carb
                + k.magnesium_sulfate * sulf
            )
            metals = (k.calcium_sulfate * calcium + k.magnesium_sulfate * magnesium) * two**2
            before = free
            free = Free(
                calcium=calcium,
                magnesium=magnesium,
                sulfate=moles[Ion.SULFATE] / (1 + metals),
                bicarbonate=bicarbonate,
                carbonate=carbonate,
                one=one,
                two=two,
            )
            if abs(bicarbonate - before.bicarbonate) <= _NEAR * bicarbonate:
                break
        return free

    def _bicarbonate(self, ph: float, free: Free, carbon: Carbon) -> float:
        k, hydrogen = self.constants, math.pow(10.0, -ph)
        if carbon.dissolved_co2 is not None:
            return k.first * carbon.dissolved_co2 / (hydrogen * free.one)
        bi_pairs, carb_pairs = self._pairs(free)
        for_each = (
            hydrogen * free.one / k.first
            + 1
            + bi_pairs
            + free.one * k.second / (hydrogen * free.two) * (1 + carb_pairs)
        )
        return (carbon.total or 0.0) / for_each

    def _pairs(self, free: Free) -> tuple[float, float]:
        """Return the pairs for each free bicarbonate, and for each free carbonate."""
        k = self.constants
        bi = k.calcium_bicarbonate * free.calcium + k.magnesium_bicarbonate * free.magnesium
        carb = k.calcium_carbonate * free.calcium + k.magnesium_carbonate * free.magnesium
        return bi * free.two, carb * free.two**2

    def _alkalinity(self, ph: float, free: Free) -> float:
        bi_pairs, carb_pairs = self._pairs(free)
        hydrogen = math.pow(10.0, -ph)
        carbonates = free.bicarbonate * (1 + bi_pairs) + 2 * free.carbonate * (1 + carb_pairs)
        return carbonates + (self.constants.water / hydrogen - hydrogen) / free.one

    def _carbon(self, ph: float, free: Free) -> float:
        bi_pairs, carb_pairs = self._pairs(free)
        carbon_dioxide = math.pow(10.0, -ph) * free.one * free.bicarbonate / self.constants.first
        return (
            carbon_dioxide + free.bicarbonate * (1 + bi_pairs) + free.carbonate * (1 + carb_pairs)
        )

    def _strength(self, free: Free) -> float:
        twos = free.calcium + free.magnesium + free.sulfate + free.carbonate
        return ionic_strength(((self._ones + free.bicarbonate, 1), (twos, 2)))
