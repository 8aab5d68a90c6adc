"""Extraction and strength, against hand-worked and published brews."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.model.cup import beverage_g
from halfclick.physics.yields import (
    Term,
    dry_yield,
    immersion_yield,
    impossible,
    mixed_yield,
    percolation_yield,
    poured_yield,
    sample_cautions,
    spread_of,
    strength_of,
)
from halfclick.wording import open_wording

STRENGTHS = st.floats(0.002, 0.05)
DOSES_G = st.floats(5, 60)
RATIOS = st.floats(8, 22)


@pytest.mark.parametrize(
    ("strength", "drink_g", "dose_g", "expected", "off"),
    [
        (0.0125, 436, 32, 0.17031, 1e-4),
        (0.0105, 2829.1, 176.1, 0.168686, 5e-6),
        (0.0096, 2884.1, 119.0, 0.232667, 5e-6),
    ],
)
def test_a_weighed_percolation(strength, drink_g, dose_g, expected, off):
    """Hand-worked, and two rows of the consumer data doi 10.25338/B8993H (Cotter et al.)."""
    assert percolation_yield(strength, drink_g, dose_g) == pytest.approx(expected, abs=off)


def test_an_immersion_at_fifteen_to_one():
    """Liang, Chan & Ristenpart 2021, Sci Rep 11:6904, equation 17."""
    assert immersion_yield(0.01413, 15, 1) == pytest.approx(0.21499, abs=1e-4)


def test_beverage_and_extraction_from_the_water_poured():
    """Hand-worked: 500 g on 32 g that keep 2 g/g."""
    assert beverage_g(500, 32, 2.0) == pytest.approx(436)
    assert poured_yield(0.014, 500, 32, 2.0) == pytest.approx(0.19346, abs=1e-4)


def test_strength_and_dry_mass():
    """Hand-worked: 20 % of 32 g in 436 g; 20 % of a dose with 2 % of water."""
    assert strength_of(0.2, 436, 32) == pytest.approx(0.014679, abs=1e-5)
    assert dry_yield(0.2, 0.02) == pytest.approx(0.20408, abs=1e-4)


@given(STRENGTHS, DOSES_G, RATIOS)
def test_the_mixed_form_ends_in_the_other_two(strength, dose_g, ratio):
    water_g, drink_g = ratio * dose_g, (ratio - 2) * dose_g
    none = mixed_yield(strength, 0.0, drink_g, water_g, dose_g)
    same = mixed_yield(strength, strength, drink_g, water_g, dose_g)
    assert none == pytest.approx(percolation_yield(strength, drink_g, dose_g))
    assert same == pytest.approx(immersion_yield(strength, water_g, dose_g))


@given(STRENGTHS, DOSES_G, RATIOS, st.floats(0, 1))
def test_the_mixed_form_keeps_the_mass(strength, dose_g, ratio, share):
    """All solids are in the cup or in the liquid that the grounds keep."""
    last, water_g, drink_g = strength * share, ratio * dose_g, (ratio - 2) * dose_g
    kept_water_g = water_g - drink_g * (1 - strength)
    solids_g = drink_g * strength + kept_water_g * last / (1 - last)
    assert mixed_yield(strength, last, drink_g, water_g, dose_g) * dose_g == pytest.approx(solids_g)


@given(STRENGTHS, DOSES_G, RATIOS)
def test_strength_undoes_extraction(strength, dose_g, ratio):
    extraction = percolation_yield(strength, ratio * dose_g, dose_g)
    assert strength_of(extraction, ratio * dose_g, dose_g) == pytest.approx(strength)


def test_a_tenth_of_a_gram_of_dose_and_a_refractometer():
    """Hand-worked: 0.1 g on 18 g is 0.11 points at 20 %; 0.03 on 1.35 % is 0.44."""
    reading = (0.0135, 0.2 * 18 / 0.0135, 18)
    by_dose = spread_of(reading, (0, 0, 0.1))
    assert (by_dose.sd, by_dose.largest) == (pytest.approx(0.0011, abs=5e-5), Term.DOSE)
    both = spread_of(reading, (0.0003, 0.5, 0.1))
    assert (both.sd, both.largest) == (pytest.approx(0.0046, abs=1e-4), Term.STRENGTH)


def test_ratio_and_outflow_of_a_common_recipe():
    """Common practice, no source: 500 g on 32 g; 36 g at 1:15.5; 436 g in 180 s."""
    assert pytest.approx(15.625, abs=0.001) == 500 / 32
    assert beverage_g(36 * 15.5, 36, 0.0) == pytest.approx(558, abs=0.1)
    assert beverage_g(500, 32, 2.0) / 180 == pytest.approx(2.422, abs=0.01)


def codes(messages):
    say = open_wording()
    assert all(say.sentence(one) for one in messages)
    return [one.code for one in messages]


def test_a_good_record_is_left_alone():
    assert impossible(32, 500, 436, 0.0135) == ()
    assert impossible(32, 500, None, None) == ()


@pytest.mark.parametrize(
    ("record", "code"),
    [
        ((32, 500, 436, 0.03), "yields.too_much_extracted"),
        ((32, 500, None, 0.03), "yields.too_strong"),
        ((32, 500, 560, None), "yields.more_than_poured"),
        ((32, 500, 503, None), "yields.nothing_kept"),
    ],
)
def test_what_cannot_be_is_said(record, code):
    assert codes(impossible(*record)) == [code]


@given(st.floats(0, 0.32), DOSES_G, RATIOS)
def test_no_brew_that_keeps_the_mass_is_called_impossible(extraction, dose_g, ratio):
    water_g = ratio * dose_g
    drink_g = water_g - 2.1 * dose_g + extraction * dose_g
    assert impossible(dose_g, water_g, None, extraction * dose_g / drink_g) == ()


def test_a_warm_sample_is_minded():
    assert codes(sample_cautions(45.0)) == ["yields.sample_warm"]
    assert sample_cautions(24.0) == sample_cautions(None) == ()
