"""How likely a cup is the first win, where the cups so far were none.

What the form misses of the tried cups is imagined once for each draw, so that a cup close to one
that was no win is hardly one either: without that, a near-miss is polished for ever.

Axes: n draws, u tried recipes, k candidates.
"""

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


class FirstWin:
    """Answers about cups to come, given that no cup so far was a win."""

    def __init__(
        self,
        draws: Draws,
        tried: Brews,
        misses: Imagined,
        best_liking: Floats,
        rng: np.random.Generator,
    ) -> None:
        self._draws, self._misses, self._like = draws, misses, tried
        self._rng = rng
        off = SOFT * rng.standard_normal(len(best_liking))
        self._from = (best_liking + off - WIN_WITHIN)[:, None]
        won = (likings_of(draws, tried) + misses.misses >= self._from).any(axis=1)
        weight = np.where(won, SELDOM, 1.0)
        self.weight: Floats = weight / weight.sum()  # (n,)

    def wins(self, rows: Floats) -> tuple[Floats, Floats]:
        """Return the chance that candidates are wins, (n, k), and their likings, (n, k)."""
        liking, variance = self._likings(rows)
        return chance((liking - self._from) / np.sqrt(variance)), liking

    def follow(self, row: Floats, rows: Floats) -> tuple[Floats, Floats]:
        """Return where a candidate is no win, weighted, (n,), and chances of cups after it, (n, k).

        What the form misses of the candidate is imagined too.
        """
        liking, variance = self._likings(row[None])
        drawn = np.sqrt(variance) * self._rng.standard_normal(liking.shape)  # (n, 1)
        lost = self.weight * (liking + drawn < self._from)[:, 0]
        at, one = self._scaled(rows), self._scaled(row[None])[0]
        shared = self._misses.between(at, one)  # (k,)
        after, spread = self._likings(rows)
        after = after + drawn * (shared / variance)
        spread = np.maximum(spread - shared**2 / variance, 1e-3 * spread)
        return lost, chance((after - self._from) / np.sqrt(spread))

    def _likings(self, rows: Floats) -> tuple[Floats, Floats]:
        brews = self._brews(rows)
        miss, variance = self._misses.elsewhere(scaled(brews))
        return likings_of(self._draws, brews) + miss, variance

    def _scaled(self, rows: Floats) -> Floats:
        return scaled(self._brews(rows))

    def _brews(self, rows: Floats) -> Brews:
        return Brews(rows, self._like.context, self._like.middle)
