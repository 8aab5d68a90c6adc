"""Scale when hot, and conductivity, against PHREEQC through phreeqpython."""

import pytest
from phreeqpython import PhreeqPython

from halfclick.model.minerals import Minerals
from halfclick.physics.minerals.calcite import (
    Scaling,
    open_to_air,
    saturation_index,
    scaling_of,
)
from halfclick.physics.minerals.molar import Ion, ion_mass_g
from halfclick.physics.minerals.plausible import conductivity_us_cm


@pytest.fixture(scope="module")
def phreeqc():
    return PhreeqPython()


# Salts in mmol/L: soft, as brewed with, hard, with magnesium and sulfate.
WATERS = [
    {"CaCl2": 0.2, "NaHCO3": 0.3},
    {"CaCl2": 0.68, "NaHCO3": 0.8},
    {"CaCl2": 1.0, "NaHCO3": 2.0},
    {"CaCl2": 1.5, "NaHCO3": 3.0},
    {"CaCl2": 3.0, "NaHCO3": 6.0},
    {"CaCl2": 1.0, "MgSO4": 1.0, "NaHCO3": 2.0},
    {"CaCl2": 0.5, "MgCl2": 1.5, "KHCO3": 1.0},
]
IONS = {
    "CaCl2": {Ion.CALCIUM: 1, Ion.CHLORIDE: 2},
    "MgCl2": {Ion.MAGNESIUM: 1, Ion.CHLORIDE: 2},
    "MgSO4": {Ion.MAGNESIUM: 1, Ion.SULFATE: 1},
    "NaHCO3": {Ion.SODIUM: 1, Ion.BICARBONATE: 1},
    "KHCO3": {Ion.POTASSIUM: 1, Ion.BICARBONATE: 1},
}


def minerals(salts: dict[str, float]) -> Minerals:
    held = dict.fromkeys(Ion, 0.0)
    for salt, mmol_l in salts.items():
        for ion, count in IONS[salt].items():
            held[ion] += mmol_l * count * ion_mass_g(ion)
    return Minerals(**{ion.field: mg_l for ion, mg_l in held.items()})


@pytest.mark.parametrize("salts", WATERS, ids=str)
def test_calcite_when_hot_agrees_with_phreeqc(phreeqc, salts):
    water = phreeqc.add_solution_simple(salts, temperature=25)
    water.equalize(["CO2(g)"], [-3.38])
    ours = minerals(salts)
    assert open_to_air(ours).ph == pytest.approx(water.pH, abs=0.05)
    water.change_temperature(93)
    assert saturation_index(ours) == pytest.approx(water.si("Calcite"), abs=0.15)


def test_a_water_of_the_trade_is_slightly_past_calcite_at_93():
    # phreeqpython 1.6.2, default database.
    ours = saturation_index(minerals({"CaCl2": 0.68, "NaHCO3": 0.8}))
    assert ours == pytest.approx(0.20, abs=0.15)
    assert scaling_of(ours) is Scaling.SLIGHT


def test_more_heat_more_scale():
    ours = minerals({"CaCl2": 1.0, "NaHCO3": 2.0})
    assert saturation_index(ours, 60.0) < saturation_index(ours, 93.0)


def test_without_calcium_there_is_nothing_to_scale():
    assert saturation_index(minerals({"MgSO4": 1.0, "NaHCO3": 2.0})) is None
    assert scaling_of(None) is Scaling.NONE


@pytest.mark.parametrize("salts", WATERS, ids=str)
def test_conductivity_agrees_with_phreeqc(phreeqc, salts):
    water = phreeqc.add_solution_simple(salts, temperature=25)
    assert conductivity_us_cm(minerals(salts)) == pytest.approx(water.sc, rel=0.08)
