"""Molar masses, from the standard atomic weights."""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from halfclick.model.concentrate import Salt

# Standard atomic weights, abridged to five figures, g/mol: IUPAC, Commission on Isotopic
# Abundances and Atomic Weights (2021), Pure and Applied Chemistry 94:573.
ATOMIC_WEIGHTS: Mapping[str, float] = MappingProxyType(
    {
        "H": 1.0080,
        "C": 12.011,
        "O": 15.999,
        "Na": 22.990,
        "Mg": 24.305,
        "S": 32.06,
        "Cl": 35.45,
        "K": 39.098,
        "Ca": 40.078,
    }
)


class Ion(StrEnum):
    """An ion that a water's report tells; its value names the field of `Minerals`."""

    CALCIUM = "calcium"
    MAGNESIUM = "magnesium"
    SODIUM = "sodium"
    POTASSIUM = "potassium"
    BICARBONATE = "bicarbonate"
    CHLORIDE = "chloride"
    SULFATE = "sulfate"

    @property
    def field(self) -> str:
        """Return the name of its field in `Minerals`."""
        return f"{self.value}_mg_l"


def molar_mass_g(atoms: Mapping[str, int]) -> float:
    """Return the molar mass of a formula, g/mol.

    Args:
        atoms: how many of each element, by its sign.

    Raises:
        KeyError: an element that no water or salt here holds.
    """
    return sum(ATOMIC_WEIGHTS[element] * count for element, count in atoms.items())


ION_ATOMS: Mapping[Ion, Mapping[str, int]] = MappingProxyType(
    {
        Ion.CALCIUM: {"Ca": 1},
        Ion.MAGNESIUM: {"Mg": 1},
        Ion.SODIUM: {"Na": 1},
        Ion.POTASSIUM: {"K": 1},
        Ion.BICARBONATE: {"H": 1, "C": 1, "O": 3},
        Ion.CHLORIDE: {"Cl": 1},
        Ion.SULFATE: {"S": 1, "O": 4},
    }
)
CHARGE: Mapping[Ion, int] = MappingProxyType(
    {
        Ion.CALCIUM: 2,
        Ion.MAGNESIUM: 2,
        Ion.SODIUM: 1,
        Ion.POTASSIUM: 1,
        Ion.BICARBONATE: -1,
        Ion.CHLORIDE: -1,
        Ion.SULFATE: -2,
    }
)
# The ions in one formula of each salt; its water of crystallisation is weighed and brings none.
SALT_IONS: Mapping[Salt, Mapping[Ion, int]] = MappingProxyType(
    {
        Salt.MAGNESIUM_SULFATE_7H2O: {Ion.MAGNESIUM: 1, Ion.SULFATE: 1},
        Salt.MAGNESIUM_CHLORIDE_6H2O: {Ion.MAGNESIUM: 1, Ion.CHLORIDE: 2},
        Salt.CALCIUM_CHLORIDE: {Ion.CALCIUM: 1, Ion.CHLORIDE: 2},
        Salt.CALCIUM_CHLORIDE_2H2O: {Ion.CALCIUM: 1, Ion.CHLORIDE: 2},
        Salt.SODIUM_BICARBONATE: {Ion.SODIUM: 1, Ion.BICARBONATE: 1},
        Salt.POTASSIUM_BICARBONATE: {Ion.POTASSIUM: 1, Ion.BICARBONATE: 1},
    }
)
CRYSTAL_WATER: Mapping[Salt, int] = MappingProxyType(
    {
        Salt.MAGNESIUM_SULFATE_7H2O: 7,
        Salt.MAGNESIUM_CHLORIDE_6H2O: 6,
        Salt.CALCIUM_CHLORIDE_2H2O: 2,
    }
)
CALCIUM_CARBONATE_G = molar_mass_g({"Ca": 1, "C": 1, "O": 3})
CALCIUM_OXIDE_G = molar_mass_g({"Ca": 1, "O": 1})
WATER_G = molar_mass_g({"H": 2, "O": 1})


def ion_mass_g(ion: Ion) -> float:
    """Return the molar mass of an ion, g/mol."""
    return molar_mass_g(ION_ATOMS[ion])


def salt_mass_g(salt: Salt) -> float:
    """Return the molar mass of a salt as it is weighed, g/mol."""
    ions = sum(ion_mass_g(ion) * count for ion, count in SALT_IONS[salt].items())
    return ions + CRYSTAL_WATER.get(salt, 0) * WATER_G
