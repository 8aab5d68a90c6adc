"""How good the model is: published curves with ours over them, and what it rests on.

Loads numpy and takes half a second: not for the thread of a window.
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from math import exp, floor, log10

import numpy as np

from halfclick.physics.brew.priors import OWN, PRIORS, Prior
from halfclick.physics.brew.published import Curve, predicted, read_curves
from halfclick.wording import Message, number

# So many points make a drawn curve smooth at the size of a page.
DRAWN = 200
# Nine of ten of a normal lie within so many of its standard deviations.
NINE_OF_TEN = 1.645

# What nobody measured, or what the simulation leaves out; each has a sentence.
UNKNOWNS = (
    "brews",
    "paper",
    "permeability",
    "clogging",
    "pouring",
    "extremes",
    "degassing",
    "wear",
    "retained",
    "water",
    "kettle",
    "tasters",
    "chart",
)


class Unit(StrEnum):
    """What a published curve is told in."""

    KG_M3 = "kg_m3"  # solids in a volume of the water around the grounds
    G_KG = "g_kg"  # solids in all that has left the bed


class Axis(StrEnum):
    """What a published curve runs over."""

    TIME_S = "time_s"
    DRINK_G = "drink_g"


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedCurve:
    """A published curve and what the simulation says of it, in the unit of the curve.

    `at`, `seen` and `ours` have an entry a published point; `line_at` and `line` draw our curve.
    `off` is the root of the mean square of what ours lies above or below the published points.
    """

    name: str
    title: Message
    source: Message
    verdict: Message
    fitted: bool
    unit: Unit
    axis: Axis
    at: tuple[float, ...]
    seen: tuple[float, ...]
    ours: tuple[float, ...]
    line_at: tuple[float, ...]
    line: tuple[float, ...]
    off: float

    @property
    def misses(self) -> tuple[float, ...]:
        """By what ours lies above each published point."""
        return tuple(ours - seen for ours, seen in zip(self.ours, self.seen, strict=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Constant:
    """A constant of the simulation before any brew: nine in ten are believed within `between`."""

    name: Message
    middle: Message
    between: Message
    source: Message


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelCheck:
    """The published curves, the constants, and what is not known."""

    curves: tuple[CheckedCurve, ...]
    constants: tuple[Constant, ...]
    unknowns: tuple[Message, ...]


def check_model() -> ModelCheck:
    """Return how the simulation stands against the published curves."""
    return ModelCheck(
        curves=tuple(_checked(curve) for curve in read_curves()),
        constants=tuple(_constant(name, prior) for name, prior in PRIORS.items()),
        unknowns=tuple(Message(f"model_check.unknown_{name}") for name in UNKNOWNS),
    )


def _checked(curve: Curve) -> CheckedCurve:
    stirred = curve.kind == "stirred"
    unit = Unit.KG_M3 if stirred else Unit.G_KG
    at = np.union1d(np.linspace(min(curve.at), max(curve.at), DRAWN), curve.at)
    line = predicted(replace(curve, at=tuple(at.tolist()), seen=()))
    ours = np.interp(curve.at, at, line)
    off = float(np.sqrt(np.mean((ours - curve.seen) ** 2)))
    said = {"off": Message(f"model_check.in_{unit}", {"value": number(off)})}
    return CheckedCurve(
        name=curve.name,
        title=Message(f"model_check.curve_{curve.name}"),
        source=Message(f"model_check.from_{curve.name}"),
        verdict=Message("model_check.fitted" if curve.fitted else "model_check.predicted", said),
        fitted=curve.fitted,
        unit=unit,
        axis=Axis.TIME_S if stirred else Axis.DRINK_G,
        at=curve.at,
        seen=curve.seen,
        ours=tuple(ours.tolist()),
        line_at=tuple(at.tolist()),
        line=tuple(line.tolist()),
        off=off,
    )


# The end of a constant's name that is its unit: the sentence it is printed by, and by what it is
# multiplied to be read easily. What ends in none of them is a bare number.
_UNITS = {
    "_j_g_k": ("j_g_k", 1.0),
    "_j_mol": ("kj_mol", 1e-3),
    "_m2_s": ("um2_s", 1e12),
    "_per_k": ("per_k", 100.0),
    "_per_m": ("per_nm", 1e-9),
    "_ml_g": ("ml_g", 1.0),
    "_g_g": ("g_g", 1.0),
    "_j_k": ("j_k", 1.0),
    "_w_k": ("w_k", 1.0),
    "_m2": ("um2", 1e12),
    "_um": ("um", 1.0),
    "_share": ("share", 100.0),
    "_s": ("s", 1.0),
    "_k": ("k", 1.0),
}


def _constant(name: str, prior: Prior) -> Constant:
    unit, scale = next(
        (told for suffix, told in _UNITS.items() if name.endswith(suffix)), ("none", 1.0)
    )
    away = exp(NINE_OF_TEN * prior.spread)
    low, middle, high = (
        _two_digits(value * scale)
        for value in (prior.median / away, prior.median, prior.median * away)
    )
    printed = f"model_check.in_{unit}"
    own = prior.source == OWN
    return Constant(
        name=Message(f"model_check.name_{name}"),
        middle=Message(printed, {"value": middle}),
        between=Message(
            "model_check.between", {"low": low, "high": Message(printed, {"value": high})}
        ),
        source=Message("model_check.source_own" if own else f"model_check.source_{name}"),
    )


def _two_digits(value: float) -> str:
    """Print a positive number with two digits that say something."""
    return number(value, max(1 - floor(log10(value)), 0))
