"""Pours that fit a dripper: below its rim, and no bed left dry between them.

Loads numpy: not for the thread of a window.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from halfclick.model.kit import DripperShape
from halfclick.model.recipe import Pour, Recipe
from halfclick.physics.brew.arrays import Floats, Kits, stack
from halfclick.physics.brew.calibrate import OF_A_COFFEE
from halfclick.physics.brew.flow import run_course
from halfclick.physics.brew.gear import recipe_row
from halfclick.physics.vessel import RIM_MARGIN_M, inside_of
from halfclick.service.coffees import coffee_of_bag
from halfclick.service.foresee import as_ground, kit_to_brew_on
from halfclick.service.kitchens import KitView
from halfclick.service.learned import SEED, Learned, gear_of, learn
from halfclick.service.rim import rim_margin_m
from halfclick.store.journal import Store
from halfclick.wording import Message

# So many of the kits that are believed in must stay below the margin.
SURE_SHARE = 0.95
# A bed without a pond for longer than this has run dry; told of the middle one of the kits, since
# no pours keep both the quickest and the slowest of kits not yet known wet (our own defaults).
DRY_S = 5.0
# Pours that leave it dry for longer are not proposed at all (our own default).
LONG_DRY_S = 60.0
# Where the bed is dry for more than this part of the pouring, no rests make a pond (our own
# default).
POURED_DRY_SHARE = 0.5
# Tried: pours after the bloom, and the rest between the end of one and the start of the next, s.
MOST_POURS = 8
RESTS_S = (5.0, 10.0, 20.0, 30.0, 45.0, 60.0, 90.0)
SAMPLES = 40
# So many of the best are held against every sample, by the second, as a forecast is.
HELD = 6
# Brews that run together at most: their arrays stay small.
TOGETHER = 800
COARSE_S = 2.0
FINE_S = 1.0
# A pour below this is no pour (our own default).
LEAST_POUR_G = 15.0
ROUND_G = 5.0


class Limit(StrEnum):
    """What a recipe's pours run into first."""

    NOTHING = "nothing"
    RIM = "rim"  # the slurry comes too near the rim
    DRY = "dry"  # the bed runs dry between pours
    POUR_RATE = "pour_rate"  # the bed runs dry while water is poured


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundPours:
    """The answer of a search for pours.

    Attributes:
        limit: what the pours as they stand run into.
        recipe: the recipe with the pours found; None where those that stand fit, or all come too
            near the rim.
        still: what the pours found run into all the same, or keeps any from being found.
        free_m: height left below the rim in 95 % of the samples, by the pours found, else by the
            best that were tried, m; negative where they spill.
        dry_s: how long the bed is likely to be dry, by the same pours, s.
        margin_m: what had to stay free below the rim, m.
    """

    limit: Limit
    recipe: Recipe | None
    still: Limit
    free_m: float
    dry_s: float
    margin_m: float = RIM_MARGIN_M


@dataclass(frozen=True, slots=True)
class _Tried:
    """How a recipe's pours run: the height left in 95 % of the samples, and time without pond."""

    recipe: Recipe
    free_m: float
    dry_s: float  # between the second pour and the end of the last one, in the middle sample
    dry_share: float  # of the pouring in that time

    def limit(self, margin_m: float) -> Limit:
        """Return what it runs into."""
        if self.free_m < margin_m:
            return Limit.RIM
        if self.dry_s <= DRY_S:
            return Limit.NOTHING
        return Limit.POUR_RATE if self.dry_share > POURED_DRY_SHARE else Limit.DRY

    def worth(self, margin_m: float, count: int) -> tuple[bool, float, int, float]:
        """Return what is less the better it is: wet, then near so many pours, then soon over."""
        is_dry = self.limit(margin_m) is not Limit.NOTHING
        off = abs(len(self.recipe.pours) - count)
        return (is_dry, self.dry_s if is_dry else 0.0, off, self.recipe.pours[-1].start_s)


