"""Samples of a posterior by tempering: from the prior to the posterior in steps, with moves.

The prior is standard normal in every unknown. A step raises the power of the likelihood as far as
a third of the samples still count, draws them anew by their weights, then moves each: partly anew
from a normal that is like the others (Rudolf & Sprungk 2018, Foundations of Computational
Mathematics 18:309) and, every fourth time at one power, in some unknowns from the prior (Cotter et
al. 2013, Statistical Science 28:424). How good that normal is decides how many moves are taken, so
many samples moved seldom say more than few moved often.

Axes: n samples, d unknowns.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
LogLikelihood = Callable[[Floats], Floats]
# Where samples would go, (n, d), and the logarithm of the odds of that but for the cups, (n,).
Step = Callable[[Floats, np.random.Generator], tuple[Floats, Floats]]
STILL_COUNT = 0.35
MOST_STEPS = 40
TRIES = 2  # of a move: steps from one fitted normal
HALVINGS = 14
ROUND = 0.1  # share of the prior in the covariance of the others: few samples are never round
PARTS = (0.6, 0.85, 1.0)


@dataclass(frozen=True, slots=True)
class Effort:
    """How many samples, how many moves at each power, and how many more at the posterior."""

    samples: int = 1000
    moves: int = 2
    last_moves: int = 6


@dataclass(slots=True)
class _State:
    normals: Floats  # (n, d)
    told: Floats  # (n,)


@dataclass(frozen=True, slots=True)
class _Normal:
    """A normal: its mean, (d,), a root of its covariance, (d, d), and the inverse of that."""

    mean: Floats
    root: Floats
    inverse: Floats


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
    """Move each half; what is like the samples is asked of the other half, as it stands."""
    half = len(state.told) // 2
    halves = (slice(0, half), slice(half, None))
    for moved, still in (halves, halves[::-1]):
        step = _step(state.normals[still], turn)
        for _ in range(TRIES):
            here, told = state.normals[moved], state.told[moved]
            there, odds = step(here, rng)
            told_there = told_by(there)
            taken = np.log(rng.random(half)) < odds + power * (told_there - told)
            here[taken], told[taken] = there[taken], told_there[taken]


def _step(others: Floats, turn: int) -> Step:
    return _afresh if turn % 4 == 3 else partial(_around, _like(others))


def _like(others: Floats) -> _Normal:
    """Return a normal of samples' mean and covariance."""
    size = others.shape[1]
    covariance = (1.0 - ROUND) * np.cov(others.T) + ROUND * np.eye(size)
    root: Floats = np.asarray(np.linalg.cholesky(covariance), dtype=np.float64)
    inverse: Floats = np.asarray(np.linalg.inv(root), dtype=np.float64)
    return _Normal(others.mean(axis=0), root, inverse)


def _around(like: _Normal, here: Floats, rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Return each sample partly drawn anew from a normal.

    The step keeps that normal as it is, so the odds are those of the prior over it.
    """
    count, size = here.shape
    part = rng.choice(PARTS, size=(count, 1))
    # In the normal's own coordinates both ends of a step are of a unit normal.
    own = (here - like.mean) @ like.inverse.T
    own_there = np.sqrt(1.0 - part**2) * own + part * rng.standard_normal((count, size))
    there = like.mean + own_there @ like.root.T
    odds = _squares(own_there) - _squares(there) - _squares(own) + _squares(here)
    return there, 0.5 * odds


def _squares(x: Floats) -> Floats:
    return np.asarray(np.einsum("nd,nd->n", x, x))


def _afresh(here: Floats, rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Return each sample partly drawn anew from the prior, in some of its unknowns."""
    count, size = here.shape
    some = rng.random((count, size)) < rng.choice((0.1, 0.4), size=(count, 1))
    part = rng.choice((0.3, 0.7, 1.0), size=(count, 1))
    fresh = np.sqrt(1.0 - part**2) * here + part * rng.standard_normal((count, size))
    return np.where(some, fresh, here), np.zeros(count)
