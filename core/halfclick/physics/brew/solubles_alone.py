"""The solubles of a single brew, followed by the matrix of each step.

The equations are those of `solubles.rates`. For one brew they are sums over arrays of a few dozen
numbers, and asking for a sum takes longer than the sum: two products with a matrix are several
times as quick as fifty such sums.

All that is held stands in one row: the stores (k, l, s), between the grains (l, s), the pond, the
cup.
"""

import numpy as np

from halfclick.physics.brew.arrays import Floats
from halfclick.physics.brew.solubles import Carried, Followed, Moments

# So many steps have matrices at a time: they stay in the processor's nearer memory.
CHUNK = 32


def follow_one(moments: Moments, carried: Carried, start_g: Floats, step_s: Floats) -> Followed:
    """Follow the solubles of one brew, as `solubles.follow` does many.

    A step of Heun's method is x / 2 + (1 + h A') (1 + h A) x / 2, with A at its start and A' at
    its end.
    """
    stores, cells = start_g.size, start_g[0].size
    held_g = np.zeros((len(step_s) + 1, stores + cells + 2))
    held_g[0, :stores] = start_g.ravel()
    ahead_g = np.empty(held_g.shape[1])
    begun, ended = (_Matrices(*start_g.shape[:3]) for _ in range(2))
    for first in range(0, len(step_s), CHUNK):
        some = slice(first, min(first + CHUNK, len(step_s)))
        now = begun.write(_moments_in(moments, some), _carried_in(carried, some), step_s[some])
        after = slice(some.start + 1, some.stop + 1)
        then = ended.write(_moments_in(moments, after), _carried_in(carried, some), step_s[some])
        then *= 0.5
        for i, start, end in zip(range(some.start, some.stop), now, then, strict=True):
            np.dot(start, held_g[i], out=ahead_g)
            np.dot(end, ahead_g, out=held_g[i + 1])
            held_g[i + 1] += 0.5 * held_g[i]
    left_g = held_g[-1, :-2].reshape(start_g.shape[0] + 1, *start_g.shape[1:])
    return Followed(held_g[:, -1:], held_g[:, -2:-1], left_g)


class _Matrices:
    """Room for the matrices 1 + h A of a chunk of steps, written again for each chunk."""

    def __init__(self, kinds: int, layers: int, streams: int) -> None:
        self._shape = kinds, layers, streams
        self._cells = cells = layers * streams
        self._stores = kinds * cells
        size = self._stores + cells + 2
        self._room = np.zeros((CHUNK, size, size))

    def write(self, moments: Moments, carried: Carried, step_s: Floats) -> Floats:
        """Return the matrices of some steps, (t, held, held), from what is given in each (t, ...).

        They are good until the next are asked for.
        """
        kinds, layers, streams = self._shape
        steps, cells = len(step_s), self._cells
        each = (steps, kinds, layers, streams)
        push = step_s[:, None, None, None, None] * moments.push_per_s  # (t, k, 1, s, 1)
        pull = step_s[:, None, None, None, None] * moments.pull_g_s
        push_of = np.broadcast_to(push[..., 0], each).reshape(steps, -1)  # (t, k l s)
        pull_of = np.broadcast_to(pull[..., 0], each) * moments.per_g[:, :, None, None]
        per_g, per_pond_g = step_s[:, None] * moments.per_g, step_s[:, None] * moments.per_pond_g
        film = step_s[:, None] * carried.film_per_s  # (t, 1)
        between = carried.between[..., 0] * per_g[:, :, None]  # (t, l + 1, s)
        lost = carried.lost[..., 0] * per_g[:, :, None] + pull_of.sum(axis=1)  # (t, l, s)
        above = np.broadcast_to((carried.mixed * per_pond_g)[:, :, None], lost.shape).copy()
        above[:, 0] += carried.between[:, 0, :, 0] * per_pond_g + film / streams
        room = self._room[:steps]
        store = np.arange(self._stores)
        cell = self._stores + np.arange(cells)
        around = self._stores + store % cells
        pond, cup = self._stores + cells, self._stores + cells + 1
        room[:, store, store] = 1.0 - push_of
        room[:, store, around] = pull_of.reshape(steps, -1)
        room[:, around, store] = push_of
        room[:, cell, cell] = 1.0 - lost.reshape(steps, -1)
        room[:, cell[streams:], cell[:-streams]] = between[:, 1:-1].reshape(steps, -1)
        room[:, cell, pond] = above.reshape(steps, -1)
        room[:, pond, cell] = carried.mixed * per_g
        room[:, pond, pond] = (1.0 - carried.left * per_pond_g - film)[:, 0]
        room[:, cup, cell[-streams:]] = between[:, -1]
        room[:, cup, pond] = (carried.past * per_pond_g)[:, 0]
        room[:, cup, cup] = 1.0
        return room


def _moments_in(moments: Moments, some: slice) -> Moments:
    return Moments(*(values[some] for values in moments))


def _carried_in(carried: Carried, some: slice) -> Carried:
    return Carried(*(values[some] for values in carried))
