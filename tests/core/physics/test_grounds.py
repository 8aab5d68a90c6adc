"""Sizes of grounds and dials, against published sizes read from digitised figures."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from halfclick.physics.dial import DialMap, Measured, fit_map, prior_map, sieved
from halfclick.physics.grounds import (
    cold_beans_ratio,
    mixture,
    percentile_um,
    share_below,
    size_classes,
)

MEDIANS_UM = st.floats(200, 2000)


@pytest.mark.parametrize(
    ("median_um", "d90_um", "fines"),
    [(405, 895, 0.252), (473, 1026, 0.225), (718, 1424, 0.163), (771, 1445, 0.148)],
)
def test_drip_grinds_are_as_a_laser_saw_them(median_um, d90_um, fines):
    """Moroney et al. 2015, Chem Eng Sci 137:216, figures 1 and 9; percentiles computed here."""
    assert percentile_um(median_um, 0.5) == pytest.approx(median_um, rel=0.002)
    assert percentile_um(median_um, 0.9) == pytest.approx(d90_um, rel=0.05)
    assert float(share_below(median_um, 100)) == pytest.approx(fines, abs=0.015)


@pytest.mark.parametrize(("median_um", "d10_um"), [(405, 17), (473, 19), (718, 31), (771, 34)])
def test_a_tenth_lies_below_the_published_size(median_um, d10_um):
    """The same figures; the finest tenth is where digitised curves are least certain."""
    assert float(share_below(median_um, d10_um)) == pytest.approx(0.10, abs=0.015)


@given(MEDIANS_UM)
def test_the_mixture_is_that_of_scipys_normal_distribution(median_um):
    fines, fines_um, spread, main_um = (float(one) for one in mixture(median_um))
    for size_um in (50, 100, 300, median_um, 1500):
        theirs = fines * norm.cdf(np.log(size_um / fines_um) / 1.5614)
        theirs += (1 - fines) * norm.cdf(np.log(size_um / main_um) / spread)
        assert float(share_below(median_um, size_um)) == pytest.approx(theirs, abs=1e-6)
    assert float(share_below(median_um, median_um)) == pytest.approx(0.5, abs=5e-4)


@given(MEDIANS_UM, st.floats(1.01, 1.5))
def test_coarser_grounds_hold_fewer_fines(median_um, ratio):
    assert share_below(median_um * ratio, 100) < share_below(median_um, 100)


@given(st.lists(MEDIANS_UM, min_size=1, max_size=5), st.integers(1, 5))
def test_classes_share_out_all_there_is(medians_um, classes):
    diameters, shares = size_classes(np.array(medians_um), classes)
    assert diameters.shape == (len(medians_um), classes)
    assert shares.sum(axis=1) == pytest.approx(1.0)
    assert (shares > 0).all()
    assert (np.diff(diameters, axis=1) > 0).all()


def test_coarser_grounds_have_fewer_broken_cells():
    _, shares = size_classes(np.array([300.0, 500.0, 800.0, 1200.0]))
    assert (np.diff(shares[:, 0]) < 0).all()


def test_colder_beans_grind_finer():
    """Uman et al. 2016, the direction only."""
    assert cold_beans_ratio(-19)[0] < cold_beans_ratio(20)[0] == 1


def test_a_straight_line_gives_the_laboratorys_radius():
    """Wadsworth et al. 2026, section 4.1: mean radius 58.05 G + 138.0 um, 486.3 at 6."""
    one = DialMap(base_um=276.0, base_sd_um=1, per_step_um=116.1, per_step_sd_um=1)
    assert one.median_um(6) / 2 == pytest.approx(486.3, abs=25)


def test_five_settings_of_a_laboratory_grinder_give_its_slope():
    """Liang, Chan & Ristenpart 2021, supplement: 580 to 1310 um, 184 um a step."""
    sizes = zip((2, 3, 4, 5, 6), (580, 780, 970, 1160, 1310), strict=True)
    seen = [Measured(steps=at, median_um=size, sd_um=10) for at, size in sizes]
    vague = DialMap(base_um=240, base_sd_um=1e4, per_step_um=100, per_step_sd_um=1e4)
    fitted = fit_map(vague, seen)
    assert fitted.per_step_um == pytest.approx(184, abs=10)
    line = np.polyfit([2, 3, 4, 5, 6], [580, 780, 970, 1160, 1310], 1)
    assert [fitted.per_step_um, fitted.base_um] == pytest.approx(line, rel=1e-3)


@given(st.floats(0, 60), MEDIANS_UM)
def test_measuring_never_leaves_less_known(steps, median_um):
    prior = prior_map(15.0)
    after = fit_map(prior, [Measured(steps=steps, median_um=median_um, sd_um=40)])
    assert after.sd_um(steps) < prior.sd_um(steps)
    assert after.sd_um(steps) <= 40


@given(st.floats(250, 1500))
def test_sieves_find_the_median_whose_shares_they_hold(median_um):
    shares = [(x, float(share_below(median_um, x))) for x in (300, 500, 710, 1000)]
    assert sieved(20, shares).median_um == pytest.approx(median_um, rel=0.01)


def test_less_through_a_wider_sieve_is_refused():
    with pytest.raises(ValueError, match="rise"):
        sieved(20, [(300, 0.5), (500, 0.4)])