def find_pours(
    recipe: Recipe,
    kit: KitView,
    learned: Learned,
    *,
    coffee_id: UUID | None = None,
    margin_m: float = RIM_MARGIN_M,
) -> FoundPours:
    """Return pours of the same water that stay below the rim and keep the bed wet.

    The bloom and the pour rate are kept: each is a lever of its own. Of the pours that fit, those
    are taken whose number is nearest to what it was, and which end soonest.

    Args:
        recipe: dose, water, bloom and rate.
        kit: with what dripper.
        learned: what its brews have taught.
        coffee_id: which coffee; one not met on this kit is drawn afresh.
        margin_m: what must stay free below the rim, m.
    """
    every = _kits(learned, len(learned.rows), coffee_id)
    here = _tried([recipe], kit, learned, every, FINE_S)[0]
    limit = here.limit(margin_m)
    if limit is Limit.NOTHING or kit.dripper.shape is DripperShape.IMMERSION:
        # In an immersion all the water stands at once, however it is poured.
        return _found(limit, None, here, margin_m)
    some = _kits(learned, SAMPLES, coffee_id)
    tried = _tried(_candidates(recipe), kit, learned, some, COARSE_S)
    count = len(recipe.pours)
    tried = sorted(
        (one for one in tried if one.free_m >= margin_m),
        key=lambda one: one.worth(margin_m, count),
    )
    held = _tried([one.recipe for one in _spread(tried)], kit, learned, every, FINE_S)
    below = [one for one in held if one.free_m >= margin_m]
    best = min(below, key=lambda one: one.worth(margin_m, count), default=None)
    if best is None:
        return _found(limit, None, max([here, *held], key=lambda one: one.free_m), margin_m)
    if best.dry_s > LONG_DRY_S:
        return _found(limit, None, best, margin_m)
    if best.recipe.pours == recipe.pours or (limit is not Limit.RIM and best.dry_s >= here.dry_s):
        return _found(limit, None, here, margin_m)
    return _found(limit, best.recipe, best, margin_m)


def look_for_pours(
    store: Store, recipe: Recipe, bag_id: UUID, *, learned: Learned | None = None
) -> FoundPours:
    """Return pours that fit for a recipe of a bag on the kit in use, and its person's margin.

    Args:
        store: the journal.
        recipe: dose, water, bloom and rate.
        bag_id: of which bag.
        learned: what the brews on this kit have taught; learned anew where it is None.

    Raises:
        ValueError: there is no kit yet.
    """
    kit = kit_to_brew_on(store)
    learned = learned or learn(store, kit)
    coffee = coffee_of_bag(store, bag_id)
    margin_m = rim_margin_m(store)
    return find_pours(recipe, kit, learned, coffee_id=coffee.id, margin_m=margin_m)


def said_of(found: FoundPours) -> tuple[Message, ...]:
    """Return what a search found, in sentences: what binds now, and what is proposed."""
    values = {
        "free_mm": round(found.free_m * 1000),
        "dry_s": found.dry_s,
        "margin_mm": found.margin_m * 1000,
    }
    if found.limit is Limit.NOTHING:
        return (Message("pours.fit_already", values),)
    binds = Message(f"pours.binds_{found.limit.value}")
    if found.recipe is None:
        dry = found.limit is Limit.RIM and found.still is not Limit.RIM
        code = "pours.none_but_dry" if dry else f"pours.none_{found.still.value}"
        return (binds, Message(code, values))
    if found.still is Limit.NOTHING:
        return (binds, Message("pours.found", values))
    return (binds, Message("pours.found_dry", values))


def _found(limit: Limit, recipe: Recipe | None, told: _Tried, margin_m: float) -> FoundPours:
    return FoundPours(
        limit=limit,
        recipe=recipe,
        still=told.limit(margin_m),
        free_m=told.free_m,
        dry_s=told.dry_s,
        margin_m=margin_m,
    )


def _spread(tried: Sequence[_Tried]) -> list[_Tried]:
    """Return the best, and of the others the one with most room: the best may be too high."""
    best = list(tried[: HELD - 1])
    rest = [one for one in tried[HELD - 1 :] if one.dry_s <= DRY_S] or tried[HELD - 1 :]
    return [*best, max(rest, key=lambda one: one.free_m)] if rest else best


def _candidates(recipe: Recipe) -> list[Recipe]:
    """Return the recipe with every number of even pours and every rest that is tried."""
    left_g = recipe.water_g - recipe.bloom_g
    most = min(max(int(left_g / LEAST_POUR_G), 1), MOST_POURS)
    return [
        replace(recipe, pours=_even(recipe, count, rest_s))
        for count in range(1, most + 1)
        for rest_s in (RESTS_S if count > 1 else RESTS_S[:1])
    ]


