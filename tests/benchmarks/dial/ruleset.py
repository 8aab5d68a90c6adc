"""Halfclick's own rule set alone: the request told as a case, the advice told as settings.

What the door's levers cannot do is left out: the number of pours, acts that move no lever, the
long steep. Of a declared pair (grind with ratio) the grind alone is moved, so that it keeps to one
change a brew.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any
from uuid import UUID

from dial.levers import LEVERS, Floats, Settings, changed, grids_of
from dial.peers import Answer, Request, best_liked, settings_of
from dial.thumb import FAST_S, SLOW_S
from halfclick.model.advice import Act, Advice, Outcome
from halfclick.model.coffee import Roast
from halfclick.model.grinder import SEARCH_STEPS_UNKNOWN, Setting
from halfclick.model.kit import DripperShape, ScaleCarries
from halfclick.model.limits import Limits
from halfclick.model.moves import differences
from halfclick.model.recipe import Lever, Recipe, even_pours
from halfclick.model.tasting import Mark, Marks
from halfclick.taste.case import GOOD_LIKING, Case, marks_there
from halfclick.taste.diagnosis import diagnose
from halfclick.taste.rules import ClockPlace, Felt, Rule, load_rules

ZERO = UUID(int=0)
# Changes without gain: liking must rise by half a point (as the program counts them).
GAIN = 0.5


class RuleSet:
    """The rules that come with the program."""

    name = "rule set"
    one_change = True

    def __init__(self) -> None:
        self._rules = tuple(rule for rule in load_rules() if _is_for_levers(rule))

    def answer(self, request: Request) -> Answer:
        """Answer with the advice on the last cup."""
        history = request["history"]
        if not history:
            start = dict(request["context"]["start"])
            return Answer(next=start, best=start)
        here = settings_of(history[-1])
        best = settings_of(history[best_liked(history)])
        context, grids = request["context"], grids_of(request["context"])
        case, limits = _case(context, history, grids), _limits(context, here, grids)
        advice = diagnose(case, limits, self._rules)
        if advice.outcome is Outcome.IMMERSION:
            advice = diagnose(replace(case, fruitless=0, steeped_before=True), limits, self._rules)
        after = _settings_after(advice, here, context, grids)
        held = advice.outcome in {Outcome.HOLD, Outcome.CONFIRM}
        status = "searching"
        if held:
            status = "dialled in" if advice.outcome is Outcome.HOLD else "one good cup"
        return Answer(next=after, best=here if held else best, status=status)


def _is_for_levers(rule: Rule) -> bool:
    if rule.act not in {None, Act.LONGER_BLOOM}:
        return False
    return Lever.POURS not in rule.levers and rule.outcome is not Outcome.STOP


def _case(
    context: Mapping[str, Any], history: Sequence[Mapping[str, Any]], grids: Sequence[Floats]
) -> Case:
    seen = history[-1]["seen"]
    recipes = [_recipe(context, settings_of(brew), grids) for brew in history]
    marks = _marks(seen)
    liking = seen.get("liking")
    faults = {name for name in (seen.get("words") or []) if name != "sweet"}
    weight = seen.get("weight")
    weight = 1.0 if weight is None else weight
    roast = context.get("roast")
    good_before = any(
        not changed(settings_of(brew), settings_of(history[-1]))
        and (brew["seen"].get("liking") or 0.0) >= GOOD_LIKING
        for brew in history[:-1]
    )
    there = marks_there(marks, {}) | {Mark(name) for name in faults}
    return Case(
        recipe=recipes[-1],
        marks=marks,
        there=there,
        felt=Felt(seen.get("strength_felt") or "unsaid"),
        liking=liking,
        verdict=None,
        clock=_clock(seen.get("time_s")),
        drained_s=seen.get("time_s"),
        band=None,
        stalled=bool(seen.get("time_s") and seen["time_s"] > 420),
        shape=_shape(context["dripper"]),
        departures=(),
        slipped=weight < 0.7,
        weight=weight,
        last_changes=differences(recipes[-2], recipes[-1]) if len(recipes) > 1 else (),
        fruitless=_fruitless(history),
        good_before=good_before,
        roast=Roast(roast) if roast else None,
        age_days=context.get("days_off_roast"),
    )


def _marks(seen: Mapping[str, Any]) -> Marks:
    marks = seen.get("marks") or {}
    if not any(value is not None for value in marks.values()):
        words = seen.get("words")
        # A tick without a number is stored as 5, as the program does; looked and not said as 0.
        marks = {} if words is None else {m.value: 5.0 if m.value in words else 0.0 for m in Mark}
    return Marks(**{mark.value: marks.get(mark.value) for mark in Mark})


def _clock(time_s: float | None) -> ClockPlace:
    """Return where a clock lies; a person without a band of their own takes 1:35 to 4:40."""
    if time_s is None:
        return ClockPlace.UNKNOWN
    if time_s < FAST_S:
        return ClockPlace.FAST
    return ClockPlace.SLOW if time_s > SLOW_S else ClockPlace.INSIDE


def _fruitless(history: Sequence[Mapping[str, Any]]) -> int:
    count = 0
    for before, after in reversed(list(pairwise(history))):
        likings = before["seen"].get("liking"), after["seen"].get("liking")
        same = not changed(settings_of(before), settings_of(after))
        if same or None in likings or likings[1] >= likings[0] + GAIN:
            break
        count += 1
    return count


def _shape(dripper: str) -> DripperShape:
    name = dripper.replace(" ", "_")
    known = {one.value for one in DripperShape}
    return DripperShape(name) if name in known else DripperShape.STEEP_CONE


def _units(context: Mapping[str, Any], setting: float, grid: Floats) -> int:
    """Return steps from the fine end of the dial, coarser positive."""
    dial = context["dial"]
    away = setting - grid[0] if dial["finer"] == "lower" else grid[-1] - setting
    return round(away / dial["step"])


def _setting(units: int) -> Setting:
    return Setting(text=str(units), steps=units, zero_id=ZERO)


def _recipe(context: Mapping[str, Any], here: Settings, grids: Sequence[Floats]) -> Recipe:
    water_g = here["ratio"] * context["dose_g"]
    return Recipe(
        dose_g=context["dose_g"],
        water_g=water_g,
        pours=even_pours(
            context["dose_g"],
            water_g,
            bloom_multiple=here["bloom_x"],
            bloom_s=here["bloom_s"],
            rate_g_s=here["pour_g_s"],
        ),
        temperature_c=here["water_c"],
        setting=_setting(_units(context, here["setting"], grids[0])),
        stir_bloom=bool(here["swirl"]),
    )


def _limits(context: Mapping[str, Any], here: Settings, grids: Sequence[Floats]) -> Limits:
    units, most = _units(context, here["setting"], grids[0]), len(grids[0]) - 1
    half = SEARCH_STEPS_UNKNOWN // 2

    def reached(by: int) -> Setting | None:
        return _setting(units + by) if 0 <= units + by <= most else None

    return Limits(
        boiling_c=min(float(context["boiling_c"]), float(grids[LEVERS.index("water_c")][-1])),
        shape=_shape(context["dripper"]),
        scale_carries=ScaleCarries.DRIPPER_AND_SERVER,
        search_steps=SEARCH_STEPS_UNKNOWN,
        finer=reached(-SEARCH_STEPS_UNKNOWN),
        coarser=reached(SEARCH_STEPS_UNKNOWN),
        half_finer=reached(-half),
        half_coarser=reached(half),
    )


def _settings_after(
    advice: Advice, here: Settings, context: Mapping[str, Any], grids: Sequence[Floats]
) -> Settings:
    """Return the advised settings on the grid, one lever moved."""
    recipe = advice.recipe
    dial = context["dial"]
    units = recipe.setting.steps if recipe.setting else 0
    away = units * dial["step"]
    wanted = {
        "setting": grids[0][0] + away if dial["finer"] == "lower" else grids[0][-1] - away,
        "ratio": recipe.ratio,
        "water_c": recipe.temperature_c or here["water_c"],
        "pour_g_s": recipe.pours[-1].rate_g_s,
        "bloom_x": recipe.bloom_multiple,
        "bloom_s": recipe.bloom_s,
        "swirl": float(recipe.stir_bloom),
    }
    before = _recipe(context, here, grids)
    if advice.outcome is not Outcome.CHANGE and advice.act is None:
        return here
    told = {
        "setting": before.setting != recipe.setting,
        "ratio": abs(before.ratio - recipe.ratio) > 0.06,
        "water_c": before.temperature_c != recipe.temperature_c,
        "pour_g_s": before.pours[-1].rate_g_s != recipe.pours[-1].rate_g_s,
        "bloom_x": abs(before.bloom_multiple - recipe.bloom_multiple) > 0.06,
        "bloom_s": abs(before.bloom_s - recipe.bloom_s) > 0.5,
        "swirl": before.stir_bloom != recipe.stir_bloom,
    }
    for name in LEVERS:
        grid = grids[LEVERS.index(name)]
        value = float(grid[abs(grid - wanted[name]).argmin()])
        if told[name] and value != here[name]:
            return {**here, name: value}
    return here
