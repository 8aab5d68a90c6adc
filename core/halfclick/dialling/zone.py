"""The liked zone on the plane of strength and extraction: how many beliefs like a cup there.

A belief likes a cup where that, drawn evenly, is within half a point of the best; the share of
beliefs that do is the picture, and its lines are found by marching squares (Lorensen & Cline 1987,
in two dimensions).

Axes: n draws, e extractions, s strengths.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.decide import Decider
from halfclick.dialling.first_win import WIN_WITHIN
from halfclick.dialling.forward import Brews, cups_of, missed

Floats = NDArray[np.float64]
Point = tuple[float, float]
Line = tuple[Point, Point]
SHARES = (0.1, 0.5, 0.9)
EXTRACTIONS_PCT = np.linspace(13.0, 28.0, 61)
STRENGTHS_PCT = np.linspace(0.7, 2.3, 65)


@dataclass(frozen=True, slots=True)
class Zone:
    """The share of beliefs that like a cup, (s, e), at percents of strength and extraction."""

    extraction_pct: Floats
    strength_pct: Floats
    share: Floats

    def lines(self, level: float) -> tuple[Line, ...]:
        """Return the line around where the share is above a level, in pieces, in no order."""
        return tuple(_pieces(self.share - level, self.extraction_pct, self.strength_pct))


def zone_of(decider: Decider) -> Zone:
    """Return where cups are liked, by what is believed."""
    draws = decider.draws
    across, up = np.meshgrid(EXTRACTIONS_PCT, STRENGTHS_PCT)  # (s, e)
    miss = missed(draws, across.ravel(), up.ravel())  # (n, s * e)
    share = (miss <= WIN_WITHIN).mean(axis=0).reshape(across.shape)
    return Zone(EXTRACTIONS_PCT, STRENGTHS_PCT, np.asarray(share))


def placed(decider: Decider, row: Floats) -> tuple[Floats, Floats]:
    """Return where a recipe is believed to lie: extraction and strength in percent.

    10 %, 50 % and 90 % of each, (3,).
    """
    context = decider.posterior.evidence.brews.context
    cups = cups_of(decider.draws, Brews(row[None], context, decider.posterior.middle))
    drink_g = np.maximum(cups.beverage_g, 1.0)
    extraction = cups.strength * drink_g / context.dose_g
    return np.quantile(extraction, SHARES), np.quantile(cups.strength, SHARES)


def _pieces(over: Floats, across: Floats, up: Floats) -> Iterator[Line]:
    """Yield the pieces of the line at 0, each through one cell from edge to edge."""
    above = over > 0.0
    mixed = above[:-1, :-1] ^ above[1:, 1:] | above[:-1, 1:] ^ above[1:, :-1]
    mixed |= above[:-1, :-1] ^ above[:-1, 1:]
    for s, e in zip(*np.nonzero(mixed), strict=True):
        crossed = list(_crossings(over[s : s + 2, e : e + 2], across[e : e + 2], up[s : s + 2]))
        yield from zip(crossed[::2], crossed[1::2], strict=False)


def _crossings(over: Floats, across: Floats, up: Floats) -> Iterator[Point]:
    """Yield where the line crosses the edges of one cell, around it."""
    corners = ((0, 0), (0, 1), (1, 1), (1, 0), (0, 0))
    for (s, e), (t, f) in pairwise(corners):
        one, other = float(over[s, e]), float(over[t, f])
        if (one > 0.0) != (other > 0.0):
            share = one / (one - other)
            yield (
                float(across[e] + share * (across[f] - across[e])),
                float(up[s] + share * (up[t] - up[s])),
            )