def _even(recipe: Recipe, count: int, rest_s: float) -> tuple[Pour, ...]:
    """Return the bloom and so many even pours, each so long after the end of the one before."""
    bloom = recipe.pours[0]
    rate_g_s = recipe.pours[-1].rate_g_s
    share_g = (recipe.water_g - bloom.until_g) / count
    pours = [bloom]
    start_s = recipe.bloom_s or bloom.until_g / rate_g_s + rest_s
    for number in range(1, count + 1):
        ideal_g = bloom.until_g + share_g * number
        until_g = recipe.water_g if number == count else max(ideal_g // ROUND_G * ROUND_G, 1.0)
        pours.append(Pour(start_s=start_s, until_g=until_g, rate_g_s=rate_g_s))
        takes_s = (until_g - pours[-2].until_g) / rate_g_s
        start_s += float(-(-(takes_s + rest_s) // 5) * 5)
    return tuple(pours)


def _kits(learned: Learned, samples: int, coffee_id: UUID | None) -> Kits:
    """Return so many of the kits that are believed in, drawn as a forecast draws them."""
    rng = np.random.default_rng(SEED)
    rows = learned.rows[:: max(len(learned.rows) // samples, 1)][:samples]
    place = learned.place_of(coffee_id) if coffee_id is not None else None
    fresh = rng.standard_normal((len(rows), len(OF_A_COFFEE)))
    return learned.belief.kits(rows, fresh, place)


def _tried(
    recipes: Sequence[Recipe], kit: KitView, learned: Learned, kits: Kits, step_s: float
) -> list[_Tried]:
    """Return how each recipe's pours run on the kits, those of like length together."""
    by_length = sorted(range(len(recipes)), key=lambda place: recipes[place].pours[-1].start_s)
    each = max(TOGETHER // len(kits), 1)
    told: dict[int, _Tried] = {}
    for first in range(0, len(by_length), each):
        places = by_length[first : first + each]
        rows = [recipes[place] for place in places]
        told |= dict(zip(places, _together(rows, kit, learned, kits, step_s), strict=True))
    return [told[place] for place in range(len(recipes))]


def _together(
    recipes: Sequence[Recipe], kit: KitView, learned: Learned, kits: Kits, step_s: float
) -> list[_Tried]:
    gear = gear_of(kit)
    rows = stack([recipe_row(as_ground(recipe, kit, learned), gear) for recipe in recipes])
    m, n = len(recipes), len(kits)
    every = rows.take(np.repeat(np.arange(m), n))
    kits = kits.take(np.tile(np.arange(n), m))
    course = run_course(kits, every, step_s=step_s, to_last_pour=True)
    feed = course.feed
    steps = len(feed.step_s)
    free_m = inside_of(kit.dripper).height_m - course.level_m.max(axis=0).reshape(m, n)
    dry = (course.free_g <= course.bed.pore_g)[:-1].reshape(steps, m, n)
    pouring = (feed.into_g_s > 0).reshape(steps, m, n)[..., 0]  # (t, m)
    if kit.dripper.shape is DripperShape.IMMERSION:
        dry = np.zeros_like(dry)
    told = []
    for place, recipe in enumerate(recipes):
        between = _between(feed.time_s[:-1], recipe)
        poured = between & pouring[:, place]
        least_m = float(np.quantile(free_m[place], 1.0 - SURE_SHARE))
        dry_s = _middle(dry[between, place]) * step_s
        share = _middle(dry[poured, place]) / max(int(poured.sum()), 1)
        told.append(_Tried(recipe, least_m, dry_s, share))
    return told


def _between(time_s: Floats, recipe: Recipe) -> NDArray[np.bool_]:
    """Return which times lie between the second pour and the end of the last one, shape (t,).

    The first half of the second pour fills what the bloom left empty and does not count.
    """
    pours = recipe.pours
    if len(pours) == 1:
        return np.zeros(len(time_s), dtype=bool)
    half_s = (pours[1].until_g - pours[0].until_g) / pours[1].rate_g_s / 2
    last_s = (pours[-1].until_g - pours[-2].until_g) / pours[-1].rate_g_s
    begun_s, ends_s = pours[1].start_s + half_s, pours[-1].start_s + last_s
    return np.asarray((time_s >= begun_s) & (time_s < ends_s))


def _middle(dry: NDArray[np.bool_]) -> float:
    """Return how many steps a bed was dry in the middle sample; `dry` is (t, n)."""
    return float(np.median(dry.sum(axis=0)))
