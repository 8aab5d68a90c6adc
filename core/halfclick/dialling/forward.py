"""How a cup comes out: the clock, strength, evenness, marks and liking, for draws by cups.

A simple form with wide unknowns, not the simulation: it is evaluated a million times a proposal.
What it misses is carried by `discrepancy`.

Axes: n draws, c cups. Every result is (n, c).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.grids import (
    BLOOM,
    BLOOM_TIME,
    GRIND,
    RATE,
    RATIO,
    SWIRL,
    WATER,
)
from halfclick.dialling.request import MARKS, Context
from halfclick.dialling.unknowns import Draws

Floats = NDArray[np.float64]
# By kind: a typical median drained time over that of a steep cone, share by which outlets slow,
# and how far the levers of percolation matter.
DRIPPERS = {
    "steep cone": (1.0, 1.0, 1.0),
    "flat bottom": (1.1, 1.2, 1.0),
    "wedge": (1.15, 1.6, 1.0),
    "thick-paper cone": (1.3, 1.2, 1.0),
    "narrow outlet cone": (1.1, 2.5, 1.0),
    "immersion": (0.6, 1.0, 0.3),
}
ROASTS = {"light": (-0.08, 0.4), "medium": (0.0, 0.0), "dark": (0.12, -0.8)}
# No grinder grinds finer for filters than this share of a usual filter grind (our own default).
FINEST_SIZE = 0.25
FRESH_DAYS = 7.0
EXTRACTION_UNIT = 1.5  # points
STRENGTH_UNIT = 0.15  # percent


@dataclass(frozen=True, slots=True)
class Brews:
    """Cups as rows of levers, with the kit and coffee that they are brewed with.

    Attributes:
        rows: (c, 7), or (n, c, 7) where each draw has cups of its own.
        context: the kit and the coffee.
        middle: the setting at which sizes are believed, as rows have it.
    """

    rows: Floats
    context: Context
    middle: float

    @property
    def coarse(self) -> Floats:
        """Settings coarser than the middle, as a share of the dial's span."""
        return np.asarray(self.rows[..., GRIND] - self.middle)


@dataclass(frozen=True, slots=True)
class Cups:
    """How cups come out, each (n, c); `marks` is (5, n, c) in the order of MARKS."""

    log_time: Floats
    beverage_g: Floats
    strength: Floats
    stronger: Floats  # than the person likes, in STRENGTH_UNIT
    more: Floats  # drawn out than the person likes, in EXTRACTION_UNIT
    uneven: Floats
    marks: Floats
    liking: Floats


def sizes(draws: Draws, brews: Brews) -> Floats:
    """Return the median size over that of a usual filter grind."""
    at_middle = np.exp(draws["size"] + 0.1 * draws["size"] ** 3 / 0.1024)
    size = at_middle + draws["size_span"] * brews.coarse
    return FINEST_SIZE + ramp(size - FINEST_SIZE, 0.15)


def ramp(x: Floats, width: float) -> Floats:
    """Return 0 far below 0 and x far above, with a soft corner of about the width."""
    return np.asarray(0.5 * (x + np.sqrt(x * x + width * width)))


def straightening(x: Floats) -> Floats:
    """Return a bowl whose walls straighten: about x^2/2 near 0, about |x| far away."""
    return np.sqrt(1.0 + x * x) - 1.0


def cups_of(draws: Draws, brews: Brews) -> Cups:
    """Return how cups come out."""
    run = _run(draws, brews)
    return Cups(
        log_time=run.log_time,
        beverage_g=run.beverage_g,
        strength=run.strength,
        stronger=run.stronger,
        more=run.more,
        uneven=run.uneven,
        marks=_marks(draws, run),
        liking=_liking(draws, run),
    )


def likings_of(draws: Draws, brews: Brews) -> Floats:
    """Return how well cups are liked, and nothing else of them."""
    return _liking(draws, _run(draws, brews))


def missed(draws: Draws, extraction_pct: Floats, strength_pct: Floats) -> Floats:
    """Return by how much an even cup at a strength and extraction is liked less than the best."""
    more = extraction_pct - draws["liked_extraction"] - draws["wants_extraction"]
    stronger = strength_pct - draws["liked_strength"] - draws["wants_strength"]
    return _miss(draws, more / EXTRACTION_UNIT, stronger / STRENGTH_UNIT)


@dataclass(frozen=True, slots=True)
class _Run:
    """A brew before it is tasted; `more` and `stronger` are its distance from what is liked."""

    log_time: Floats
    uneven: Floats
    beverage_g: Floats
    strength: Floats
    more: Floats
    stronger: Floats
    miss: Floats


def _run(draws: Draws, brews: Brews) -> _Run:
    log_size = np.log(sizes(draws, brews))
    log_time = _log_time(draws, brews, log_size)
    uneven = unevenness(draws, brews, log_size)
    extraction = _extraction(draws, brews, log_size, log_time, uneven)
    dose_g = brews.context.dose_g
    beverage_g = dose_g * np.maximum(brews.rows[..., RATIO] - draws["retained"], 1.0)
    strength = extraction * dose_g / beverage_g
    more = (extraction - draws["liked_extraction"] - draws["wants_extraction"]) / EXTRACTION_UNIT
    stronger = (strength - draws["liked_strength"] - draws["wants_strength"]) / STRENGTH_UNIT
    return _Run(
        log_time, uneven, beverage_g, strength, more, stronger, _miss(draws, more, stronger)
    )


def _liking(draws: Draws, run: _Run) -> Floats:
    uneven = np.maximum(run.uneven, -0.2)
    liking = draws["best_liking"] - run.miss - draws["uneven_costs"] * uneven
    # No cup is liked more or less than the scale has room for.
    return np.asarray(1.0 + ramp(liking - 1.0, 0.6) - ramp(liking - 9.0, 0.6))


