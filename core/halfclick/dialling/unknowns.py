"""What is unknown of a kit, a person and a coffee, as standard normals and what they stand for.

Three kinds: `plain` is a normal with a middle and a spread; `ratio` is a log-normal with a median
and the spread of its logarithm. All live as standard normals, in which samples are moved.

Axes: n samples, d unknowns.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Draws = Mapping[str, Floats]  # each (n, 1), so that it meets a row of cups (c,)


class Of(StrEnum):
    """Whose an unknown is: it stays with the kit and the person when the coffee changes."""

    KIT = "kit"
    PERSON = "person"
    COFFEE = "coffee"


@dataclass(frozen=True, slots=True)
class Unknown:
    """One unknown: its name, whose it is, its middle and spread; `ratio` takes the exponential."""

    name: str
    of: Of
    middle: float
    spread: float
    ratio: bool = False


def _kit(name: str, middle: float, spread: float, *, ratio: bool = False) -> Unknown:
    return Unknown(name, Of.KIT, middle, spread, ratio)


def _person(name: str, middle: float, spread: float, *, ratio: bool = False) -> Unknown:
    return Unknown(name, Of.PERSON, middle, spread, ratio)


def _coffee(name: str, middle: float, spread: float, *, ratio: bool = False) -> Unknown:
    return Unknown(name, Of.COFFEE, middle, spread, ratio)


# Middles: units are said in `forward` where each is used. What grind, heat, ratio and pour rate
# draw out, and how slowly it drains, lies within the simulation's, whose constants have their
# sources (`physics/brew/priors.py`; `test_learners_prior.py` holds the two together). How bitter
# follows strength is the slope of Cotter, Ristenpart and Guinard's open data (Dryad
# 10.25338/B8993H), a share of people taken for a mark as `tests/benchmarks/dial/tasting.py` does.
# The rest is our own and wide, and its middles are set beside our virtual people of development
# (`tests/benchmarks/what_is_missed.py` prints where the two part).
KIT = (
    _kit("size", 0.05, 0.32),
    _kit("size_span", 1.45, 0.5, ratio=True),
    _kit("bed_s", 80.0, 0.35, ratio=True),
    _kit("bed_power", 2.25, 0.4),
    _kit("outlet_s", 18.0, 0.5, ratio=True),
    _kit("tail_s", 15.0, 0.5, ratio=True),
    _kit("choke_at", 0.58, 0.2, ratio=True),
    _kit("rate_slows", 0.08, 0.12),
    _kit("swirl_slows", 0.06, 0.08),
    _kit("retained", 2.1, 0.2),
    _kit("by_size", 0.97, 0.42, ratio=True),
    _kit("by_heat", 0.045, 0.7, ratio=True),
    _kit("by_time", 0.25, 0.6, ratio=True),
    _kit("by_water", 0.29, 0.5, ratio=True),
    _kit("by_rate", -0.09, 0.1),
    _kit("by_swirl", 0.02, 0.05),
    _kit("rate_best", -0.2, 0.4),
    _kit("rate_uneven", 0.33, 0.6, ratio=True),
    _kit("bloom_best", 0.08, 0.3),
    _kit("bloom_uneven", 0.35, 0.6, ratio=True),
    _kit("bloom_time_best", 0.15, 0.35),
    _kit("bloom_time_uneven", 0.21, 0.7, ratio=True),
    _kit("swirl_uneven", -0.03, 0.2),
    _kit("too_fine_at", 0.85, 0.2, ratio=True),
    _kit("too_fine_uneven", 3.5, 0.5, ratio=True),
    _kit("uneven_loses", 0.03, 0.6, ratio=True),
)
PERSON = (
    _person("time_noise", 0.05, 0.4, ratio=True),
    _person("strength_noise", 0.026, 0.4, ratio=True),
    _person("mark_noise", 0.95, 0.35, ratio=True),
    _person("liking_noise", 1.25, 0.35, ratio=True),
    _person("liked_extraction", 20.2, 1.5),
    _person("liked_strength", 1.37, 0.21),
    _person("extraction_costs", 0.8, 0.5, ratio=True),
    _person("strength_costs", 0.8, 0.5, ratio=True),
    _person("uneven_costs", 0.9, 0.5, ratio=True),
    _person("second_extraction", 0.0, 2.0),
    _person("second_strength", 0.0, 0.3),
    _person("second_lower", 2.0, 1.2),
    _person("gain", 0.92, 0.27, ratio=True),
    _person("felt_right_off", 0.0, 0.1),
    _person("felt_width", 0.14, 0.4, ratio=True),
    _person("sour_at", 2.8, 1.0),
    _person("sour_by_extraction", -0.8, 0.6),
    _person("sour_by_strength", 0.3, 0.4),
    _person("sour_by_uneven", 0.6, 0.4),
    _person("bitter_at", 2.6, 1.0),
    _person("bitter_by_extraction", 0.6, 0.5),
    _person("bitter_by_strength", 0.85, 0.4),
    _person("bitter_by_uneven", 0.3, 0.3),
    _person("thin_at", 2.2, 1.0),
    _person("thin_by_extraction", -0.3, 0.4),
    _person("thin_by_strength", -1.7, 0.7),
    _person("thin_by_uneven", 0.1, 0.3),
    _person("harsh_at", 1.5, 1.0),
    _person("harsh_by_extraction", 0.3, 0.5),
    _person("harsh_by_strength", 0.2, 0.3),
    _person("harsh_by_uneven", 1.6, 0.7),
    _person("sweet_at", 4.8, 1.1),
    _person("sweet_by_extraction", 0.1, 0.3),
    _person("sweet_by_strength", -0.1, 0.3),
    _person("sweet_by_uneven", -0.4, 0.4),
    _person("sweet_by_miss", 0.6, 0.35),
)
COFFEE = (
    _coffee("coffee_slows", 0.0, 0.12),
    _coffee("soluble", 29.0, 0.08, ratio=True),
    _coffee("extracts", 0.18, 0.18),
    _coffee("best_liking", 7.7, 0.7),
    _coffee("wants_extraction", 0.0, 0.9),
    _coffee("wants_strength", 0.0, 0.06),
    _coffee("uneven_more", 0.0, 0.3),
    _coffee("sour_more", 0.0, 0.7),
    _coffee("bitter_more", 0.0, 0.6),
    _coffee("thin_more", 0.0, 0.4),
    _coffee("harsh_more", 0.0, 0.5),
    _coffee("sweet_more", 0.0, 0.6),
)
UNKNOWNS = KIT + PERSON + COFFEE
SHARED = len(KIT) + len(PERSON)
NAMES = tuple(one.name for one in UNKNOWNS)
_MIDDLES = np.array([np.log(one.middle) if one.ratio else one.middle for one in UNKNOWNS])
_SPREADS = np.array([one.spread for one in UNKNOWNS])
_RATIOS = np.array([one.ratio for one in UNKNOWNS])


def draws_of(normals: Floats) -> Draws:
    """Return what rows of standard normals, (n, d), stand for, by name, each (n, 1)."""
    values = _MIDDLES + _SPREADS * normals
    values[:, _RATIOS] = np.exp(values[:, _RATIOS])
    columns = values.T[:, :, None].copy()  # (d, n, 1)
    return dict(zip(NAMES, columns, strict=True))
