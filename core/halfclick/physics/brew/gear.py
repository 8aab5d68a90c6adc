"""From a recipe and the kit it is brewed with to the rows that a simulation takes."""

from dataclasses import dataclass

import numpy as np

from halfclick.model.kit import DripperShape
from halfclick.model.recipe import Recipe
from halfclick.physics.brew.arrays import Recipes
from halfclick.physics.vessel import (
    BED_ML_PER_G,
    Inside,
    level_m,
    section_coefficients,
    wall_area_m2,
)

# Area of all outlets with a discharge coefficient of 0.6, m2, where they were not measured: one
# wide opening, three small ones, and so on (from memory; the bed, not they, sets the pace of all
# but the last).
_OUTLET_M2 = {
    DripperShape.STEEP_CONE: 0.6 * 1.8e-4,
    DripperShape.THICK_PAPER_CONE: 0.6 * 1.8e-4,
    DripperShape.FLAT_BOTTOM: 0.6 * 0.3e-4,
    DripperShape.WEDGE: 0.6 * 0.25e-4,
    DripperShape.IMMERSION: 0.6 * 0.4e-4,
}
# A rinse with hot water brings a dripper this far from the room towards the water (our own
# default, no source).
RINSED_SHARE = 0.6
BELOW_BOIL_K = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """What a recipe is brewed with, as far as the course of a brew depends on it.

    `kettle_per_s` is the rate at which the kettle nears the room; 0 for one that holds.
    """

    shape: DripperShape
    inside: Inside
    boiling_c: float
    room_c: float = 22.0
    kettle_per_s: float = 0.0
    outlet_m2: float | None = None
    rinsed: bool = True


def outlets_of(gear: Gear) -> float:
    """Return the area of a dripper's outlets with their discharge coefficient, m2."""
    return gear.outlet_m2 or _OUTLET_M2[gear.shape]


def recipe_row(recipe: Recipe, gear: Gear) -> Recipes:
    """Return one row for a recipe as it is brewed with some gear."""
    kettle_c = min(recipe.temperature_c or gear.boiling_c, gear.boiling_c - BELOW_BOIL_K)
    dripper_c = gear.room_c + (RINSED_SHARE * (kettle_c - gear.room_c) if gear.rinsed else 0.0)
    until_g = [pour.until_g for pour in recipe.pours]
    first, second, third = section_coefficients(gear.inside)
    bed_m = level_m(gear.inside, recipe.dose_g * BED_ML_PER_G)
    values = {
        "dose_g": recipe.dose_g,
        "steps": float(recipe.setting.steps) if recipe.setting else 0.0,
        "pour_start_s": [pour.start_s for pour in recipe.pours],
        "pour_mass_g": list(np.diff([0.0, *until_g])),
        "pour_rate_g_s": [pour.rate_g_s for pour in recipe.pours],
        "kettle_c": kettle_c,
        "kettle_per_s": gear.kettle_per_s,
        "room_c": gear.room_c,
        "dripper_c": dripper_c,
        "open_s": recipe.steep_s or 0.0,
        "stirred": float(recipe.stir_bloom),
        "volume_1": first,
        "volume_2": second,
        "volume_3": third,
        "paper_m2": wall_area_m2(gear.inside, bed_m) + first,
        "outlet_m2": outlets_of(gear),
    }
    return Recipes(**{name: np.array([value], dtype=float) for name, value in values.items()})
