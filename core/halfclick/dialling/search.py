"""Where the best cup of each draw lies, and which cups are one change away from another.

Axes: n draws, k candidates, v levers.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.forward import Brews, likings_of
from halfclick.dialling.grids import GRIND, Grids
from halfclick.dialling.request import LEVERS, Context
from halfclick.dialling.unknowns import Draws

Floats = NDArray[np.float64]
SCATTERED = 48  # recipes tried for every draw at first
ALONG = 9  # values tried along each lever in turn
ROUNDS = 2
# What people move a lever by when they search: a share of the dial's span, g/g, degrees Celsius,
# g/s, times the dose, s, swirls (the middle of what practitioners report; our own defaults).
SEARCH_STEPS = np.array([0.05, 1.5, 3.0, 2.0, 0.75, 15.0, 1.0])
# A search is no finer than so many values of a lever (our own default).
FINEST = 11
FINEST_GRIND = 20


def best_of_each(
    draws: Draws,
    context: Context,
    middle: float,
    grids: Grids,
    tried: Floats,
    rng: np.random.Generator,
) -> Floats:
    """Return how well each draw's best reachable cup is liked, (n,).

    Args:
        draws: what is believed.
        context: the kit and the coffee.
        middle: the setting at which sizes are believed.
        grids: what can be set.
        tried: cups that are looked at too, (c, v).
        rng: for the scattered recipes.
    """
    scattered = np.stack([rng.choice(one, SCATTERED) for one in grids.values], axis=1)
    for lever, still in enumerate(grids.fixed):
        if still:
            scattered[:, lever] = tried[0, lever]
    rows = np.concatenate((scattered, tried))
    likings = likings_of(draws, Brews(rows, context, middle))
    best = rows[likings.argmax(axis=1)]  # (n, v)
    liking: Floats = np.asarray(likings.max(axis=1))
    each = np.arange(len(best))
    for _ in range(ROUNDS):
        for lever, one in enumerate(grids.values):
            if grids.fixed[lever] or len(one) < 2:
                continue
            values = spread_out(one, ALONG if lever != GRIND else 2 * ALONG)
            moved = np.repeat(best[:, None], len(values), axis=1)  # (n, a, v)
            moved[..., lever] = values
            likings = likings_of(draws, Brews(moved, context, middle))
            top = likings.argmax(axis=1)
            better = likings[each, top] > liking
            best[better, lever] = values[top[better]]
            liking = np.asarray(np.maximum(liking, likings[each, top]))
    return liking


def steps_apart(rows: Floats, starts: Floats) -> Floats:
    """Return how many search steps each recipe is from where it starts, (k,)."""
    return np.asarray((np.abs(rows - starts) / SEARCH_STEPS).sum(axis=1))


def spread_out(values: Floats, most: int) -> Floats:
    """Return at most so many of the values, evenly, both ends among them."""
    if len(values) <= most:
        return values
    places = np.unique(np.linspace(0, len(values) - 1, most).round().astype(np.intp))
    return np.asarray(values[places], dtype=np.float64)


def one_change_from(row: Floats, grids: Grids) -> Floats:
    """Return the recipes that differ from one in one lever, (k, v)."""
    found = []
    for lever in range(len(LEVERS)):
        if grids.fixed[lever]:
            continue
        values = grids.values[lever]
        most = FINEST_GRIND if lever == GRIND else FINEST
        values = np.union1d(spread_out(values, most), _around(values, row[lever]))
        values = values[np.abs(values - row[lever]) > 1e-9]
        moved = np.repeat(row[None], len(values), axis=0)
        moved[:, lever] = values
        found.append(moved)
    return np.concatenate(found) if found else np.empty((0, len(LEVERS)))


def _around(values: Floats, value: float) -> Floats:
    """Return the few nearest values that can be set: refining is done among them."""
    place = int(np.searchsorted(values, value))
    return np.asarray(values[max(place - 2, 0) : place + 3])


def changed(one: Floats, other: Floats) -> int:
    """Return in how many levers two recipes differ."""
    return int((np.abs(one - other) > 1e-9).sum())


def distinct(rows: Sequence[Floats]) -> list[int]:
    """Return the places of recipes that differ from all later ones."""
    kept: list[int] = []
    for place in reversed(range(len(rows))):
        if all(changed(rows[place], rows[other]) for other in kept):
            kept.append(place)
    return kept[::-1]
