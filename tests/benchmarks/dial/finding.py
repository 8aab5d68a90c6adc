"""The best reachable cup of a world, and a dialler that knows the hidden equations."""

from collections.abc import Sequence

import numpy as np

from dial.levers import Floats, one_change_away
from dial.world import CLOSE, World

FIRST = 1500
BRED = 500
GENERATIONS = 5
PARENTS = 12


def best_row(world: World) -> tuple[Floats, float]:
    """Return the settings with the highest liking without noise, and that liking.

    Random settings, a few generations around the best of them with shrinking steps, then sweeps
    along every lever over its whole grid until nothing is gained.
    """
    rng = np.random.default_rng((world.seed, 31337))
    grids = world.grids
    rows = random_rows(rng, grids, FIRST)
    values = world.expected(rows)
    for generation in range(GENERATIONS):
        top = np.argsort(-values)[:PARENTS]
        parents = rows[top][rng.integers(0, PARENTS, BRED)]
        bred = _bred(rng, parents, grids, 0.15 * 0.6**generation)
        rows = np.concatenate([rows[top], bred])
        values = np.concatenate([values[top], world.expected(bred)])
    here = rows[int(values.argmax())]
    value = float(values.max())
    for _ in range(6):
        near = one_change_away(here, grids)
        likings = world.expected(near)
        if likings.max() <= value + 1e-6:
            break
        here, value = near[int(likings.argmax())], float(likings.max())
    return here, value


def random_rows(rng: np.random.Generator, grids: Sequence[Floats], count: int) -> Floats:
    """Return settings drawn evenly over the grids, shape (count, 7)."""
    return np.stack([grid[rng.integers(0, len(grid), count)] for grid in grids], axis=1)


def brews_of_clairvoyant(world: World, start: Floats, best: float, most: int = 12) -> int:
    """Return in how many brews one who knows everything gets there, one change at a time.

    Looks one and two changes ahead exactly over thinned grids, and climbs where that is not
    enough: a close bound from above on the fewest brews.
    """
    here = start
    if float(world.expected(here[None])[0]) >= best - CLOSE:
        return 1
    for brew in range(2, most + 1):
        near = one_change_away(here, world.grids)
        likings = world.expected(near)
        if likings.max() >= best - CLOSE:
            return brew
        if brew + 1 <= most:
            second = _after_one_more(world, near, likings)
            here = second
    return most + 1


def needs_levers(world: World, start: Floats, best: float) -> int:
    """Return the fewest levers of 1, 2 that reach the best from the start, or 3 for more."""
    near = one_change_away(start, world.grids)
    likings = world.expected(near)
    if likings.max() >= best - CLOSE:
        return 1
    follow = _pairs(world, near, likings)
    return 2 if follow[1] >= best - CLOSE else 3


def _after_one_more(world: World, near: Floats, likings: Floats) -> Floats:
    return near[_pairs(world, near, likings)[0]]


def _pairs(world: World, near: Floats, likings: Floats) -> tuple[int, float]:
    """Return which first change is best followed, and how well, over thinned grids."""
    thin = [grid[:: max(len(grid) // 10, 1)] for grid in world.grids]
    # The best first changes of each lever, so that none is left out.
    moved = np.abs(near - near[0]) > 1e-9
    chosen: list[int] = []
    for column in range(near.shape[1]):
        of_lever = np.flatnonzero(moved[:, column])
        chosen += of_lever[np.argsort(-likings[of_lever])[:6]].tolist()
        chosen += of_lever[:: max(len(of_lever) // 4, 1)].tolist()
    rows = [one_change_away(near[index], thin) for index in chosen]
    owners = np.repeat(np.array(chosen), [len(one) for one in rows])
    after = world.expected(np.concatenate(rows))
    at = int(after.argmax())
    return int(owners[at]), float(after[at])


def _bred(
    rng: np.random.Generator, parents: Floats, grids: Sequence[Floats], share: float
) -> Floats:
    out = parents.copy()
    for column, grid in enumerate(grids):
        index = np.abs(parents[:, column, None] - grid).argmin(axis=1)
        step = np.round(rng.normal(size=len(parents)) * max(share * len(grid), 0.8)).astype(int)
        moves = rng.random(len(parents)) < 0.4
        out[:, column] = grid[np.clip(index + step * moves, 0, len(grid) - 1)]
    return out
