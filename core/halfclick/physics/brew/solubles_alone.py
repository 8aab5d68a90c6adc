"""The solubles of a single brew, followed by a small matrix a step.

The equations are those of `solubles.rates`. For one brew they are sums over arrays of a few dozen
numbers, and asking for a sum takes longer than the sum; here all that happens outside the grains
is one product with a matrix, and few sums are left.

All that is held stands in one row: the stores (k, l, s), and then, called around, what is between
the grains (l, s), in the pond and in the cup.
"""

from typing import NamedTuple

import numpy as np

from halfclick.physics.brew.arrays import Floats
from halfclick.physics.brew.solubles import Carried, Followed, Moments


class Steps(NamedTuple):
    """What multiplies what is held at one end of each step: the change in the whole of it."""

    push: Floats  # (t, k, cells) out of each store, by its solubles
    pull: Floats  # (t, k, cells) back into it, by the solubles between the grains beside it
    around: Floats  # (t, cells + 2, cells + 1) by the solubles around, all but the cup's


class Row:
    """What is held, or how much that changes, in one row; and its parts."""

    def __init__(self, kinds: int, cells: int) -> None:
        self.whole = np.zeros(kinds * cells + cells + 2)
        self.stores = self.whole[: kinds * cells].reshape(kinds, cells)
        self.around = self.whole[kinds * cells :]
        self.between = self.around[:cells]
        self.acting = self.around[:-1]  # all but the cup's, which acts on nothing


def follow_one(moments: Moments, carried: Carried, start_g: Floats, step_s: Floats) -> Followed:
    """Follow the solubles of one brew by Heun's method, as `solubles.follow` does many."""
    kinds, layers, streams, _ = start_g.shape
    begun = _steps(Moments(*(one[:-1] for one in moments)), carried, layers, step_s)
    ended = _steps(Moments(*(one[1:] for one in moments)), carried, layers, step_s)
    held, change, ahead, again = (Row(kinds, layers * streams) for _ in range(4))
    held.stores[:] = start_g.reshape(held.stores.shape)
    spare = np.empty_like(held.stores)
    kept_g = np.zeros((len(step_s) + 1, 2))
    now, then = zip(*begun, strict=True), zip(*ended, strict=True)
    for into_g, start, end in zip(kept_g[1:], now, then, strict=True):
        _write_change(start, held, change, spare)
        np.add(held.whole, change.whole, out=ahead.whole)
        _write_change(end, ahead, again, spare)
        change.whole += again.whole
        change.whole *= 0.5
        held.whole += change.whole
        into_g[:] = held.around[-2:]
    left_g = held.whole[:-2].reshape(kinds + 1, layers, streams, 1)
    return Followed(kept_g[:, 1:], kept_g[:, :1], left_g)


def _write_change(at: tuple[Floats, Floats, Floats], held: Row, change: Row, spare: Floats) -> None:
    """Write how much what is held changes in a step, at the rates of one of its ends."""
    push, pull, around = at
    np.multiply(pull, held.between, out=change.stores)
    np.multiply(push, held.stores, out=spare)
    change.stores -= spare
    np.dot(around, held.acting, out=change.around)
    change.between -= np.add.reduce(change.stores, axis=0)


def _steps(moments: Moments, carried: Carried, layers: int, step_s: Floats) -> Steps:
    """Return what multiplies at one end of each step, moments being of that end, (t, ...)."""
    steps, kinds, _, streams, _ = moments.push_per_s.shape
    cells, each = layers * streams, (steps, kinds, layers, streams)
    long_s = step_s[:, None]  # (t, 1)
    per_g, per_pond_g = long_s * moments.per_g, long_s * moments.per_pond_g
    push = long_s[..., None, None] * moments.push_per_s[..., 0]
    pull = per_g[..., None, None] * moments.pull_g_s[..., 0]
    between = carried.between[..., 0] * per_g[:, :, None]  # (t, l + 1, s)
    film = long_s * carried.film_per_s
    cell, pond, cup = np.arange(cells), cells, cells + 1
    top, last = cell[:streams], cell[-streams:]
    around = np.zeros((steps, cells + 2, cells + 1))
    around[:, cell, cell] = -(carried.lost[..., 0] * per_g[:, :, None]).reshape(steps, -1)
    around[:, cell[streams:], cell[:-streams]] = between[:, 1:-1].reshape(steps, -1)
    around[:, :cells, pond] = carried.mixed * per_pond_g
    around[:, top, pond] += carried.between[:, 0, :, 0] * per_pond_g + film / streams
    around[:, pond, :cells] = carried.mixed * per_g
    around[:, pond, pond] = -(carried.left * per_pond_g + film)[:, 0]
    around[:, cup, last] = between[:, -1]
    around[:, cup, pond] = (carried.past * per_pond_g)[:, 0]
    return Steps(
        push=np.broadcast_to(push, each).reshape(steps, kinds, cells),
        pull=np.broadcast_to(pull, each).reshape(steps, kinds, cells),
        around=around,
    )
