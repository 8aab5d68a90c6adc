"""Hardness and alkalinity from a water's ions."""

from halfclick.model.minerals import Minerals
from halfclick.physics.minerals.molar import CALCIUM_CARBONATE_G, CHARGE, Ion, ion_mass_g


def mg_l_of(minerals: Minerals, ion: Ion) -> float | None:
    """Return an ion in mg/L; None where it is not known."""
    value: float | None = getattr(minerals, ion.field)
    return value


def meq_l(minerals: Minerals, ion: Ion) -> float:
    """Return an ion in milliequivalents a litre, without its sign; 0 where it is not known."""
    return (mg_l_of(minerals, ion) or 0.0) / ion_mass_g(ion) * abs(CHARGE[ion])


def as_calcium_carbonate(ion: Ion, mg_l: float) -> float:
    """Return an ion in mg/L as CaCO3: by its charge, of which CaCO3 has two."""
    return mg_l / ion_mass_g(ion) * abs(CHARGE[ion]) * CALCIUM_CARBONATE_G / 2


def calcium_hardness_mg_l(minerals: Minerals) -> float | None:
    """Return the part of the hardness that is calcium, mg/L as CaCO3; None if not known."""
    return _as_carbonate(minerals, Ion.CALCIUM)


def magnesium_hardness_mg_l(minerals: Minerals) -> float | None:
    """Return the part of the hardness that is magnesium, mg/L as CaCO3; None if not known."""
    return _as_carbonate(minerals, Ion.MAGNESIUM)


def hardness_mg_l(minerals: Minerals) -> float | None:
    """Return the total hardness, mg/L as CaCO3; None unless calcium and magnesium are known."""
    calcium, magnesium = calcium_hardness_mg_l(minerals), magnesium_hardness_mg_l(minerals)
    return None if calcium is None or magnesium is None else calcium + magnesium


def alkalinity_mg_l(minerals: Minerals) -> float | None:
    """Return the alkalinity, mg/L as CaCO3; None where bicarbonate is not known.

    Bicarbonate stands for all of it, which holds within 2 % below pH 8.5 (from the second
    dissociation constant of carbonic acid, 10^-10.33 at 25 °C).
    """
    return _as_carbonate(minerals, Ion.BICARBONATE)


def _as_carbonate(minerals: Minerals, ion: Ion) -> float | None:
    mg_l = mg_l_of(minerals, ion)
    return None if mg_l is None else as_calcium_carbonate(ion, mg_l)
