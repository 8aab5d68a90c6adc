"""A recipe up or down: what stays, what moves and why, and how long it will run, as an estimate."""

import math
from dataclasses import dataclass, replace
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.brew import Brew, How, SlipKind
from halfclick.model.cup import RETAINED_G_PER_G, beverage_g
from halfclick.model.kit import Dripper, DripperShape
from halfclick.model.moves import resized
from halfclick.model.recipe import Recipe
from halfclick.model.size import same_size
from halfclick.model.tasting import Marks
from halfclick.physics.scaling import PRIORS, Exponent, fit_exponent, scaled_time_s
from halfclick.physics.vessel import BED_ML_PER_G, holds_ml, inside_of
from halfclick.service.band import own_band
from halfclick.service.coffees import left_in
from halfclick.service.cups import newest_of, newest_tasting
from halfclick.service.kitchens import KitView
from halfclick.service.plan import (
    Planned,
    why_scaled,
)
from halfclick.service.plan_check import check_plan
from halfclick.service.scaled_pours import scaled_pours
from halfclick.store.journal import Store
from halfclick.store.many import scaled_on
from halfclick.wording import Message

# With plain water added afterwards, so much goes through the bed per gram (our own default:
# stronger than people drink it, and still far from where a bed keeps back most of its water).
BYPASS_BED_RATIO = 12.0
# A usual kettle holds 0.8 to 1 L and the rinse takes some of it (common practice, no source).
KETTLE_G = 800.0
RINSE_G = 100.0
# An eighth to spare above the grounds and their bloom, so that nothing swells over the rim (our
# own default).
SPARE = 1.125
# Dryness and bitterness from here on count as near drying (our own default; 5 is clearly there).
NEAR_DRYING = 3.0
# Ratios further apart than this are not compared by the clock (our own default).
RATIO_SHARE = 0.05
# Slips after which a drained time says nothing of the size.
_CLOCK_SLIPS = frozenset(
    {SlipKind.STALL, SlipKind.LIFTED_EARLY, SlipKind.LOST_CLOCK, SlipKind.UNDERSHOOT}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """How long the scaled brew may run, s; `middle_s` is None where only a range can be said."""

    low_s: float
    middle_s: float | None
    high_s: float
    brews: int

    @property
    def ends_shown_s(self) -> tuple[float, float]:
        """The range as it is printed, to 5 s."""
        return _fives(self.low_s), _fives(self.high_s)

    @property
    def middle_shown_s(self) -> float | None:
        """The middle as it is printed, to 5 s."""
        return None if self.middle_s is None else _fives(self.middle_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scaling:
    """A recipe at another size, with what changes and why, and what speaks against it.

    `bypass_offered`: the brew is large, and water may be added to the drink instead of the bed.
    """

    planned: Planned
    dose_factor: float
    bypass_offered: bool
    estimate: Estimate | None
    told: tuple[Message, ...]
    warnings: tuple[Message, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _From:
    """What is scaled, and how long it ran where that is known."""

    recipe: Recipe
    drained_s: float | None
    marks: Marks | None = None


def dose_for_guests(planned: Planned, people: float, cup_g: float) -> float:
    """Return the dose, g, that gives so many people so much drink each, at the drink's ratio.

    Raises:
        BadInput: it cannot be poured.
    """
    if not 1 <= people <= 50 or not people.is_integer():
        raise BadInput("scale.bad_people", given=people)
    if not 20 <= cup_g <= 1000:
        raise BadInput("scale.bad_cup", given_g=cup_g)
    recipe = _whole(planned)
    if recipe.ratio <= RETAINED_G_PER_G:
        raise BadInput("recipe.bad_water", given_g=recipe.water_g, dose_g=recipe.dose_g)
    return round(people * cup_g / (recipe.ratio - RETAINED_G_PER_G), 1)


def scale(
    store: Store,
    planned: Planned,
    kit: KitView,
    *,
    dose_g: float,
    bypass: bool = False,
    exponent: Exponent | None = None,
) -> Scaling:
    """Return a plan at another dose: same ratio, temperature and bloom multiple.

    Args:
        store: the journal: its brews teach how long larger ones run.
        planned: the plan to be scaled.
        kit: what it will be brewed on.
        dose_g: the dose wanted.
        bypass: whether a part of the water is added to the drink instead of the bed.
        exponent: as it was `learned` on this kit; read from the journal where it is not given.

    Raises:
        BadInput: there is no such recipe, or its pours would run into one another.
    """
    start = _start(store, planned, kit)
    factor = dose_g / start.recipe.dose_g
    sized = resized(start.recipe, dose_g, float(round(dose_g * start.recipe.ratio)))
    bypass_g = _bypass_g(sized) if bypass else 0.0
    if bypass_g:
        sized = resized(start.recipe, dose_g, sized.water_g - bypass_g)
    near = same_size(sized, start.recipe)
    exponent = exponent or learned(store, kit)
    if not near:
        time_factor = factor ** (exponent.middle or exponent.low)
        sized = scaled_pours(start.recipe, sized, time_factor, room_g=_room_g(sized, kit))
    estimate = _estimate(start, sized, factor, exponent)
    return Scaling(
        planned=_planned(planned, start, sized, bypass_g),
        dose_factor=factor,
        bypass_offered=bool(bypass_g) or (factor > 1 and not near and can_bypass(sized)),
        estimate=estimate,
        told=_told(start, sized, kit, estimate, bypass_g),
        warnings=_warnings(store, planned.bag_id, sized, kit),
    )


def can_bypass(recipe: Recipe) -> bool:
    """Return whether a recipe leaves water to be added afterwards."""
    return _bypass_g(recipe) > 0


def learned(store: Store, kit: KitView) -> Exponent:
    """Return how the flow part grows with the dose on this dripper, from scaled brews on it."""
    prior = PRIORS[kit.dripper.shape]
    with store.reading() as r:
        pairs: list[tuple[float, float]] = []
        for brew_id in scaled_on(r, kit.dripper.id):
            brew = r.get(Brew, brew_id)
            parent = newest_of(r, brew.parent_id) if brew.parent_id else None
            if parent is None or not _same_shape(r.find(Dripper, parent.kit.dripper_id), kit):
                continue
            pair = _pair(parent, brew)
            if pair is not None:
                pairs.append(pair)
    return fit_exponent(prior, pairs)


def is_scaled(store: Store, brew: Brew) -> bool:
    """Return whether a brew was made at another size than the brew it came from."""
    parent = _parent(store, brew)
    return parent is not None and not same_size(brew.plan, parent.plan)


def expected(store: Store, brew: Brew, kit: KitView) -> Estimate | None:
    """Return how long a scaled brew was expected to run; None where that cannot be said.

    Its own time, once it is known, is among the brews that this is learned from.
    """
    parent = _parent(store, brew)
    if parent is None or same_size(brew.plan, parent.plan):
        return None
    start = _From(recipe=parent.plan, drained_s=_drained_s(parent))
    return _estimate(start, brew.plan, brew.plan.dose_g / parent.plan.dose_g, learned(store, kit))


def _parent(store: Store, brew: Brew) -> Brew | None:
    with store.reading() as r:
        return newest_of(r, brew.parent_id) if brew.parent_id else None


def _same_shape(dripper: Dripper | None, kit: KitView) -> bool:
    return dripper is not None and dripper.shape is kit.dripper.shape


def _pair(parent: Brew, brew: Brew) -> tuple[float, float] | None:
    """Return the dose factor and the flow part's time factor; None where they cannot be told."""
    before_s, after_s = _drained_s(parent), _drained_s(brew)
    if before_s is None or after_s is None or parent.drained_rule is not brew.drained_rule:
        return None
    steps = [one.plan.setting.steps if one.plan.setting else None for one in (parent, brew)]
    if steps[0] != steps[1] or parent.kit.grinder_id != brew.kit.grinder_id:
        return None  # another grind is another time, whatever the size
    if abs(brew.plan.ratio - parent.plan.ratio) > RATIO_SHARE * parent.plan.ratio:
        return None  # less or more water through the bed, as with bypass
    flow_before_s, flow_after_s = before_s - _held_s(parent.plan), after_s - _held_s(brew.plan)
    if flow_before_s <= 0 or flow_after_s <= 0:
        return None
    return brew.plan.dose_g / parent.plan.dose_g, flow_after_s / flow_before_s


def _drained_s(brew: Brew) -> float | None:
    known = brew.poured.drained_s.how in {How.MEASURED, How.CORRECTED}
    if not known or any(slip.kind in _CLOCK_SLIPS for slip in brew.slips):
        return None
    return brew.poured.drained_s.value


def _held_s(recipe: Recipe) -> float:
    return recipe.steep_s if recipe.steep_s is not None else recipe.bloom_s


def _start(store: Store, planned: Planned, kit: KitView) -> _From:
    recipe, marks, drained_s = _whole(planned), None, None
    with store.reading() as r:
        parent = newest_of(r, planned.parent_id) if planned.parent_id else None
        tasting = newest_tasting(r, parent) if parent else None
    if parent is not None:
        marks = tasting.marks if tasting else None
        drained_s = _drained_s(parent)
        if not same_size(recipe, parent.plan):
            # A plan that was scaled already is scaled from its cup again, not from itself.
            recipe = replace(
                parent.plan, setting=recipe.setting, temperature_c=recipe.temperature_c
            )
    if drained_s is None:
        band = own_band(store, recipe, kit)
        drained_s = (band.low_s + band.high_s) / 2 if band else None
    return _From(recipe=recipe, drained_s=drained_s, marks=marks)


def _whole(planned: Planned) -> Recipe:
    """Return a plan's recipe with all of its water through the bed."""
    recipe = planned.recipe
    if not planned.bypass_g:
        return recipe
    return resized(recipe, recipe.dose_g, recipe.water_g + planned.bypass_g)


def _bypass_g(recipe: Recipe) -> float:
    """Return the water that can be added afterwards, g; 0 where the recipe is short already."""
    return max(recipe.water_g - round(recipe.dose_g * BYPASS_BED_RATIO), 0.0)


def _room_g(recipe: Recipe, kit: KitView) -> float | None:
    """Return what one pour may hold; None where the outlet is shut while water is poured."""
    if kit.dripper.shape is DripperShape.IMMERSION:
        return None
    return holds_ml(inside_of(kit.dripper)) - recipe.dose_g * BED_ML_PER_G


def _estimate(start: _From, sized: Recipe, factor: float, exponent: Exponent) -> Estimate | None:
    held_s = _held_s(start.recipe)
    if start.drained_s is None or start.drained_s <= held_s:
        return None
    # Less water through the bed than the ratio asks for runs shorter in proportion.
    share = (sized.water_g / sized.dose_g) / start.recipe.ratio
    base_s = held_s + (start.drained_s - held_s) * min(share, 1.0)

    def at(power: float) -> float:
        return scaled_time_s(base_s, held_s, factor, power)

    ends_s = sorted((at(exponent.low), at(exponent.high)))
    last = sized.pours[-1]
    before_g = sized.pours[-2].until_g if len(sized.pours) > 1 else 0.0
    # It cannot have drained before the last of the water is in.
    poured_s = last.start_s + (last.until_g - before_g) / last.rate_g_s
    middle_s = at(exponent.middle) if exponent.middle is not None else None
    return Estimate(
        low_s=max(ends_s[0], poured_s),
        middle_s=None if middle_s is None else max(middle_s, poured_s),
        high_s=max(ends_s[1], poured_s),
        brews=exponent.brews,
    )


def _planned(planned: Planned, start: _From, sized: Recipe, bypass_g: float) -> Planned:
    why = tuple(one for one in planned.why if not one.code.startswith("scale."))
    if bypass_g or not same_size(sized, start.recipe):
        why = why_scaled(why, start.recipe.dose_g, sized.dose_g, bypass_g)
    return replace(planned, recipe=sized, why=why, bypass_g=bypass_g)


def _told(
    start: _From, sized: Recipe, kit: KitView, estimate: Estimate | None, bypass_g: float
) -> tuple[Message, ...]:
    before = start.recipe
    if bypass_g:
        kept = Message("scale.kept_bypass", {"bloom_g": sized.bloom_g})
    else:
        values = {"ratio": before.ratio, "water_g": sized.water_g, "bloom_g": sized.bloom_g}
        kept = Message("scale.kept", values)
    messages = [kept]
    if bypass_g:
        drink_g = beverage_g(sized.water_g, sized.dose_g) + bypass_g
        messages.append(Message("scale.bypass", {"bypass_g": bypass_g, "drink_g": drink_g}))
    messages.extend(_told_time(estimate, kit))
    if bypass_g and estimate is not None:
        messages.append(Message("scale.time_bypass"))
    messages.append(_told_grind(start, sized, kit))
    if len(sized.pours) != len(before.pours):
        messages.append(Message("scale.pours", {"count": len(sized.pours) - 1}))
    if sized.pours[-1].rate_g_s > before.pours[-1].rate_g_s:
        messages.append(Message("scale.rate", {"rate_g_s": sized.pours[-1].rate_g_s}))
    return tuple(messages)


def _told_time(estimate: Estimate | None, kit: KitView) -> list[Message]:
    if estimate is None:
        return [Message("scale.time_unknown")]
    low_s, high_s = estimate.ends_shown_s
    values: dict[str, object] = {"low_time_s": low_s, "high_time_s": high_s}
    code = "scale.time_range"
    if estimate.middle_s is not None:
        code, values["about_time_s"] = "scale.time_about", estimate.middle_shown_s
    messages = [Message(code, values), Message(f"scale.because_{kit.dripper.shape.value}")]
    if estimate.brews:
        messages.append(Message("scale.learned", {"count": estimate.brews}))
    return messages


def _told_grind(start: _From, sized: Recipe, kit: KitView) -> Message:
    factor = sized.dose_g / start.recipe.dose_g
    if same_size(sized, start.recipe):
        return Message("scale.grind_same")
    if factor < 1:
        return Message("scale.grind_smaller")
    marks = start.marks
    near = marks is not None and max(marks.harsh or 0.0, marks.bitter or 0.0) >= NEAR_DRYING
    if near:
        return Message("scale.grind_near_drying")
    fixed = kit.dripper.shape in {DripperShape.FLAT_BOTTOM, DripperShape.WEDGE}
    return Message("scale.grind_fixed_area" if fixed else "scale.grind_larger")


def _warnings(store: Store, bag_id: UUID, sized: Recipe, kit: KitView) -> tuple[Message, ...]:
    messages = list(check_plan(sized, kit, left_in(store, bag_id)))
    inside = inside_of(kit.dripper)
    takes_g = holds_ml(inside) / (BED_ML_PER_G + sized.bloom_multiple)
    if takes_g < sized.dose_g * SPARE:
        messages = [one for one in messages if not one.code.startswith("plan.near_rim")]
        code = "scale.dripper_small" if inside.measured else "scale.dripper_small_typical"
        values = {
            "takes_g": math.floor(takes_g),
            "dose_g": sized.dose_g,
            "wanted_g": math.ceil(sized.dose_g * SPARE),
        }
        messages.insert(0, Message(code, values))
    if sized.water_g + RINSE_G > KETTLE_G:
        messages.append(Message("scale.kettle", {"water_g": sized.water_g}))
    return tuple(messages)


def _fives(value_s: float) -> float:
    return round(value_s / 5) * 5.0
