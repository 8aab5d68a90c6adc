"""Sizes of ground coffee against published distributions (Moroney et al. 2015, read by others)."""

import numpy as np
import pytest

from halfclick.physics.brew.sizes import fines_share, size_classes


@pytest.mark.parametrize(
    ("median_um", "share"), [(405.0, 0.252), (473.0, 0.225), (718.0, 0.163), (771.0, 0.148)]
)
def test_the_share_below_100_um_is_that_of_drip_grinds(median_um, share):
    assert fines_share(np.array([median_um]))[0] == pytest.approx(share, abs=0.015)


def test_the_share_of_fines_falls_as_the_median_grows():
    """Smrke et al. (2024), figure 2: 25.6 % at 232 um falls to 15.0 % at 352 um, on a finer dial."""
    shares = fines_share(np.linspace(150.0, 1500.0, 50))
    assert np.all(np.diff(shares) <= 0)


def test_shares_sum_to_one_and_kernels_grow():
    diameter_um, share = size_classes(np.array([250.0, 700.0, 1300.0]), 3)
    np.testing.assert_allclose(share.sum(axis=1), 1.0)
    assert np.all(np.diff(diameter_um, axis=1) > 0)
    assert np.all(share > 0)


@pytest.mark.parametrize(
    ("d50", "d90"), [(405.0, 895.0), (473.0, 1026.0), (718.0, 1424.0), (771.0, 1445.0)]
)
def test_nine_tenths_lie_below_the_published_size(d50, d90):
    """The ninth decile of the two lognormals, fines and coarser grains together."""
    many, share = size_classes(np.array([d50]), 400)
    fines = fines_share(np.array([d50]))[0]
    below = fines + (1 - fines) * np.mean(many[0] < d90)
    assert below == pytest.approx(0.9, abs=0.03)
