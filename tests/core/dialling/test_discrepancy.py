"""The rotated miss against the whole normal distribution, worked out by a general library."""

from dataclasses import replace

import numpy as np
import pytest
from dial_cups import CONTEXT, START, at
from scipy import linalg, stats

from halfclick.dialling.discrepancy import corrected, imagined, kernel, rotation_of, scaled
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


def test_a_step_of_a_lever_that_does_little_leaves_the_miss_about_as_it_was():
    """Not so a step of the grind, the ratio or the pour: else every lever is as good a ticket."""

    def alike(step: dict[str, float]) -> float:
        moved = Brews(
            row_of(replace(START, **step), CONTEXT.dial)[None], CONTEXT, recipes(20).middle
        )
        return float(kernel(scaled(recipes(20)), scaled(moved))[0, 0])

    # Search steps as practitioners report them (`search.py`; common practice, no source).
    little = [{"water_c": 96.0}, {"bloom_s": 55.0}, {"swirl": 1.0}]
    much = [{"setting": 18.0}, {"ratio": 14.5}, {"pour_g_s": 7.0}]
    assert min(alike(step) for step in little) > 0.9 > max(alike(step) for step in much)


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


@pytest.fixture
def imaginary(cups):
    """Misses at the four recipes among five cups, twenty thousand times the same draw."""
    brews, alike = cups
    at = recipes(20, 18, 12, 25)
    residual = np.repeat([[0.4, -1.0, 0.3, 2.0, -0.2]], 20_000, axis=0)
    rotation = rotation_of(alike, np.ones(5, dtype=bool), np.ones(5))
    noise = np.full((20_000, 1), NOISE)
    places = (scaled(brews), scaled(at))
    return at, imagined(rotation, residual, places, MISS, noise, np.random.default_rng(3))


def test_imagined_misses_have_the_mean_and_covariance_of_a_gaussian_process(cups, imaginary):
    brews, alike = cups
    at, made = imaginary
    across = MISS**2 * kernel(scaled(brews), scaled(at))
    factor = linalg.cho_factor(MISS**2 * alike + NOISE**2 * np.eye(5))
    mean = across.T @ linalg.cho_solve(factor, np.array([0.4, -1.0, 0.3, 2.0, -0.2]))
    among = MISS**2 * kernel(scaled(at), scaled(at)) - across.T @ linalg.cho_solve(factor, across)
    # Twenty thousand draws tell a mean to about 0.01 and a variance of 0.2 to about 0.006.
    assert made.misses.mean(axis=0) == pytest.approx(mean, abs=0.015)
    assert np.cov(made.misses.T) == pytest.approx(among, abs=0.012)


def test_what_was_imagined_of_a_recipe_holds_there_and_fades_away(imaginary):
    at, made = imaginary
    there, variance = made.elsewhere(scaled(at))
    assert there == pytest.approx(made.misses, abs=0.02)
    assert variance.max() < 0.01 * MISS**2
    far, wide = made.elsewhere(scaled(recipes(40)))
    assert far.std() < 0.1 * MISS
    assert wide[0] == pytest.approx(MISS**2, rel=0.02)


def test_two_recipes_nobody_tried_share_what_is_left(imaginary):
    at, made = imaginary
    rows = scaled(recipes(30, 31, 5))
    tried = kernel(scaled(at), scaled(at)) + 1e-3 * np.eye(4)
    across = kernel(scaled(at), rows)
    left = MISS**2 * (kernel(rows, rows) - across.T @ linalg.solve(tried, across))
    assert made.between(rows, rows[0]) == pytest.approx(left[:, 0], abs=1e-9)
