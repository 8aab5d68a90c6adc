"""Recipes moved: one lever at a time, to another size, and what differs between two."""

from dataclasses import replace

from halfclick.errors import BadInput
from halfclick.model.grinder import Setting
from halfclick.model.recipe import Change, Lever, Pour, Recipe, even_pours

# Pours whose starts differ by no more are poured at the same times (our own default).
SAME_TIME_S = 5.0


def with_setting(recipe: Recipe, setting: Setting | None) -> Recipe:
    """Return a recipe ground otherwise."""
    return replace(recipe, setting=setting)


def with_ratio(recipe: Recipe, ratio: float) -> Recipe:
    """Return a recipe with more or less water to the same dose, poured in the same shares."""
    return resized(recipe, recipe.dose_g, float(round(recipe.dose_g * ratio)))


def with_temperature(recipe: Recipe, temperature_c: float) -> Recipe:
    """Return a recipe with hotter or cooler water."""
    return replace(recipe, temperature_c=temperature_c)


def with_pour_count(recipe: Recipe, count: int) -> Recipe:
    """Return a recipe with so many even pours after the bloom.

    Raises:
        BadInput: fewer than one.
    """
    if not 1 <= count <= 8:
        raise BadInput("plan.bad_pours", count=count)
    return replace(recipe, pours=_poured_anew(recipe, count=count))


def with_pour_rate(recipe: Recipe, rate_g_s: float) -> Recipe:
    """Return a recipe poured faster or slower, at the same clock times.

    Raises:
        BadInput: no kettle pours so.
    """
    if not 1.0 <= rate_g_s <= 20.0:
        raise BadInput("plan.bad_rate", given_g_s=rate_g_s)
    return replace(recipe, pours=tuple(replace(pour, rate_g_s=rate_g_s) for pour in recipe.pours))


def with_bloom(recipe: Recipe, *, multiple: float, bloom_s: float, stirred: bool) -> Recipe:
    """Return a recipe with another bloom; the pours after it keep their number.

    Raises:
        BadInput: the bloom cannot be.
    """
    if not 1.0 <= multiple <= 5.0 or not 5.0 <= bloom_s <= 180.0:
        raise BadInput("plan.bad_bloom", multiple=multiple, bloom_s=bloom_s)
    pours = _poured_anew(
        recipe, count=max(len(recipe.pours) - 1, 1), multiple=multiple, bloom_s=bloom_s
    )
    return replace(recipe, pours=pours, stir_bloom=stirred)


def resized(recipe: Recipe, dose_g: float, water_g: float) -> Recipe:
    """Return a recipe of another size: pours in the same shares, at the same clock times.

    Raises:
        BadInput: there is no such recipe, or its pours would run into one another.
    """
    _check_size(dose_g, water_g)
    share = water_g / recipe.water_g
    dose_share = dose_g / recipe.dose_g
    pours: list[Pour] = []
    for index, pour in enumerate(recipe.pours):
        last = index == len(recipe.pours) - 1
        # The bloom keeps its multiple of the dose; the other pours their share of the water.
        ideal_g = pour.until_g * (dose_share if index == 0 and not last else share)
        until_g = water_g if last else float(round(ideal_g))
        if until_g <= (pours[-1].until_g if pours else 0.0):
            raise BadInput("plan.pours_collide", water_g=water_g, dose_g=dose_g)
        pours.append(replace(pour, until_g=until_g))
    return replace(recipe, dose_g=dose_g, water_g=water_g, pours=tuple(pours))


def _check_size(dose_g: float, water_g: float) -> None:
    if not 1 <= dose_g <= 500:
        raise BadInput("recipe.bad_dose", given_g=dose_g)
    if not dose_g * 3 <= water_g <= dose_g * 60:
        raise BadInput("recipe.bad_water", given_g=water_g, dose_g=dose_g)


def differences(before: Recipe, after: Recipe) -> tuple[Change, ...]:
    """Return which levers were moved between two recipes, and how far."""
    changes: list[Change] = []
    if before.setting and after.setting and before.setting.steps != after.setting.steps:
        changes.append(Change(lever=Lever.GRIND, amount=after.setting.steps - before.setting.steps))
    # A tenth of a gram of water more or less is rounding, not a change.
    if abs(after.ratio - before.ratio) > 0.05:
        changes.append(Change(lever=Lever.RATIO, amount=round(after.ratio - before.ratio, 2)))
    if before.temperature_c and after.temperature_c and after.temperature_c != before.temperature_c:
        amount = round(after.temperature_c - before.temperature_c, 2)
        changes.append(Change(lever=Lever.TEMPERATURE, amount=amount))
    return tuple(changes + _pouring_differences(before, after))


def _pouring_differences(before: Recipe, after: Recipe) -> list[Change]:
    changes: list[Change] = []
    if len(after.pours) != len(before.pours):
        amount = len(after.pours) - len(before.pours)
        changes.append(Change(lever=Lever.POURS, amount=float(amount)))
    elif _is_poured_at_other_times(before, after):
        changes.append(Change(lever=Lever.POURS, amount=0.0))
    if after.pours[-1].rate_g_s != before.pours[-1].rate_g_s:
        amount_g_s = after.pours[-1].rate_g_s - before.pours[-1].rate_g_s
        changes.append(Change(lever=Lever.POUR_RATE, amount=round(amount_g_s, 2)))
    bloom = round(after.bloom_multiple - before.bloom_multiple, 2)
    if _bloom_moved(before, after) or _bloom_is_otherwise(before, after):
        changes.append(
            Change(lever=Lever.BLOOM, amount=bloom if _bloom_moved(before, after) else 0.0)
        )
    return changes


def _bloom_moved(before: Recipe, after: Recipe) -> bool:
    return abs(round(after.bloom_multiple - before.bloom_multiple, 2)) > 0.1


def _bloom_is_otherwise(before: Recipe, after: Recipe) -> bool:
    """Return whether a bloom of the same size is stirred or left to stand otherwise."""
    if after.stir_bloom != before.stir_bloom:
        return True
    both = len(before.pours) > 1 and len(after.pours) > 1
    return both and abs((after.bloom_s or 0.0) - (before.bloom_s or 0.0)) > SAME_TIME_S


def _is_poured_at_other_times(before: Recipe, after: Recipe) -> bool:
    """Return whether as many pours follow one another otherwise, the bloom being the same."""
    if len(after.pours) < 3 or after.bloom_s != before.bloom_s or _bloom_moved(before, after):
        return False
    pairs = zip(before.pours[2:], after.pours[2:], strict=True)
    return any(abs(one.start_s - other.start_s) > SAME_TIME_S for one, other in pairs)


def _poured_anew(
    recipe: Recipe,
    *,
    count: int,
    multiple: float | None = None,
    bloom_s: float | None = None,
) -> tuple[Pour, ...]:
    return even_pours(
        recipe.dose_g,
        recipe.water_g,
        count=count,
        bloom_multiple=recipe.bloom_multiple if multiple is None else multiple,
        bloom_s=(recipe.bloom_s or 45.0) if bloom_s is None else bloom_s,
        rate_g_s=recipe.pours[-1].rate_g_s,
    )
