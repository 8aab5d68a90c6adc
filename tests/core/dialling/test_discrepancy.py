"""The rotated miss against the whole normal distribution, worked out by a general library."""

import numpy as np
import pytest
from dial_cups import CONTEXT, START, at
from scipy import linalg, stats

from halfclick.dialling.discrepancy import corrected, kernel, rotation_of, scaled
from halfclick.dialling.forward import Brews
from halfclick.dialling.grids import row_of

MISS, NOISE = 0.5, 1.2


def recipes(*settings: float) -> Brews:
    rows = np.stack([row_of(at(one), CONTEXT.dial) for one in settings])
    return Brews(rows, CONTEXT, row_of(START, CONTEXT.dial)[0])


@pytest.fixture
def cups():
    brews = recipes(20, 18, 18, 12, 25)
    alike = kernel(scaled(brews), scaled(brews))
    return brews, alike


def test_rotated_residuals_have_the_density_of_the_whole_normal(cups):
    _, alike = cups
    residual = np.array([[0.4, -1.0, 0.3, 2.0, -0.2]])
    rotation = rotation_of(alike, np.ones(5, dtype=bool), np.ones(5))
    variance = NOISE**2 + MISS**2 * rotation.spread
    turned = rotation.turned(residual)[0]
    ours = stats.norm.logpdf(turned, scale=np.sqrt(variance)).sum()
    whole = stats.multivariate_normal(cov=MISS**2 * alike + NOISE**2 * np.eye(5))
    assert ours == pytest.approx(whole.logpdf(residual[0]), abs=1e-9)


def test_a_cup_that_counts_half_is_read_with_twice_the_variance(cups):
    _, alike = cups
    weight = np.array([1.0, 0.5, 1.0, 0.25, 1.0])
    residual = np.array([[0.4, -1.0, 0.3, 2.0, -0.2]])
    rotation = rotation_of(alike, np.ones(5, dtype=bool), weight)
    variance = NOISE**2 + MISS**2 * rotation.spread
    ours = stats.norm.logpdf(rotation.turned(residual)[0], scale=np.sqrt(variance)).sum()
    whole = stats.multivariate_normal(cov=MISS**2 * alike + NOISE**2 * np.diag(1.0 / weight))
    # The change of variables by the square roots of the weights is a constant.
    constant = 0.5 * np.log(weight).sum()
    assert ours + constant == pytest.approx(whole.logpdf(residual[0]), abs=1e-9)


def test_the_miss_expected_elsewhere_is_that_of_a_gaussian_process(cups):
    brews, alike = cups
    there = recipes(19, 18, 30)
    residual = np.array([[0.4, -1.0, 0.3, 2.0, -0.2]])
    rotation = rotation_of(alike, np.ones(5, dtype=bool), np.ones(5))
    across = kernel(scaled(brews), scaled(there))
    mean, variance = corrected(rotation, residual, across, MISS, np.array([[NOISE]]))
    # Rasmussen and Williams (2006), equations 2.25 and 2.26, with scipy's Cholesky solver.
    factor = linalg.cho_factor(MISS**2 * alike + NOISE**2 * np.eye(5))
    expected = MISS**2 * across.T @ linalg.cho_solve(factor, residual[0])
    left = MISS**2 - np.einsum(
        "ck,ck->k", MISS**2 * across, linalg.cho_solve(factor, MISS**2 * across)
    )
    assert mean[0] == pytest.approx(expected, abs=1e-9)
    assert variance[0] == pytest.approx(left, abs=1e-9)


def test_a_cup_nobody_looked_at_says_nothing(cups):
    _, alike = cups
    known = np.array([True, False, True, False, True])
    rotation = rotation_of(alike, known, np.array([1.0, 1.0, 0.0, 1.0, 1.0]))
    assert rotation.which.tolist() == [0, 4]
