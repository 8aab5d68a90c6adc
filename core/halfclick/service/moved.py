"""A forecast moved to a plan nearby at once, until the whole one is worked out.

The brew in the middle of what is believed is simulated for the plan before and for the plan now,
and the bands go along with it: a matter of milliseconds where the whole forecast takes a tenth of
a second. The widths of the bands stay those of the plan before. For a plan whose forecast is not
near, that is no estimate: the whole one follows at once and takes its place.
"""

from dataclasses import dataclass, replace
from math import nan
from uuid import UUID

import numpy as np

from halfclick.model.forecast import Band
from halfclick.model.recipe import Recipe
from halfclick.physics.brew.arrays import Floats, Kits
from halfclick.physics.brew.calibrate import OF_A_COFFEE
from halfclick.physics.brew.gear import recipe_row
from halfclick.physics.brew.simulate import FRACTION_S, Curves, Outcome, follow
from halfclick.service.coffees import coffee_of_bag
from halfclick.service.forecast import Bands, Expected, Fraction
from halfclick.service.foresee import Foreseen, as_ground, foresee, kit_to_brew_on
from halfclick.service.kitchens import KitView
from halfclick.service.learned import Learned, drained_of, gear_of
from halfclick.store.journal import Store

# Between two moments of the brew in the middle, s: its drained time errs by a few tenths of a
# second, and the difference of two such brews by less.
STEP_S = 4.0
# What grows in proportion; the rest of the bands goes up and down by a difference, but for the
# spread across the bed, which stays: it is far from one brew to the next.
IN_PROPORTION = ("time_s", "beverage_g", "strength", "extraction")
UNMOVED = "spread"


@dataclass(frozen=True, slots=True, kw_only=True)
class Middle:
    """The brew in the middle of what is believed, for one plan whose forecast is there."""

    kit: KitView
    learned: Learned
    kits: Kits  # one
    expected: Expected
    outcome: Outcome
    curves: Curves


def foresee_movable(
    store: Store, recipe: Recipe, bag_id: UUID, *, learned: Learned | None = None
) -> tuple[Foreseen, Middle]:
    """Return a plan's forecast, as `foresee` does, and its middle brew to move it by."""
    kit = kit_to_brew_on(store)
    foreseen = foresee(store, recipe, bag_id, learned=learned)
    place = foreseen.learned.place_of(coffee_of_bag(store, bag_id).id)
    return foreseen, middle_of(foreseen, recipe, kit, place)


def middle_of(foreseen: Foreseen, recipe: Recipe, kit: KitView, place: int | None) -> Middle:
    """Return the middle brew of a forecast.

    Args:
        foreseen: the forecast and what it rests on.
        recipe: of which plan.
        kit: on which kit.
        place: the coffee's place in the belief; None for one not met.
    """
    learned, belief = foreseen.learned, foreseen.learned.belief
    kits = belief.kits(belief.mean[None], np.zeros((1, len(OF_A_COFFEE))), place)
    outcome, curves = _followed(kits, recipe, kit, learned)
    return Middle(
        kit=kit,
        learned=learned,
        kits=kits,
        expected=foreseen.expected,
        outcome=outcome,
        curves=curves,
    )


def moved_to(recipe: Recipe, middle: Middle) -> Expected:
    """Return a forecast as it may be for another recipe on the same kit."""
    outcome, curves = _followed(middle.kits, recipe, middle.kit, middle.learned)
    before = middle.expected
    drained = drained_of(middle.kit.kitchen.drained_rule).value
    bands = _moved_bands(before, middle.outcome, outcome, drained)
    low, middle_m, high = peak = bands["peak_level_m"]
    bands["free_height_m"] = before.rim_m - high, before.rim_m - middle_m, before.rim_m - low
    clock_s = np.arange(0.0, max(curves.time_s[-1], before.clock_s[-1]) + 0.5)

    def along(name: str, ends: Bands, least: float = 0.0) -> Bands:
        change = _at(clock_s, curves, name) - _at(clock_s, middle.curves, name)
        return Bands(
            **{
                end: np.maximum(
                    np.interp(clock_s, before.clock_s, getattr(ends, end)) + change, least
                )
                for end in ("low", "middle", "high")
            }
        )

    return replace(
        before,
        bands=bands,
        clock_s=clock_s,
        level_m=along("level_m", before.level_m),
        weight_g=along("cup_g", before.weight_g),
        slurry_c=along("slurry_c", before.slurry_c),
        poured_g=_at(clock_s, curves, "poured_g"),
        overflows_share=_beyond(before.rim_m, peak),
        fractions=tuple(_moved(one, middle.outcome, outcome) for one in before.fractions),
    )


def _followed(kits: Kits, recipe: Recipe, kit: KitView, learned: Learned) -> tuple[Outcome, Curves]:
    ground = as_ground(recipe, kit, learned)
    row = recipe_row(ground, gear_of(kit, learned.kettle_per_s))
    return follow(kits, row, step_s=STEP_S)


def _moved_bands(before: Expected, was: Outcome, now: Outcome, drained: str) -> dict[str, Band]:
    bands: dict[str, Band] = {}
    for name, band in before.bands.items():
        if name == "free_height_m":
            continue
        if name == UNMOVED:
            bands[name] = band
            continue
        column = drained if name == "time_s" else name
        old, new = (float(getattr(one, column)[0]) for one in (was, now))
        if name in IN_PROPORTION:
            low, middle, high = (value * new / old if old else value for value in band)
        else:
            low, middle, high = (value + new - old for value in band)
        bands[name] = low, middle, high
    return bands


def _moved(fraction: Fraction, was: Outcome, now: Outcome) -> Fraction:
    """Return the strength of a half minute in proportion; as it was where nothing runs now."""
    place = round(fraction.from_s / FRACTION_S)
    old, new = (
        float(one.fraction_strength[0, place]) if place < one.fraction_strength.shape[1] else nan
        for one in (was, now)
    )
    times = new / old if old > 0 and new > 0 else 1.0
    low, middle, high = fraction.strength
    return replace(fraction, strength=(low * times, middle * times, high * times))


def _at(clock_s: Floats, curves: Curves, name: str) -> Floats:
    return np.asarray(np.interp(clock_s, curves.time_s, getattr(curves, name)[:, 0]))


def _beyond(rim_m: float, peak: Band) -> float:
    """Return about which share of brews stands above the rim."""
    return float(np.interp(rim_m, peak, (0.95, 0.5, 0.05), left=1.0, right=0.0))
