"""The sampler against what it must find: closed forms and sums over a fine grid."""

import numpy as np
import pytest
from scipy import stats

from halfclick.dialling.sampler import Effort, sample


def test_one_reading_of_a_standard_normal_gives_the_closed_form():
    # Normal prior, normal reading of standard deviation s: mean y/(1+s^2), variance s^2/(1+s^2)
    # (conjugate normal, any textbook of Bayesian statistics).
    seen, spread = 1.4, 0.5

    def told_by(normals):
        return -0.5 * ((seen - normals[:, 0]) / spread) ** 2

    found, _ = sample(told_by, 3, np.random.default_rng(1), Effort(4000, 2, 12))
    assert found[:, 0].mean() == pytest.approx(seen / (1 + spread**2), abs=0.04)
    assert found[:, 0].std() == pytest.approx(np.sqrt(spread**2 / (1 + spread**2)), abs=0.03)
    # What nothing was said of stays as it was.
    assert found[:, 1].mean() == pytest.approx(0.0, abs=0.08)
    assert found[:, 1].std() == pytest.approx(1.0, abs=0.06)
    assert stats.kstest(found[:, 2], "norm").statistic < 0.05


def test_two_hills_are_both_found_in_their_shares():
    def told_by(normals):
        left = -0.5 * ((normals[:, 0] + 1.0) / 0.2) ** 2
        right = -0.5 * ((normals[:, 0] - 1.5) / 0.2) ** 2
        return np.logaddexp(left, right)

    grid = np.linspace(-6, 6, 24_001)
    weight = np.exp(told_by(grid[:, None])) * stats.norm.pdf(grid)
    share = weight[grid > 0].sum() / weight.sum()  # brute force
    shares = [
        np.mean(sample(told_by, 2, np.random.default_rng(seed), Effort(2000, 2, 6))[0][:, 0] > 0)
        for seed in range(6)
    ]
    assert np.mean(shares) == pytest.approx(share, abs=0.05)


def test_a_bent_ridge_is_followed():
    def told_by(normals):
        return -0.5 * ((normals[:, 1] - normals[:, 0] ** 2 + 0.5) / 0.1) ** 2

    side = np.linspace(-5, 5, 1001)
    across, along = np.meshgrid(side, side, indexing="ij")
    points = np.stack((across.ravel(), along.ravel()), axis=1)
    weight = np.exp(told_by(points)) * stats.norm.pdf(points).prod(axis=1)
    weight /= weight.sum()
    found, _ = sample(told_by, 2, np.random.default_rng(5), Effort(4000, 3, 20))
    assert found.mean(axis=0) == pytest.approx(weight @ points, abs=0.08)
    assert (found**2).mean(axis=0) == pytest.approx(weight @ points**2, abs=0.12)


def test_the_same_seed_gives_the_same_samples():
    def told_by(normals):
        return -0.5 * ((normals[:, 0] - 2.0) / 0.1) ** 2

    one, other = (sample(told_by, 2, np.random.default_rng(3), Effort(200))[0] for _ in range(2))
    assert np.array_equal(one, other)
