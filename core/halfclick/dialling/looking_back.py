"""Were the bands right? Each cup of late, held against what the cups before it expected."""

from dataclasses import dataclass, replace

import numpy as np

from halfclick.dialling.carry import learn
from halfclick.dialling.decide import Decider
from halfclick.dialling.expect import expected_at
from halfclick.dialling.grids import grids_of, row_of
from halfclick.dialling.request import Request, Seen
from halfclick.dialling.sampler import Effort

# Looking back needs fewer samples than deciding: bands are told to a tenth (our own default).
EFFORT = Effort(samples=400, moves=1, last_moves=4)
Band = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Held:
    """How many bands of eight in ten held, and how many were given; by quantity for the last cup.

    `last` has for each quantity its band, what was seen, and so whether it held.
    """

    held: int
    given: int
    cups: int
    last: dict[str, tuple[Band, float]]


def looked_back(request: Request, cups: int) -> Held:
    """Return how the bands of the newest cups held; each is expected from the cups before it.

    Args:
        request: with the whole history.
        cups: how many of the newest are looked at.
    """
    held = given = looked = 0
    last: dict[str, tuple[Band, float]] = {}
    places = range(max(len(request.history) - cups, 1), len(request.history))
    for place in places:
        last = held_against(request, place)
        held += sum(low <= seen <= high for (low, _, high), seen in last.values())
        given += len(last)
        looked += 1
    return Held(held, given, looked, last)


def held_against(request: Request, place: int) -> dict[str, tuple[Band, float]]:
    """Return, by quantity, the band that the cups before one expected of it, and what was seen."""
    before = replace(request, history=request.history[:place])
    rng = np.random.default_rng(request.luck() + place)
    decider = Decider(learn(before, rng, EFFORT), grids_of(request.context), rng, count=400)
    cup = request.history[place]
    bands, marks = expected_at(decider, row_of(cup.settings, request.context.dial), rng)
    found = {**bands, **marks}
    return {
        name: (found[name], value)
        for name, value in _seen(cup.seen).items()
        if value is not None and name in found
    }


def _seen(seen: Seen) -> dict[str, float | None]:
    return {
        "time_s": seen.time_s,
        "strength_pct": seen.strength_pct,
        "liking": seen.liking,
        **(seen.marks or {}),
    }
