"""How likely a cup is the first win, where the cups so far were none.

What the form misses of the tried cups is imagined once for each sample, so that a cup close to one
that was no win is hardly one either: without that, a near-miss is polished for ever. Late in a
search most samples hold that some cup was a win already; so as many as are reckoned with are drawn
anew from the few that do not.

Axes: m samples, n draws of them, u tried recipes, k candidates.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.discrepancy import Imagined, scaled
from halfclick.dialling.evidence import chance
from halfclick.dialling.forward import Brews, likings_of
from halfclick.dialling.unknowns import Draws

Floats = NDArray[np.float64]
WIN_WITHIN = 0.5
SOFT = 0.2  # points of liking by which the best reachable is itself unsure
SELDOM = 1e-4  # the weight of a draw by which some cup was a win already


@dataclass(frozen=True, slots=True)
class Beliefs:
    """Draws of what is believed, how well the best reachable cup of each is liked, and misses.

    Attributes:
        draws: by name, each (n, 1).
        best_liking: (n,).
        misses: what the form misses of the liking of the tried recipes, and follows elsewhere.
    """

    draws: Draws
    best_liking: Floats
    misses: Imagined

    def at(self, places: NDArray[np.intp]) -> "Beliefs":
        """Return the draws at some places."""
        return Beliefs(
            {name: one[places] for name, one in self.draws.items()},
            self.best_liking[places],
            replace(self.misses, misses=self.misses.misses[places]),
        )


class FirstWin:
    """Answers about cups to come, given that no cup so far was a win."""

    def __init__(
        self, every: Beliefs, tried: Brews, rng: np.random.Generator, *, count: int
    ) -> None:
        """Draw so many beliefs by which no tried recipe was a win.

        Args:
            every: samples of what is believed, (m,).
            tried: the distinct tried recipes, (u,).
            rng: for what stays unsure.
            count: n.
        """
        self._like, self._rng = tried, rng
        off = SOFT * rng.standard_normal(len(every.best_liking))
        least = (every.best_liking + off - WIN_WITHIN)[:, None]
        won = (_likings_of_tried(every, tried) >= least).any(axis=1)
        weight = np.where(won, SELDOM, 1.0)
        places = _evenly(weight / weight.sum(), count, rng)
        self.beliefs = every.at(places)
        self._from = least[places]

    def wins(self, rows: Floats) -> tuple[Floats, Floats]:
        """Return the chance that candidates are wins, (n, k), and their likings, (n, k)."""
        liking, variance = self._likings(rows)
        return chance((liking - self._from) / np.sqrt(variance)), liking

    def likings_of_tried(self) -> Floats:
        """Return how well the tried recipes are liked, (n, u)."""
        return _likings_of_tried(self.beliefs, self._like)

    def follow(self, row: Floats, rows: Floats) -> tuple[Floats, Floats]:
        """Return where a candidate is no win, and chances of cups after it, (n,) and (n, k).

        What the form misses of the candidate is imagined too.
        """
        liking, variance = self._likings(row[None])
        drawn = np.sqrt(variance) * self._rng.standard_normal(liking.shape)  # (n, 1)
        lost = np.asarray((liking + drawn < self._from)[:, 0], dtype=np.float64)
        at, one = self._scaled(rows), self._scaled(row[None])[0]
        shared = self.beliefs.misses.between(at, one)  # (k,)
        after, spread = self._likings(rows)
        after = after + drawn * (shared / variance)
        spread = np.maximum(spread - shared**2 / variance, 1e-3 * spread)
        return lost, chance((after - self._from) / np.sqrt(spread))

    def _likings(self, rows: Floats) -> tuple[Floats, Floats]:
        brews = self._brews(rows)
        miss, variance = self.beliefs.misses.elsewhere(scaled(brews))
        return likings_of(self.beliefs.draws, brews) + miss, variance

    def _scaled(self, rows: Floats) -> Floats:
        return scaled(self._brews(rows))

    def _brews(self, rows: Floats) -> Brews:
        return Brews(rows, self._like.context, self._like.middle)


def _likings_of_tried(beliefs: Beliefs, tried: Brews) -> Floats:
    return likings_of(beliefs.draws, tried) + beliefs.misses.misses


def _evenly(weight: Floats, count: int, rng: np.random.Generator) -> NDArray[np.intp]:
    """Return places drawn by their weights, (m,), as evenly as so many draws can be."""
    at = (np.arange(count) + rng.random()) / count
    return np.minimum(np.searchsorted(np.cumsum(weight), at), len(weight) - 1)
