"""What speaks against brewing a recipe on a kit, each with the way out."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from halfclick.model.cup import RETAINED_G_PER_G, beverage_g
from halfclick.model.kit import DripperShape
from halfclick.model.recipe import Recipe
from halfclick.physics.vessel import (
    BED_ML_PER_G,
    DEEP_M,
    RIM_MARGIN_M,
    SHALLOW_M,
    bed_depth_m,
    holds_ml,
    inside_of,
)
from halfclick.service.expected import bed_depth_m as expected_depth_m
from halfclick.service.expected import rim_messages
from halfclick.service.kitchens import KitView, boils_at_c
from halfclick.wording import Message

if TYPE_CHECKING:
    from halfclick.service.forecast import Expected


def check_plan(
    recipe: Recipe,
    kit: KitView,
    left_g: float | None = None,
    expected: Expected | None = None,
    margin_m: float = RIM_MARGIN_M,
) -> tuple[Message, ...]:
    """Return what speaks against brewing a recipe on this kit, each with the way out.

    Args:
        recipe: what is to be brewed.
        kit: with what.
        left_g: what is left in the bag.
        expected: the recipe's forecast; None where it was not made: then what a dripper holds
            bounds the level.
        margin_m: what is to stay free below the rim, m.
    """
    if expected is None:
        rim = _dripper_messages(recipe, kit, margin_m)
    else:
        rim = rim_messages(expected, recipe, kit, margin_m)
    messages = [*_vessel_messages(recipe, kit), *rim, *_bed_messages(recipe, kit, expected)]
    if left_g is not None and recipe.dose_g > left_g + 0.1:
        messages.append(Message("plan.bag_short", {"left_g": left_g, "dose_g": recipe.dose_g}))
    boils_c = boils_at_c(kit.kitchen)
    if recipe.temperature_c is not None and recipe.temperature_c > boils_c + 0.05:
        messages.append(Message("plan.above_boiling", {"boiling_c": boils_c}))
    return tuple(messages)


def _vessel_messages(recipe: Recipe, kit: KitView) -> list[Message]:
    capacity_g = kit.server.capacity_g if kit.server else None
    drink_g = beverage_g(recipe.water_g, recipe.dose_g)
    if capacity_g is None or drink_g <= capacity_g:
        return []
    fits_dose_g = capacity_g / (recipe.ratio - RETAINED_G_PER_G)
    values = {"drink_g": drink_g, "capacity_g": capacity_g, "dose_g": math.floor(fits_dose_g)}
    return [Message("plan.overfills", values)]


def _dripper_messages(recipe: Recipe, kit: KitView, margin_m: float) -> list[Message]:
    """Bound the level at each pour's end as if nothing drained while it was poured.

    What was poured before it is taken as drained into the grounds and the server, except for an
    immersion, whose outlet is shut.
    """
    inside = inside_of(kit.dripper)
    free_ml = holds_ml(inside, margin_m) - recipe.dose_g * BED_ML_PER_G
    starts_g = [0.0, *(pour.until_g for pour in recipe.pours[:-1])]
    largest_g = max(
        pour.until_g - start for pour, start in zip(recipe.pours, starts_g, strict=True)
    )
    if kit.dripper.shape is DripperShape.IMMERSION:
        largest_g = recipe.water_g
    # The pores of the bed take up about as much water as the grounds keep.
    if largest_g <= free_ml:
        return []
    code = "plan.near_rim" if inside.measured else "plan.near_rim_typical"
    return [Message(code, {"pour_g": largest_g, "free_g": max(free_ml, 0.0)})]


def _bed_messages(recipe: Recipe, kit: KitView, expected: Expected | None) -> list[Message]:
    if expected is not None:
        depth_m = expected_depth_m(expected)
    else:
        depth_m = bed_depth_m(inside_of(kit.dripper), recipe.dose_g)
    if kit.dripper.shape is DripperShape.IMMERSION:
        return []
    # Told in whole millimetres, so judged in them: "only 20 mm" is no reason where 20 is enough.
    depth_m = round(depth_m, 3)
    if depth_m < SHALLOW_M:
        return [Message("plan.bed_shallow", {"depth_mm": round(depth_m * 1000)})]
    if depth_m > DEEP_M:
        return [Message("plan.bed_deep", {"depth_mm": round(depth_m * 1000)})]
    return []
