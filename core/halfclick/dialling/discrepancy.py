"""What the forward form misses, as a smooth process over the levers.

For each quantity the miss is normal with a squared-exponential kernel; one eigen-decomposition of
the kernel at the tried cups serves all draws, since only the noise differs between them.

Axes: c tried cups, k candidates, n draws.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.forward import Brews
from halfclick.dialling.grids import BLOOM, BLOOM_TIME, RATE, RATIO, SWIRL, WATER

Floats = NDArray[np.float64]
# Standard deviation of the miss: of the clock's logarithm, strength in percent, liking, marks
# (our own defaults).
MISS = {"log_time": 0.07, "strength": 0.03, "beverage_g": 2.0, "liking": 0.45, "marks": 0.6}
# How far along each lever the miss is alike: the dial as a share of its span, water in kelvins, the
# others as logarithms, a swirl as one. A lever that moves a cup little moves little of what is
# missed of it: else a longer bloom looks as good a ticket as another grind (about in proportion to
# how misses of our virtual people grow; our own, by `tests/benchmarks/what_is_missed.py`). The
# ratio is alike over less: where no cup was a win, another strength is the win more often than the
# misses of near recipes tell.
GRIND_LENGTH = 0.09
RATIO_LENGTH = 0.09
WATER_LENGTH_K = 20.0
RATE_LENGTH = 0.55
BLOOM_LENGTH = 0.65
BLOOM_TIME_LENGTH = 1.5
SWIRL_LENGTH = 3.0
NUGGET = 1e-3  # share of the miss that is of one recipe alone; keeps the kernel invertible


def scaled(brews: Brews) -> Floats:
    """Return recipes in lengths of the kernel, (c, 7)."""
    rows = brews.rows
    return np.stack(
        (
            brews.coarse / GRIND_LENGTH,
            np.log(rows[:, RATIO]) / RATIO_LENGTH,
            rows[:, WATER] / WATER_LENGTH_K,
            np.log(rows[:, RATE]) / RATE_LENGTH,
            np.log(np.maximum(rows[:, BLOOM], 0.2)) / BLOOM_LENGTH,
            np.log(np.maximum(rows[:, BLOOM_TIME], 2.0)) / BLOOM_TIME_LENGTH,
            rows[:, SWIRL] / SWIRL_LENGTH,
        ),
        axis=1,
    )


def kernel(left: Floats, right: Floats) -> Floats:
    """Return how alike the misses of two sets of recipes are, (c, k), 1 for the same recipe."""
    apart = ((left[:, None] - right[None]) ** 2).sum(axis=-1)
    return np.asarray(np.exp(-0.5 * apart))


@dataclass(frozen=True, slots=True)
class Rotation:
    """Cups that one quantity was seen of, turned so that their misses are independent.

    Attributes:
        which: the cups, (s,).
        root_weight: square root of how far each counts, (s,).
        turn: eigenvectors of the weighted kernel, (s, s).
        spread: its eigenvalues, (s,).
    """

    which: NDArray[np.intp]
    root_weight: Floats
    turn: Floats
    spread: Floats

    def turned(self, residual: Floats) -> Floats:
        """Return residuals of all cups, (n, c), as independent ones, (n, s)."""
        return np.asarray((residual[:, self.which] * self.root_weight) @ self.turn)


def rotation_of(alike: Floats, known: NDArray[np.bool_], weight: Floats) -> Rotation:
    """Return the rotation of the cups a quantity was seen of.

    Args:
        alike: the kernel at the cups, (c, c).
        known: which cups it was seen of, (c,).
        weight: how far each cup counts, (c,).
    """
    which = np.flatnonzero(known & (weight > 0.0))
    root = np.sqrt(weight[which])
    spread, turn = np.linalg.eigh(alike[np.ix_(which, which)] * np.outer(root, root))
    return Rotation(which, root, turn, np.maximum(spread, 0.0))


def corrected(
    rotation: Rotation, residual: Floats, across: Floats, miss: float, noise: Floats
) -> tuple[Floats, Floats]:
    """Return the miss expected at candidates, (n, k), and its variance, (n, k).

    Args:
        rotation: of the cups.
        residual: seen less expected, (n, c).
        across: the kernel between cups and candidates, (c, k).
        miss: standard deviation of the miss.
        noise: standard deviation of what is seen, (n, 1).
    """
    variance = miss * miss * rotation.spread + noise * noise  # (n, s)
    through = (across[rotation.which] * rotation.root_weight[:, None]).T @ rotation.turn  # (k, s)
    gain = miss * miss * rotation.turned(residual) / variance
    told = (miss**4 / variance) @ (through * through).T
    return gain @ through.T, np.maximum(miss * miss - told, 0.0)


@dataclass(frozen=True, slots=True)
class Imagined:
    """For each draw one miss at the tried recipes, as likely as any, and what follows elsewhere.

    Attributes:
        at: the distinct tried recipes in lengths of the kernel, (u, 7).
        misses: at each of them, (n, u).
        inverse: of the kernel among them, (u, u).
        miss: standard deviation of the miss.
    """

    at: Floats
    misses: Floats
    inverse: Floats
    miss: float

    def elsewhere(self, rows: Floats) -> tuple[Floats, Floats]:
        """Return the miss expected at recipes, (n, k), and its variance, (k,)."""
        across = kernel(self.at, rows)  # (u, k)
        share = self.inverse @ across
        left = 1.0 - (across * share).sum(axis=0)
        return self.misses @ share, self.miss**2 * np.maximum(left, NUGGET)

    def between(self, rows: Floats, one: Floats) -> Floats:
        """Return the covariance of the misses of recipes, (k, 7), and one more, (k,)."""
        across, single = kernel(self.at, rows), kernel(self.at, one[None])
        alike = kernel(rows, one[None])[:, 0] - (across.T @ self.inverse @ single)[:, 0]
        return self.miss**2 * alike


def imagined(
    rotation: Rotation,
    residual: Floats,
    places: tuple[Floats, Floats],
    miss: float,
    noise: Floats,
    rng: np.random.Generator,
) -> Imagined:
    """Return one miss a draw at the tried recipes, given what was seen.

    Args:
        rotation: of the cups.
        residual: seen less expected, (n, c).
        places: all cups, (c, 7), and the distinct recipes among them, (u, 7), in lengths.
        miss: standard deviation of the miss.
        noise: standard deviation of what is seen, (n, 1).
        rng: for the draw.
    """
    cups, at = places
    alike = kernel(at, at) + NUGGET * np.eye(len(at))
    mean = np.zeros((len(noise), len(at)))
    covariance = np.repeat(miss * miss * alike[None], len(noise), axis=0)
    if len(rotation.which):
        across = kernel(cups, at)
        variance = miss * miss * rotation.spread + noise * noise  # (n, s)
        through = (across[rotation.which] * rotation.root_weight[:, None]).T @ rotation.turn
        mean = (miss * miss * rotation.turned(residual) / variance) @ through.T
        told = (miss**4 / variance)[:, None, :] * through
        covariance = covariance - told @ through.T
        covariance += miss * miss * NUGGET * np.eye(len(at))
    root = np.linalg.cholesky(covariance)
    drawn = (root @ rng.standard_normal((*mean.shape, 1)))[..., 0]
    inverse = np.asarray(np.linalg.inv(alike), dtype=np.float64)
    return Imagined(at, mean + drawn, inverse, miss)
