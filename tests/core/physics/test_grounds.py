"""Sizes of grounds and dials, against published sizes read from digitised figures."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq
from scipy.stats import norm

from halfclick.physics.grounds import (
    cold_beans_ratio,
    mixture,
    share_below,
    size_classes,
)

MEDIANS_UM = st.floats(200, 2000)


def size_below_which(median_um, share):
    return brentq(lambda size_um: float(share_below(median_um, size_um)) - share, 1.0, 1e5)


@pytest.mark.parametrize(
    ("median_um", "d90_um", "fines"),
    [(405, 895, 0.252), (473, 1026, 0.225), (718, 1424, 0.163), (771, 1445, 0.148)],
)
def test_drip_grinds_are_as_a_laser_saw_them(median_um, d90_um, fines):
    """Moroney et al. 2015, Chem Eng Sci 137:216, figures 1 and 9; percentiles computed here."""
    assert size_below_which(median_um, 0.5) == pytest.approx(median_um, rel=0.002)
    assert size_below_which(median_um, 0.9) == pytest.approx(d90_um, rel=0.05)
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
