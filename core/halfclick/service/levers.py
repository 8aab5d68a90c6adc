"""One lever of a plan set to what a person typed."""

from halfclick.errors import BadInput
from halfclick.model.moves import (
    with_bloom,
    with_pour_count,
    with_pour_rate,
    with_ratio,
    with_temperature,
)
from halfclick.model.recipe import BLOOM_S, Lever, Recipe
from halfclick.service.kitchens import KitView
from halfclick.service.plan import boiling_c

# Cooler water than this is a slip of the finger; our own default.
COOLEST_C = 40.0
# Above the water the grounds keep, and below what anyone drinks as coffee; our own default.
SHORTEST_RATIO = 3.0
LONGEST_RATIO = 60.0


def set_lever(recipe: Recipe, kit: KitView, lever: Lever, value: float) -> Recipe:
    """Return a recipe with one lever at a value in the lever's own unit; the grind is no number.

    Raises:
        BadInput: that cannot be poured in this kitchen.
        ValueError: the lever is the grind, which is read from its dial.
    """
    match lever:
        case Lever.GRIND:
            raise ValueError("a setting is read from its dial")
        case Lever.RATIO:
            if not SHORTEST_RATIO < value <= LONGEST_RATIO:
                raise BadInput("plan.bad_ratio", given=value)
            return with_ratio(recipe, value)
        case Lever.TEMPERATURE:
            return _heated(recipe, value, boiling_c(kit))
        case Lever.POURS:
            return _poured(recipe, value)
        case Lever.POUR_RATE:
            return with_pour_rate(recipe, value)
        case Lever.BLOOM:
            return with_bloom(
                recipe,
                multiple=value,
                bloom_s=recipe.bloom_s or BLOOM_S,
                stirred=recipe.stir_bloom,
            )


def _heated(recipe: Recipe, water_c: float, top_c: float) -> Recipe:
    if not COOLEST_C <= water_c <= round(top_c, 1):
        raise BadInput("plan.bad_temperature", given_c=water_c, boiling_c=top_c)
    return with_temperature(recipe, water_c)


def _poured(recipe: Recipe, count: float) -> Recipe:
    if not count.is_integer():
        raise BadInput("plan.part_of_a_pour", given=count)
    return with_pour_count(recipe, round(count))