def _log_time(draws: Draws, brews: Brews, log_size: Floats) -> Floats:
    rows, context = brews.rows, brews.context
    bed_share, outlet_share, percolates = DRIPPERS[context.dripper or "steep cone"]
    water_g = context.dose_g * rows[..., RATIO]
    bloom_g = np.minimum(context.dose_g * rows[..., BLOOM], water_g)
    poured_s = rows[..., BLOOM_TIME] + (water_g - bloom_g) / rows[..., RATE]
    through = (water_g - bloom_g) / 250.0
    # Water is about 1.2 % thinner with each kelvin (IAPWS, near 90 degrees).
    slows = (
        -draws["bed_power"] * log_size
        - 0.012 * (rows[..., WATER] - 93.0)
        + draws["rate_slows"] * np.log(rows[..., RATE] / 5.0)
        + draws["swirl_slows"] * rows[..., SWIRL]
        + draws["coffee_slows"]
        # Finer than a limit, a bed chokes.
        + 4.0 * ramp(np.log(draws["choke_at"]) - log_size, 0.1)
    )
    bed = draws["bed_s"] * bed_share * np.exp(np.minimum(slows, 3.0))
    outlet = draws["outlet_s"] * outlet_share
    drained_s = rows[..., BLOOM_TIME] * 0.6 + (bed + outlet) * through
    if percolates < 1.0:
        drained_s = drained_s + 120.0
    poured_s = np.maximum(poured_s, 5.0)
    drained_s = np.maximum(drained_s, 5.0)
    both = poured_s + ramp(drained_s - poured_s, 30.0)
    return np.asarray(np.log(both + draws["tail_s"]))


def unevenness(draws: Draws, brews: Brews, log_size: Floats) -> Floats:
    """Return how uneven a cup was drawn, 0 for as even as pouring makes it here."""
    rows, context = brews.rows, brews.context
    percolates = DRIPPERS[context.dripper or "steep cone"][2]
    days = context.days_off_roast
    fresh = 0.0 if days is None else float(np.clip((FRESH_DAYS - days) / FRESH_DAYS, 0.0, 1.0))
    rate = (np.log(rows[..., RATE] / 5.0) - draws["rate_best"]) / 0.4
    bloom = (np.log(np.maximum(rows[..., BLOOM], 0.2) / 2.5) - draws["bloom_best"]) / 0.35
    stands = np.log(np.maximum(rows[..., BLOOM_TIME], 2.0) / 40.0)
    bloom_time = (stands - draws["bloom_time_best"] - 0.2 * fresh) / 0.45
    too_fine = ramp(np.log(draws["too_fine_at"]) - log_size, 0.12)
    poured = (
        draws["rate_uneven"] * straightening(rate)
        + draws["bloom_uneven"] * straightening(bloom)
        + draws["bloom_time_uneven"] * straightening(bloom_time)
    ) * np.exp(draws["uneven_more"])
    swirled = draws["swirl_uneven"] * (rows[..., SWIRL] - 0.5)
    return np.asarray(percolates * (poured + swirled) + draws["too_fine_uneven"] * too_fine)


def _extraction(
    draws: Draws, brews: Brews, log_size: Floats, log_time: Floats, uneven: Floats
) -> Floats:
    rows, context = brews.rows, brews.context
    percolates = DRIPPERS[context.dripper or "steep cone"][2]
    more_soluble = ROASTS[context.roast][0] if context.roast else 0.0
    reached = (
        draws["extracts"]
        + more_soluble
        - percolates * draws["by_size"] * log_size
        + percolates * draws["by_time"] * np.clip(log_time - np.log(165.0), -1.0, 1.0)
        + draws["by_heat"] * (rows[..., WATER] - 93.0) / 6.0
        + draws["by_water"] * np.log(rows[..., RATIO] / 16.0)
        + draws["by_rate"] * np.log(rows[..., RATE] / 5.0)
        + draws["by_swirl"] * rows[..., SWIRL]
    )
    share = 1.0 - np.exp(-np.exp(np.minimum(reached, 2.0)))
    return np.asarray(draws["soluble"] * share * np.exp(-draws["uneven_loses"] * uneven))


def _miss(draws: Draws, more: Floats, stronger: Floats) -> Floats:
    """Return by how much a cup is liked less than the best, for its strength and extraction."""
    first = _from(draws, more, stronger)
    second = _from(
        draws,
        more - draws["second_extraction"] / EXTRACTION_UNIT,
        stronger - draws["second_strength"] / STRENGTH_UNIT,
    ) + np.maximum(draws["second_lower"], 0.0)
    return np.asarray(np.minimum(first, second))


def _from(draws: Draws, more: Floats, stronger: Floats) -> Floats:
    apart = (draws["extraction_costs"] * more) ** 2 + (draws["strength_costs"] * stronger) ** 2
    return np.asarray(1.5 * (np.sqrt(1.0 + apart) - 1.0))


def _marks(draws: Draws, run: _Run) -> Floats:
    marks = np.empty((len(MARKS), *run.more.shape))
    for place, mark in enumerate(MARKS):
        moved = (
            draws[f"{mark}_by_extraction"] * run.more
            + draws[f"{mark}_by_strength"] * run.stronger
            + draws[f"{mark}_by_uneven"] * run.uneven
        )
        if mark == "sweet":
            moved = moved - draws["sweet_by_miss"] * run.miss
        marks[place] = draws[f"{mark}_at"] + draws[f"{mark}_more"] + draws["gain"] * moved
    return np.clip(marks, 0.0, 10.0)
