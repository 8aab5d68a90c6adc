"""Molar masses, units, mixing and salts against published weights, pint and hand-worked cases."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.errors import BadInput
from halfclick.model.concentrate import Salt
from halfclick.model.minerals import Minerals
from halfclick.physics.minerals.corrosion import Corrosion, corrosion_of
from halfclick.physics.minerals.figures import (
    alkalinity_mg_l,
    as_calcium_carbonate,
    calcium_hardness_mg_l,
    hardness_mg_l,
)
from halfclick.physics.minerals.hardness_units import HardnessUnit, from_mg_l, to_mg_l
from halfclick.physics.minerals.mixing import DEMINERALISED, mixed, share_for, with_added
from halfclick.physics.minerals.molar import CALCIUM_CARBONATE_G, Ion, ion_mass_g, salt_mass_g
from halfclick.physics.minerals.plausible import balance, residue_can_be, residue_mg_l
from halfclick.physics.minerals.ranges import (
    PAGE_2009,
    PAGE_LATER,
    Figure,
    Where,
    standings,
)
from halfclick.physics.minerals.salts import (
    check_one_bottle,
    ions_of,
    stock_g_per_l,
    stock_strength_mg_l,
    weighing_share,
)

# A bottled water's label; mg/L.
BOTTLE = Minerals(
    calcium_mg_l=80.0,
    magnesium_mg_l=26.0,
    sodium_mg_l=6.5,
    bicarbonate_mg_l=360.0,
    chloride_mg_l=10.0,
    sulfate_mg_l=14.0,
)


# CIAAW (2021) abridged weights, added by hand.
@pytest.mark.parametrize(
    ("salt", "grams"),
    [
        (Salt.MAGNESIUM_SULFATE_7H2O, 246.47),
        (Salt.MAGNESIUM_CHLORIDE_6H2O, 203.30),
        (Salt.CALCIUM_CHLORIDE, 110.98),
        (Salt.CALCIUM_CHLORIDE_2H2O, 147.01),
        (Salt.SODIUM_BICARBONATE, 84.006),
        (Salt.POTASSIUM_BICARBONATE, 100.114),
    ],
)
def test_a_salt_weighs_what_its_atoms_weigh(salt, grams):
    assert salt_mass_g(salt) == pytest.approx(grams, abs=0.01)


def test_hardness_and_alkalinity_of_ions_by_molar_masses():
    assert as_calcium_carbonate(Ion.MAGNESIUM, 10.0) == pytest.approx(41.18, abs=0.01)
    assert as_calcium_carbonate(Ion.CALCIUM, 20.0) == pytest.approx(49.95, abs=0.01)
    assert as_calcium_carbonate(Ion.BICARBONATE, 61.017) == pytest.approx(50.04, abs=0.01)
    assert hardness_mg_l(BOTTLE) == pytest.approx(80 * 2.4973 + 26 * 4.1179, abs=0.1)
    assert alkalinity_mg_l(BOTTLE) == pytest.approx(360 * 0.8202, abs=0.1)


def test_what_is_not_known_is_not_made_up():
    assert hardness_mg_l(Minerals(calcium_mg_l=20.0)) is None
    assert calcium_hardness_mg_l(Minerals(calcium_mg_l=20.0)) == pytest.approx(49.95, abs=0.01)
    assert alkalinity_mg_l(Minerals(calcium_mg_l=20.0)) is None


def test_degrees_against_an_independent_library_of_units():
    ureg = pint.UnitRegistry()
    grain = ureg.Quantity(1, "grain").to("mg").magnitude
    us, imperial = (
        ureg.Quantity(1, name).to("liter").magnitude for name in ("gallon", "imperial_gallon")
    )
    assert to_mg_l(1, HardnessUnit.GRAINS) == pytest.approx(grain / us)
    assert to_mg_l(1, HardnessUnit.ENGLISH) == pytest.approx(grain / imperial)
    assert to_mg_l(1, HardnessUnit.GERMAN) == pytest.approx(17.848, abs=0.001)
    assert to_mg_l(1, HardnessUnit.FRENCH) == 10.0


def test_a_millimole_of_hardness_is_twice_one_of_alkalinity():
    assert to_mg_l(1, HardnessUnit.MMOL_L) == pytest.approx(CALCIUM_CARBONATE_G)
    assert to_mg_l(1, HardnessUnit.MMOL_L, alkalinity=True) == pytest.approx(50.04, abs=0.01)
    assert to_mg_l(1, HardnessUnit.MEQ_L) == pytest.approx(50.04, abs=0.01)


@given(st.floats(0, 5000), st.sampled_from(HardnessUnit), st.booleans())
def test_a_unit_and_back_is_the_same(mg_l, unit, alkalinity):
    there = from_mg_l(mg_l, unit, alkalinity=alkalinity)
    assert to_mg_l(there, unit, alkalinity=alkalinity) == pytest.approx(mg_l)


# Molar arithmetic: grams of salt for 1000 mg/L as CaCO3.
@pytest.mark.parametrize(
    ("salt", "grams"),
    [
        (Salt.MAGNESIUM_SULFATE_7H2O, 2.4625),
        (Salt.CALCIUM_CHLORIDE, 1.1088),
        (Salt.CALCIUM_CHLORIDE_2H2O, 1.4688),
        (Salt.SODIUM_BICARBONATE, 1.6787),
        (Salt.POTASSIUM_BICARBONATE, 2.0006),
    ],
)
def test_a_stock_of_a_thousand_takes_so_many_grams(salt, grams):
    assert stock_g_per_l(salt, 1000.0) == pytest.approx(grams, abs=0.001)
    assert stock_strength_mg_l(salt, grams) == pytest.approx(1000.0, abs=0.5)


def test_alkalinity_from_sodium_bicarbonate_brings_sodium():
    brought = ions_of(Salt.SODIUM_BICARBONATE, stock_g_per_l(Salt.SODIUM_BICARBONATE, 40) * 1000)
    assert brought[Ion.SODIUM] == pytest.approx(18.4, abs=0.05)
    brought = ions_of(
        Salt.POTASSIUM_BICARBONATE, stock_g_per_l(Salt.POTASSIUM_BICARBONATE, 40) * 1000
    )
    assert brought[Ion.POTASSIUM] == pytest.approx(31.25, abs=0.05)


@given(st.sampled_from(Salt), st.floats(0.1, 5000))
def test_a_salt_brings_as_many_charges_of_one_sign_as_of_the_other(salt, salt_mg):
    brought = with_added(DEMINERALISED, 1.0, ions_of(salt, salt_mg))
    charges = balance(brought)
    assert charges.positive_meq_l == pytest.approx(charges.negative_meq_l)


def test_calcium_and_bicarbonate_never_share_a_bottle():
    with pytest.raises(BadInput) as refused:
        check_one_bottle((Salt.CALCIUM_CHLORIDE, Salt.SODIUM_BICARBONATE))
    assert refused.value.code == "salts.not_in_one_bottle"
    check_one_bottle((Salt.SODIUM_BICARBONATE, Salt.POTASSIUM_BICARBONATE))


def test_tap_water_of_220_thinned_to_68_is_31_parts_in_a_hundred():
    assert share_for(68.0, 220.0, 0.0) == pytest.approx(0.3091, abs=0.0001)
    assert share_for(300.0, 220.0, 0.0) is None


@given(st.floats(0.01, 10), st.floats(0.01, 10))
def test_mixing_keeps_every_ion(one, other):
    mix = mixed([(BOTTLE, one), (DEMINERALISED, other)])
    assert mix.calcium_mg_l * (one + other) == pytest.approx(80.0 * one)
    assert mix.potassium_mg_l is None  # the label is silent on it


def test_half_a_step_of_the_scale_is_how_far_a_weighing_may_be_off():
    assert weighing_share(2.46, 0.1) == pytest.approx(0.0203, abs=0.0001)


def test_a_label_that_can_be_passes_and_one_with_a_slip_does_not():
    assert balance(BOTTLE).can_be
    assert residue_mg_l(BOTTLE) == pytest.approx(314, abs=1)
    assert residue_can_be(BOTTLE, 345.0)
    assert not residue_can_be(BOTTLE, 34.5)
    slipped = Minerals(
        calcium_mg_l=800.0,
        magnesium_mg_l=26.0,
        sodium_mg_l=6.5,
        bicarbonate_mg_l=360.0,
        chloride_mg_l=10.0,
        sulfate_mg_l=14.0,
    )
    assert not balance(slipped).can_be
    assert balance(Minerals(calcium_mg_l=80.0)) is None


def test_the_two_versions_of_the_published_page_disagree_on_one_water():
    values = {Figure.CALCIUM_HARDNESS: 68.0, Figure.HARDNESS: 68.0, Figure.ALKALINITY: 72.0}
    old = {one.range.figure: one for one in standings(PAGE_2009, values)}
    later = {one.range.figure: one for one in standings(PAGE_LATER, values)}
    assert old[Figure.CALCIUM_HARDNESS].where is Where.INSIDE
    assert old[Figure.ALKALINITY].where is Where.ABOVE
    assert later[Figure.ALKALINITY].by == pytest.approx(2.0)
    assert later[Figure.PH].where is Where.UNKNOWN


def test_water_without_alkalinity_or_with_much_chloride_is_warned_of():
    assert corrosion_of(None, 2.0) is Corrosion.NO_ALKALINITY
    assert corrosion_of(None, 40.0) is None
    salty = Minerals(chloride_mg_l=120.0, bicarbonate_mg_l=60.0)
    assert corrosion_of(salty, None) is Corrosion.CHLORIDE
    assert corrosion_of(BOTTLE, None) is None


def test_masses_of_ions_against_published_ones():
    # CRC Handbook: bicarbonate 61.017, sulfate 96.06 g/mol.
    assert ion_mass_g(Ion.BICARBONATE) == pytest.approx(61.017, abs=0.0015)
    assert ion_mass_g(Ion.SULFATE) == pytest.approx(96.06, abs=0.01)
