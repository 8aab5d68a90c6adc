"""From a cup to how much one person likes it, noiseless, on 1 to 9: shapes that differ in form."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from dial.cup import Cup
from dial.levers import Floats


class Shape(StrEnum):
    """How liking falls away from what is liked."""

    PEAK = "peak"
    PLATEAU = "plateau"
    TWO_ZONES = "two_zones"
    TILTED = "tilted"
    CLIFF = "cliff"
    FAULTS = "faults"


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A liked point on the plane of strength and extraction, and how high it stands."""

    strength_pct: float
    extraction_pct: float
    top: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Heart:
    """What one person likes in one coffee.

    `wide_pct` and `wide_points` are how far strength and extraction go for a loss of about one
    point of liking; `lean` turns the two together; `hates_uneven` and `hates_harm` are points
    lost at the worst; `patience` is how far marks may rise before they cost.
    """

    shape: Shape
    zones: tuple[Zone, ...]
    wide_pct: float
    wide_points: float
    lean: float
    steepness: float
    hates_uneven: float
    hates_harm: float
    patience: float
    sweet_tooth: float


def liking_of(cup: Cup, marks: Floats, heart: Heart) -> Floats:
    """Return the expected liking, shape (b,), within 1 to 9; `marks` of shape (5, b)."""
    each = [_loss(cup, marks, heart, zone) for zone in heart.zones]
    tops = np.stack([zone.top - loss for zone, loss in zip(heart.zones, each, strict=True)])
    value = tops.max(axis=0)
    value = value - heart.hates_uneven * cup.uneven**1.5 - heart.hates_harm * cup.harm
    low = 1.0
    # Bends gently towards the end of the scale, so that bad and worse are still told apart.
    return np.asarray(np.where(value > 3.5, value, low + 2.5 * np.exp((value - 3.5) / 2.5)))


def _loss(cup: Cup, marks: Floats, heart: Heart, zone: Zone) -> Floats:
    x = (cup.strength_pct - zone.strength_pct) / heart.wide_pct
    y = (cup.extraction_pct - zone.extraction_pct) / heart.wide_points
    x, y = x + heart.lean * y, y
    match heart.shape:
        case Shape.PEAK | Shape.TWO_ZONES:
            return np.asarray(np.abs(x) ** heart.steepness + np.abs(y) ** heart.steepness)
        case Shape.PLATEAU:
            away = np.sqrt(x**2 + y**2)
            return np.asarray(1.3 * np.maximum(away - 0.9, 0.0) ** 1.3)
        case Shape.TILTED:
            # Ever better towards the liked strength, then level; extraction saturates.
            towards = np.maximum(-x, 0.0) if zone.strength_pct > 1.37 else np.maximum(x, 0.0)
            past = np.maximum(np.abs(x) - 1.6, 0.0)
            return np.asarray(0.85 * towards + 0.6 * past**2 + 1.9 * y**2 / (1 + 0.45 * y**2))
        case Shape.CLIFF:
            spent = np.exp(np.clip(1.8 * (y - 0.6), -8, 2.5)) * 0.4
            return np.asarray(0.55 * np.maximum(-y, 0.0) + spent + 0.8 * x**2)
        case Shape.FAULTS:
            faults = np.maximum(marks[:4] - heart.patience, 0.0)
            costs = np.array([0.42, 0.38, 0.40, 0.45])[:, None] * faults**1.15
            sweet = heart.sweet_tooth * (7.0 - marks[4])
            return np.asarray(costs.sum(axis=0) + 0.5 * costs.max(axis=0) + sweet + 0.3 * x**2)
