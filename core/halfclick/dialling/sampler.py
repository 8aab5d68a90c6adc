"""Samples of a posterior by tempering: from the prior to the posterior in steps, with moves.

The prior is standard normal in every unknown. A step raises the power of the likelihood as far as
a third of the samples still count, draws them anew by their weights, then moves each: mostly partly
anew from a normal that is like the others, now and then by differences of others (ter Braak 2006,
Statistics and Computing 16:239) and towards the prior anew (the preconditioned Crank-Nicolson
step: Cotter et al. 2013, Statistical Science 28:424).

Axes: n samples, d unknowns.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
LogLikelihood = Callable[[Floats], Floats]
STILL_COUNT = 0.35
MOST_STEPS = 40
HALVINGS = 14
ROUND = 0.1  # share of the prior in the covariance of the others: few samples are never round
PARTS = (0.6, 0.85, 1.0)


@dataclass(frozen=True, slots=True)
class Effort:
    """How many samples, how many moves at each step, and how many once at the posterior."""

    samples: int = 1000
    moves: int = 2
    last_moves: int = 6


@dataclass(slots=True)
class _State:
    normals: Floats  # (n, d)
    told: Floats  # (n,)


def sample(
    told_by: LogLikelihood, size: int, rng: np.random.Generator, effort: Effort = Effort()
) -> tuple[Floats, Floats]:
    """Return samples of the posterior, (n, d), and their log-likelihoods, (n,)."""
    count = effort.samples // 2 * 2
    normals = rng.standard_normal((count, size))
    state = _State(normals, told_by(normals))
    power = 0.0
    for _ in range(MOST_STEPS):
        if power >= 1.0:
            break
        raised = _raised(state.told, power)
        _draw_anew(state, (raised - power) * state.told, rng)
        power = raised
        for turn in range(effort.moves):
            _move(state, told_by, power, rng, turn=turn)
    for turn in range(effort.last_moves):
        _move(state, told_by, 1.0, rng, turn=turn)
    return state.normals, state.told


def _raised(told: Floats, power: float) -> float:
    """Return the next power: as far as the stated share of the samples still counts."""

    def counting(step: float) -> float:
        weights = np.exp(step * (told - told.max()))
        return float(weights.sum() ** 2 / (weights @ weights) / len(told))

    if counting(1.0 - power) >= STILL_COUNT:
        return 1.0
    low, high = 0.0, 1.0 - power
    for _ in range(HALVINGS):
        step = 0.5 * (low + high)
        low, high = (step, high) if counting(step) >= STILL_COUNT else (low, step)
    return power + max(low, 1e-6)


def _draw_anew(state: _State, log_weights: Floats, rng: np.random.Generator) -> None:
    weights = np.exp(log_weights - log_weights.max())
    edges = np.cumsum(weights) / weights.sum()
    count = len(edges)
    chosen = np.searchsorted(edges, (np.arange(count) + rng.random()) / count)
    chosen = rng.permutation(np.minimum(chosen, count - 1))
    state.normals, state.told = state.normals[chosen], state.told[chosen]


def _move(
    state: _State,
    told_by: LogLikelihood,
    power: float,
    rng: np.random.Generator,
    *,
    turn: int,
) -> None:
    """Move both halves in turn; each half's proposals come from the other as it stands."""
    half = len(state.told) // 2
    order = (slice(0, half), slice(half, None))
    for moved, still in (order, order[::-1]):
        here, told = state.normals[moved], state.told[moved]
        there, odds = _proposed(here, state.normals[still], rng, turn)
        told_there = told_by(there)
        taken = np.log(rng.random(half)) < odds + power * (told_there - told)
        here[taken], told[taken] = there[taken], told_there[taken]


def _proposed(
    here: Floats, others: Floats, rng: np.random.Generator, turn: int
) -> tuple[Floats, Floats]:
    """Return where samples would go, and the logarithm of the odds of that but for the cups."""
    if turn % 8 == 7:
        return _afresh(here, rng), np.zeros(len(here))
    if turn % 4 == 3:
        there = _by_differences(here, others, rng)
        return there, 0.5 * (_squares(here) - _squares(there))
    return _around(here, others, rng)


def _around(here: Floats, others: Floats, rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Return each sample partly drawn anew from a normal of the others' mean and covariance.

    The step keeps that normal as it is (Rudolf & Sprungk 2018, Foundations of Computational
    Mathematics 18:309), so the odds are those of the prior over it.
    """
    count, size = here.shape
    mean = others.mean(axis=0)
    covariance = (1.0 - ROUND) * np.cov(others.T) + ROUND * np.eye(size)
    root = np.linalg.cholesky(covariance)
    part = rng.choice(PARTS, size=(count, 1))
    # In the normal's own coordinates both ends of a step are of a unit normal.
    own = (here - mean) @ np.linalg.inv(root).T
    own_there = np.sqrt(1.0 - part**2) * own + part * rng.standard_normal((count, size))
    there = mean + own_there @ root.T
    odds = _squares(own_there) - _squares(there) - _squares(own) + _squares(here)
    return there, 0.5 * odds


def _squares(x: Floats) -> Floats:
    return np.asarray(np.einsum("nd,nd->n", x, x))


def _by_differences(here: Floats, others: Floats, rng: np.random.Generator) -> Floats:
    """Return each sample moved by the difference of two others, in some of its unknowns."""
    count, size = here.shape
    share = rng.choice((0.1, 0.3, 1.0), size=count, p=(0.5, 0.35, 0.15))[:, None]
    some = rng.random((count, size)) < share
    first = rng.integers(count, size=count)
    second = (first + rng.integers(1, count, size=count)) % count
    moving = np.maximum(some.sum(axis=1, keepdims=True), 1)
    length = 2.38 / np.sqrt(2.0 * moving) * rng.choice((0.5, 1.0), size=(count, 1))
    wobble = 0.05 * rng.standard_normal((count, size))
    return np.asarray(here + some * (length * (others[first] - others[second]) + wobble))


def _afresh(here: Floats, rng: np.random.Generator) -> Floats:
    """Return each sample partly drawn anew from the prior, in some of its unknowns."""
    count, size = here.shape
    some = rng.random((count, size)) < rng.choice((0.1, 0.4), size=(count, 1))
    part = rng.choice((0.3, 0.7, 1.0), size=(count, 1))
    fresh = np.sqrt(1.0 - part**2) * here + part * rng.standard_normal((count, size))
    return np.where(some, fresh, here)
