"""Rows of a belief as the brews weigh them, where a normal belief is only nearly right."""

from collections.abc import Sequence
from dataclasses import fields

import numpy as np

from halfclick.physics.brew.arrays import Floats, Kits, Recipes, stack
from halfclick.physics.brew.calibrate import (
    COARSE_S,
    OF_A_COFFEE,
    TAILS,
    Belief,
    Brewed,
    seen_of,
    told_of,
)
from halfclick.physics.brew.simulate import Outcome, simulate_pairs

# The fewest rows that must carry a belief once brews have weighed them (our own default).
CARRIED_BY = 40.0


def weigh(
    belief: Belief, brews: Sequence[Brewed], rng: np.random.Generator, *, count: int, drawn: int
) -> Floats:
    """Return rows of a belief as the brews weigh them, (count, d).

    The normal belief is only right where the simulation is straight; where resistances add up it
    is bent. So more rows are drawn than are wanted, each is held against the brews, and rows are
    kept as often as they deserve; tempered where too few would carry the rest.

    Args:
        belief: what the brews taught, from `calibrate`.
        brews: the same brews.
        rng: where chance comes from.
        count: rows wanted.
        drawn: rows drawn first.
    """
    weighing = Weighing(belief, brews, rng, drawn=drawn)
    if not brews:
        return weighing.rows[:count]
    return weighing.hear(simulate_pairs(*weighing.ask(), step_s=COARSE_S), count=count)


class Weighing:
    """The weighing of one belief, so that many may share a simulation."""

    def __init__(
        self, belief: Belief, brews: Sequence[Brewed], rng: np.random.Generator, *, drawn: int
    ) -> None:
        self._belief, self._brews, self._rng = belief, brews, rng
        self._normals = rng.standard_normal((drawn, len(belief.mean)))
        self.rows = belief.draw(self._normals)

    def ask(self) -> tuple[Kits, Recipes]:
        """Return the brews to be simulated: each brew with every row."""
        drawn = len(self.rows)
        fresh = np.zeros((drawn, len(OF_A_COFFEE)))
        kits = [self._belief.kits(self.rows, fresh, brew.coffee) for brew in self._brews]
        recipes = stack([brew.recipe for brew in self._brews])
        return joined(kits), recipes.take(np.repeat(np.arange(len(self._brews)), drawn))

    def hear(self, outcome: Outcome, *, count: int) -> Floats:
        """Return so many rows, each as often as it deserves by what was told of it."""
        drawn = len(self.rows)
        seen, sd, known = seen_of(self._brews)
        told = told_of(outcome, self._brews, drawn)  # (b, n, 3)
        off = np.where(known[:, None], (seen[:, None] - told) / sd[:, None], 0.0)
        tails = -0.5 * (TAILS + 1.0) * np.log1p(off**2 / TAILS)
        weights = np.array([brew.weight for brew in self._brews])[:, None]
        likely = (tails.sum(axis=2) * weights).sum(axis=0)
        # The prior over the density that the rows were drawn with, both normal.
        drawn_by = 0.5 * (self._normals**2).sum(axis=1) - 0.5 * (self.rows**2).sum(axis=1)
        share = np.cumsum(_tempered(likely + drawn_by))
        places = (self._rng.random() + np.arange(count)) / count
        return np.asarray(self.rows[np.searchsorted(share, places).clip(0, drawn - 1)])


def joined(kits: Sequence[Kits]) -> Kits:
    """Return the rows of many as one."""
    return Kits(
        **{
            field.name: np.concatenate([getattr(one, field.name) for one in kits])
            for field in fields(Kits)
        }
    )


def _tempered(log_weight: Floats) -> Floats:
    """Return weights that sum to 1, flattened as far as is needed for enough to carry them."""
    share = 1.0
    while True:
        weight = np.exp(share * (log_weight - log_weight.max()))
        weight /= weight.sum()
        if 1.0 / float((weight**2).sum()) >= min(CARRIED_BY, len(weight) / 2) or share < 1e-3:
            return np.asarray(weight)
        share *= 0.8
