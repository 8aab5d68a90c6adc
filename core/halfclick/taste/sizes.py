"""How far a rule moves a lever, inside the limits; None where it cannot be moved."""

import math
from dataclasses import replace
from itertools import pairwise

from halfclick.errors import BadInput
from halfclick.model.advice import Act, Noticed
from halfclick.model.cup import (
    NOTICED_STRENGTH,
    RETAINED_G_PER_G,
    beverage_g,
    usual_strength,
)
from halfclick.model.kit import DripperShape
from halfclick.model.limits import Limits
from halfclick.model.moves import (
    differences,
    with_bloom,
    with_pour_count,
    with_pour_rate,
    with_ratio,
    with_setting,
    with_temperature,
)
from halfclick.model.recipe import BLOOM_MULTIPLE, BLOOM_S, Lever, Recipe
from halfclick.taste.rules import Move, Size, Way

# Search steps, far enough to be noticed where that is known; halves refine. Trade ranges: ratio
# +-1.5 to 2, temperature +-3 C, pour rate +-2 g/s (common practice, no source).
RATIO = 2.0
RATIO_RANGE = (12.0, 20.0)
TEMPERATURE_C = 3.0
# Less than these is no step worth a cup (our own defaults).
LEAST_TEMPERATURE_C = 1.0
LEAST_RATIO = 0.5
COOLEST_C = 80.0
POUR_RATE_G_S = 2.0
SLOWEST_G_S = 2.0
MOST_POURS = 5
# A finer search step raises extraction by about a point (our own default, to hold strength level:
# 1 point more of 20 is a twentieth more dissolved, so a twentieth more drink).
LEVEL_SHARE = 0.05
# A coffee still full of gas is wetted for longer; the trade compares 20, 40 and 60 s and moves by
# 15 (common practice, no source).
LONGER_BLOOM_S = 15.0
LONGEST_BLOOM_S = 75.0


def moved(recipe: Recipe, moves: tuple[Move, ...], limits: Limits, *, half: bool) -> Recipe | None:
    """Return a recipe after a rule's moves; None where a limit forbids them or nothing moves.

    Args:
        recipe: the recipe of the cup.
        moves: one lever, or a declared pair.
        limits: what bounds them.
        half: whether to refine by half a search step.
    """
    before = recipe
    for move in moves:
        try:
            small = half or move.size is Size.REFINE
            after = _moved(recipe, move, limits, 0.5 if small else 1.0)
        except (BadInput, ValueError):
            # The pours would run into one another.
            return None
        if after is None:
            return None
        recipe = after
    return recipe if can_be_poured(before, recipe, limits) else None


def can_be_poured(before: Recipe, after: Recipe, limits: Limits) -> bool:
    """Return whether kit and clock take a recipe, or take it no worse than the one before."""
    in_time = _has_time(after) or not _has_time(before)
    return in_time and _holds(before, after, limits)


def acted(recipe: Recipe, act: Act) -> Recipe | None:
    """Return the recipe for a brew in which one thing is done; None where it cannot be done."""
    if act is not Act.LONGER_BLOOM:
        return recipe
    if len(recipe.pours) < 2 or recipe.bloom_s + LONGER_BLOOM_S > LONGEST_BLOOM_S:
        return None
    bloom, *rest = recipe.pours
    later = (replace(pour, start_s=pour.start_s + LONGER_BLOOM_S) for pour in rest)
    return replace(recipe, pours=(bloom, *later))


def at_boil(recipe: Recipe, limits: Limits) -> bool:
    """Return whether a recipe's water is as hot as water gets here, to a step worth a cup."""
    if recipe.temperature_c is None:
        return False
    return recipe.temperature_c + LEAST_TEMPERATURE_C > _hottest_c(limits)


def noticed(before: Recipe, after: Recipe, *, half: bool) -> Noticed:
    """Return whether a change is likely to be tasted.

    Ratio by the strength it moves, at the usual extraction, against the published threshold; a
    whole search step of the grinder is chosen to be noticed; of the rest nothing is known.
    """
    levers = {change.lever for change in differences(before, after)}
    if levers == {Lever.RATIO}:
        moved_by = strength_moved(before, after)
        if moved_by is None:
            return Noticed.UNKNOWN
        far = abs(moved_by) >= NOTICED_STRENGTH
        return Noticed.LIKELY if far else Noticed.UNLIKELY
    if Lever.GRIND in levers:
        return Noticed.UNLIKELY if half else Noticed.LIKELY
    return Noticed.UNKNOWN


def strength_moved(before: Recipe, after: Recipe) -> float | None:
    """Estimate how much stronger the drink becomes by its ratio alone, a fraction."""
    was = usual_strength(before.dose_g, before.water_g)
    will_be = usual_strength(after.dose_g, after.water_g)
    return None if was is None or will_be is None else will_be - was


