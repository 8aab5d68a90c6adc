"""Brews simulated: kits by recipes, all at once, and what is told of each."""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from halfclick.physics.brew.arrays import Floats, Kits, Recipes
from halfclick.physics.brew.extraction import Drawn, draw, times_of
from halfclick.physics.brew.flow import (
    LAST_DROP_G_S,
    Course,
    bed_of,
    last_steps,
    leaving_g_s,
    run_course,
)
from halfclick.physics.brew.pours import last_pour_ends_s

STEP_S = 1.0
# A stream of water breaks into drops below about this flow (from memory).
STREAM_BREAKS_G_S = 0.5
FRACTION_S = 30.0
# From water and resistance to seconds, at a head of a few centimetres; only brews are sorted by it.
SLOWNESS = 1e-12
# So many courses, and so many extractions of them, run together: their arrays stay in the
# processor's nearer memory.
COURSES_TOGETHER = 2048
DRAWN_TOGETHER = 128


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What is told of brews; each of shape (n, m), fractions of shape (n, m, f).

    Attributes:
        bed_visible_s, stream_breaks_s, last_drop_s: drained, by each of its three meanings, s
            from the first pour.
        beverage_g: the drink at the last drop, with its solids, g.
        strength: solids over drink, a fraction.
        extraction: solids in the cup over the dose, a fraction.
        spread: the most extracted part of the bed less the least, a fraction of the dose.
        peak_level_m: the highest level of the slurry above the dripper's floor, m.
        hottest_c, ended_c: the slurry's highest temperature, and that when the bed is visible.
        fraction_strength: of each FRACTION_S of the clock; nan where nothing ran.
    """

    bed_visible_s: Floats
    stream_breaks_s: Floats
    last_drop_s: Floats
    beverage_g: Floats
    strength: Floats
    extraction: Floats
    spread: Floats
    peak_level_m: Floats
    hottest_c: Floats
    ended_c: Floats
    fraction_strength: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Curves:
    """How brews run by the clock, each of shape (t, b)."""

    time_s: Floats  # (t,)
    poured_g: Floats
    cup_g: Floats
    level_m: Floats
    slurry_c: Floats
    strength: Floats


def simulate(kits: Kits, recipes: Recipes, *, step_s: float = STEP_S) -> Outcome:
    """Simulate every recipe on every kit.

    Args:
        kits: n of them.
        recipes: m of them.
        step_s: between two moments.

    Returns:
        What is told of each brew, of shape (n, m).
    """
    n, m = len(kits), len(recipes)
    by_kit, by_recipe = np.repeat(np.arange(n), m), np.tile(np.arange(m), n)
    flat = simulate_pairs(kits.take(by_kit), recipes.take(by_recipe), step_s=step_s)
    return Outcome(
        **{
            field.name: getattr(flat, field.name).reshape(
                n, m, *getattr(flat, field.name).shape[1:]
            )
            for field in fields(Outcome)
        }
    )


def simulate_pairs(kits: Kits, recipes: Recipes, *, step_s: float = STEP_S) -> Outcome:
    """Simulate each kit with the recipe in the same place, shape (b,)."""
    if len(kits) != len(recipes):
        raise ValueError(f"{len(kits)} kits with {len(recipes)} recipes")
    # Brews of like length run together, so that none waits long for another.
    order = np.argsort(_likely_s(kits, recipes), kind="stable")
    parts = [
        part
        for rows in np.split(order, range(COURSES_TOGETHER, len(order), COURSES_TOGETHER))
        for part in _together(kits.take(rows), recipes.take(rows), step_s)
    ]
    return _joined(parts, np.argsort(order, kind="stable"))


def follow(kits: Kits, recipes: Recipes, *, step_s: float = STEP_S) -> tuple[Outcome, Curves]:
    """Return what is told of each kit with the recipe in the same place, and how it runs.

    For brews of one recipe, a few hundred at most: they are all followed as long as the longest.
    """
    course = run_course(kits, recipes, step_s=step_s)
    drawn = draw(kits, recipes, course)
    at = times_of(course)
    cup_g = (course.out_g + course.past_g)[at] + drawn.cup_g
    curves = Curves(
        time_s=drawn.time_s,
        poured_g=course.feed.poured_g[at],
        cup_g=cup_g,
        level_m=course.level_m[at],
        slurry_c=course.slurry_c[at],
        strength=drawn.cup_g / np.maximum(cup_g, 1e-9),
    )
    return _told(kits, recipes, course, drawn), curves


def _likely_s(kits: Kits, recipes: Recipes) -> Floats:
    bed = bed_of(kits, recipes)
    water_g = recipes.pour_mass_g.sum(axis=-1)
    resist = bed.darcy_per_m3 + bed.paper_per_m3
    return np.asarray(last_pour_ends_s(recipes) + SLOWNESS * water_g * resist)


def _together(kits: Kits, recipes: Recipes, step_s: float) -> list[Outcome]:
    course = run_course(kits, recipes, step_s=step_s)
    ends = last_steps(course)
    parts = []
    for rows in np.split(np.arange(len(kits)), range(DRAWN_TOGETHER, len(kits), DRAWN_TOGETHER)):
        times = min(int(ends[rows].max()) + 3, len(course.feed.time_s))
        part = course.take(rows, times)
        some_kits, some_recipes = kits.take(rows), recipes.take(rows)
        parts.append(_told(some_kits, some_recipes, part, draw(some_kits, some_recipes, part)))
    return parts


def _told(kits: Kits, recipes: Recipes, course: Course, drawn: Drawn) -> Outcome:
    time_s = course.feed.time_s
    last_s = np.maximum(last_pour_ends_s(recipes), recipes.open_s)
    bed_visible_s = _bed_visible_s(course, last_s)
    # A trickle from under a pond is not drained yet.
    last_drop_s = _falls_below_s(course, LAST_DROP_G_S, bed_visible_s)
    solids_g = _at(drawn.time_s, drawn.cup_g, last_drop_s)
    beverage_g = _at(time_s, course.out_g + course.past_g, last_drop_s) + solids_g
    return Outcome(
        bed_visible_s=bed_visible_s,
        stream_breaks_s=_falls_below_s(course, STREAM_BREAKS_G_S, bed_visible_s),
        last_drop_s=last_drop_s,
        beverage_g=beverage_g,
        strength=solids_g / np.maximum(beverage_g, 1e-9),
        extraction=solids_g / recipes.dose_g,
        spread=_spread(recipes, drawn),
        peak_level_m=course.level_m.max(axis=0),
        hottest_c=course.slurry_c[1:].max(axis=0),
        ended_c=_at(time_s, course.slurry_c, bed_visible_s),
        fraction_strength=_fractions(course, drawn),
    )


def _bed_visible_s(course: Course, last_s: Floats) -> Floats:
    above_g = course.free_g - course.bed.pore_g  # (t, b)
    return np.maximum(_last_crossing_s(course.feed.time_s, above_g), last_s)


def _falls_below_s(course: Course, flow_g_s: float, last_s: Floats) -> Floats:
    time_s = course.feed.time_s
    middle_s = 0.5 * (time_s[1:] + time_s[:-1])
    above = np.log(np.maximum(leaving_g_s(course), 1e-12) / flow_g_s)
    return np.maximum(_last_crossing_s(middle_s, above), last_s)


def _last_crossing_s(time_s: Floats, above: Floats) -> Floats:
    """Return when a value was last above nothing, s, shape (b,); 0 where it never was."""
    times = len(time_s)
    ever = (above > 0).any(axis=0)
    last = times - 1 - np.argmax(above[::-1] > 0, axis=0)  # (b,)
    after = np.minimum(last + 1, times - 1)
    brews = np.arange(above.shape[1])
    high, low = above[last, brews], above[after, brews]
    share = np.where(after > last, high / np.maximum(high - low, 1e-12), 0.0)
    return np.where(ever, time_s[last] + share * (time_s[after] - time_s[last]), 0.0)


def _spread(recipes: Recipes, drawn: Drawn) -> Floats:
    cells = drawn.left_g.shape[1] * drawn.left_g.shape[2]
    gone = (drawn.start_g - drawn.left_g.sum(axis=0)) * cells / recipes.dose_g  # (l, s, b)
    return np.asarray(gone.max(axis=(0, 1)) - gone.min(axis=(0, 1)))


def _fractions(course: Course, drawn: Drawn) -> Floats:
    time_s = course.feed.time_s
    edges_s = np.arange(0.0, time_s[-1] + FRACTION_S, FRACTION_S)
    water_g = _at_each(time_s, course.out_g + course.past_g, edges_s)
    solids_g = _at_each(drawn.time_s, drawn.cup_g, edges_s)
    drunk_g, dissolved_g = np.diff(water_g, axis=0), np.diff(solids_g, axis=0)  # (f, b)
    ran = drunk_g > LAST_DROP_G_S * FRACTION_S
    strength = dissolved_g / np.where(ran, drunk_g + dissolved_g, 1.0)
    return np.asarray(np.where(ran, strength, np.nan).T)


def _at(time_s: Floats, values: Floats, when_s: Floats) -> Floats:
    """Return values (t, b) at a time of each brew (b,), on straight lines between times."""
    after = np.clip(np.searchsorted(time_s, when_s), 1, len(time_s) - 1)
    share = np.clip((when_s - time_s[after - 1]) / (time_s[after] - time_s[after - 1]), 0.0, 1.0)
    brews = np.arange(values.shape[1])
    before = values[after - 1, brews]
    return np.asarray(before + share * (values[after, brews] - before))


def _at_each(time_s: Floats, values: Floats, when_s: Floats) -> Floats:
    """Return values (t, b) at some times, shape (w, b), on straight lines between times."""
    after = np.clip(np.searchsorted(time_s, when_s), 1, len(time_s) - 1)
    share = (when_s - time_s[after - 1]) / (time_s[after] - time_s[after - 1])
    before = values[after - 1]
    return np.asarray(before + np.clip(share, 0.0, 1.0)[:, None] * (values[after] - before))


def _joined(parts: list[Outcome], order: NDArray[np.intp]) -> Outcome:
    longest = max(part.fraction_strength.shape[1] for part in parts)

    def column(name: str) -> Floats:
        columns = [getattr(part, name) for part in parts]
        if name == "fraction_strength":
            columns = [
                np.pad(one, ((0, 0), (0, longest - one.shape[1])), constant_values=np.nan)
                for one in columns
            ]
        return np.asarray(np.concatenate(columns)[order])

    return Outcome(**{field.name: column(field.name) for field in fields(Outcome)})
