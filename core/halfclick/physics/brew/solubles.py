"""How solubles move between the grains, the water around them, the pond and the cup.

Axes: t times, k stores, l layers from the top, s streams, b brews. The equations are linear in the
solubles; `rates` holds them, and `solubles_alone` the same as matrices for a single brew.
"""

from typing import NamedTuple

import numpy as np

from halfclick.physics.brew.arrays import Floats


class Moment(NamedTuple):
    """What multiplies the solubles at one time."""

    per_g: Floats  # (b,) from a layer's solubles to its strength
    per_pond_g: Floats  # (b,)
    push_per_s: Floats  # (k, 1, s, b) of a store's solubles
    pull_g_s: Floats  # (k, 1, s, b) of the strength around it


class Moments(Moment):
    """The same at each time, each with a first axis (t, ...)."""


class Carry(NamedTuple):
    """The water that carries solubles in one step, g/s."""

    between: Floats  # (l + 1, s, b) above, between and below the layers
    lost: Floats  # (l, s, b) out of each layer, by flow and mixing
    mixed: Floats  # (b,) between the pond and each layer of each stream
    left: Floats  # (b,) out of the pond, by flow and mixing
    past: Floats  # (b,)
    film_per_s: Floats  # (b,) of the pond's solubles


class Carried(Carry):
    """The same in each step, each with a first axis (t - 1, ...)."""


class Followed(NamedTuple):
    """Where the solubles of brews went."""

    cup_g: Floats  # (t, b)
    pond_g: Floats  # (t, b)
    held_g: Floats  # (k + 1, l, s, b) at the end, in the stores and then between the grains


class Spare(NamedTuple):
    """Room to reckon in, so that none is asked for at every step."""

    stores: Floats  # (k, l, s, b)
    between: Floats  # (l, s, b)


def follow(moments: Moments, carried: Carried, start_g: Floats, step_s: Floats) -> Followed:
    """Follow the solubles of many brews by Heun's method, of second order.

    Args:
        moments: (t, ...).
        carried: (t - 1, ...).
        start_g: in the stores at first, (k, l, s, b).
        step_s: between two times, (t - 1,).
    """
    kinds, layers, streams, brews = start_g.shape
    held_g = np.zeros((kinds + 1, layers, streams, brews))
    held_g[:-1] = start_g
    first, again, ahead_g = np.empty_like(held_g), np.empty_like(held_g), np.empty_like(held_g)
    spare = Spare(np.empty_like(held_g[:-1]), np.empty_like(held_g[-1]))
    pond_g, cup_g = np.zeros(brews), np.zeros(brews)
    kept = np.zeros((2, len(step_s) + 1, brews))
    each_time = [Moment(*rows) for rows in zip(*moments, strict=True)]
    each_step = [Carry(*rows) for rows in zip(*carried, strict=True)]
    for i, (carry, whole_s) in enumerate(zip(each_step, step_s.tolist(), strict=True)):
        half_s = 0.5 * whole_s
        pond, cup = rates(each_time[i], carry, held_g, pond_g, first, spare)
        np.multiply(first, whole_s, out=ahead_g)
        ahead_g += held_g
        ahead_pond_g = pond_g + whole_s * pond
        pond_again, cup_again = rates(each_time[i + 1], carry, ahead_g, ahead_pond_g, again, spare)
        first += again
        first *= half_s
        held_g += first
        pond_g = pond_g + half_s * (pond + pond_again)
        cup_g = cup_g + half_s * (cup + cup_again)
        kept[0, i + 1], kept[1, i + 1] = cup_g, pond_g
    return Followed(kept[0], kept[1], held_g)


def rates(
    at: Moment, carry: Carry, held_g: Floats, pond_g: Floats, change: Floats, spare: Spare
) -> tuple[Floats, Floats]:
    """Return how fast the solubles in the pond and in the cup change.

    How fast the others do is written into `change`, of the shape of `held_g`, (k + 1, l, s, b).
    """
    stores, between = change[:-1], change[-1]
    given, strength = spare
    np.multiply(held_g[-1], at.per_g, out=strength)
    above = pond_g * at.per_pond_g
    np.multiply(at.pull_g_s, strength, out=stores)
    np.multiply(at.push_per_s, held_g[:-1], out=given)
    stores -= given
    np.add.reduce(stores, axis=0, out=between)
    cup = (carry.between[-1] * strength[-1]).sum(axis=0) + carry.past * above
    film = carry.film_per_s * pond_g
    pond = carry.mixed * strength.sum(axis=(0, 1)) - carry.left * above - film
    lost, passed = given[0], given[1][:-1]
    np.multiply(carry.lost, strength, out=lost)
    between += lost
    np.subtract(carry.mixed * above, between, out=between)
    np.multiply(carry.between[1:-1], strength[:-1], out=passed)
    between[1:] += passed
    between[0] += carry.between[0] * above + film * (1.0 / between.shape[1])
    return pond, cup