def _holds(before: Recipe, after: Recipe, limits: Limits) -> bool:
    """Return whether server and dripper hold the recipe, or hold it no worse than before."""
    drink_g = beverage_g(after.water_g, after.dose_g)
    full = limits.capacity_g is not None and drink_g > limits.capacity_g + 0.5
    if full and after.water_g > before.water_g:
        return False
    if limits.room_g is None or limits.shape is DripperShape.IMMERSION:
        return True
    return _largest_pour_g(after) <= max(limits.room_g, _largest_pour_g(before))


def _largest_pour_g(recipe: Recipe) -> float:
    ends_g = [0.0, *(pour.until_g for pour in recipe.pours)]
    return max(end - start for start, end in pairwise(ends_g))


def _has_time(recipe: Recipe) -> bool:
    """Return whether each pour ends before the next one starts."""
    poured_g = 0.0
    for pour, then in pairwise(recipe.pours):
        if pour.start_s + (pour.until_g - poured_g) / pour.rate_g_s > then.start_s:
            return False
        poured_g = pour.until_g
    return True


def _moved(recipe: Recipe, move: Move, limits: Limits, size: float) -> Recipe | None:
    up = move.way is Way.MORE
    match move.lever:
        case Lever.GRIND:
            return _ground(recipe, limits, coarser=up, half=size < 1)
        case Lever.RATIO:
            return _ratio(recipe, move.way, limits, size)
        case Lever.TEMPERATURE:
            return _temperature(recipe, limits, TEMPERATURE_C * size * (1 if up else -1))
        case Lever.POURS:
            return _poured(recipe, limits, len(recipe.pours) - 1 + (1 if up else -1))
        case Lever.POUR_RATE:
            rate_g_s = recipe.pours[-1].rate_g_s + POUR_RATE_G_S * size * (1 if up else -1)
            return with_pour_rate(recipe, rate_g_s) if rate_g_s >= SLOWEST_G_S else None
        case Lever.BLOOM:
            return _even(recipe)


def _poured(recipe: Recipe, limits: Limits, count: int) -> Recipe | None:
    # A long steep is poured at once; a brew without a bloom has no pours to take away.
    if limits.shape is DripperShape.IMMERSION or len(recipe.pours) < 2:
        return None
    return with_pour_count(recipe, count) if 1 <= count <= MOST_POURS else None


def _ground(recipe: Recipe, limits: Limits, *, coarser: bool, half: bool) -> Recipe | None:
    whole = limits.coarser if coarser else limits.finer
    part = limits.half_coarser if coarser else limits.half_finer
    setting = (part or whole) if half else (whole or part)
    if recipe.setting is None or setting is None or setting.steps == recipe.setting.steps:
        return None
    return with_setting(recipe, setting)


def _ratio(recipe: Recipe, way: Way, limits: Limits, size: float) -> Recipe | None:
    if way is Way.LEVEL:
        drink = recipe.ratio - RETAINED_G_PER_G
        ratio = recipe.ratio + drink * LEVEL_SHARE
    else:
        ratio = recipe.ratio + RATIO * size * (1 if way is Way.MORE else -1)
    low, high = RATIO_RANGE
    ratio = min(max(ratio, low), high)
    if limits.capacity_g is not None:
        ratio = min(ratio, limits.capacity_g / recipe.dose_g + RETAINED_G_PER_G)
    by = (ratio - recipe.ratio) * (-1 if way is Way.LESS else 1)
    if by < LEAST_RATIO:
        return None
    after = with_ratio(recipe, ratio)
    return after if after.water_g != recipe.water_g else None


def _temperature(recipe: Recipe, limits: Limits, by_c: float) -> Recipe | None:
    if recipe.temperature_c is None:
        return None
    after_c = min(max(recipe.temperature_c + by_c, COOLEST_C), _hottest_c(limits))
    if (after_c - recipe.temperature_c) * math.copysign(1.0, by_c) < LEAST_TEMPERATURE_C:
        return None
    return with_temperature(recipe, after_c)


def _hottest_c(limits: Limits) -> float:
    return math.floor(limits.boiling_c * 2) / 2


def _even(recipe: Recipe) -> Recipe | None:
    if len(recipe.pours) < 2:
        return None
    if recipe.stir_bloom and recipe.bloom_multiple >= BLOOM_MULTIPLE - 0.05:
        return None
    return with_bloom(
        recipe,
        multiple=max(recipe.bloom_multiple, BLOOM_MULTIPLE),
        bloom_s=max(recipe.bloom_s, BLOOM_S),
        stirred=True,
    )
