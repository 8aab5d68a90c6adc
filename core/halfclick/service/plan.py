"""The plan of the next brew: sized from either side, checked against the kit, moved by a change."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

from halfclick.errors import BadInput, NotFound
from halfclick.model.acts import acts_in
from halfclick.model.advice import LEARNER, Act, Answer, Outcome, Proposal
from halfclick.model.brew import Brew, Mode
from halfclick.model.coffee import Bag, Lot
from halfclick.model.cup import water_for_beverage_g
from halfclick.model.grinder import Zero
from halfclick.model.moves import differences, resized
from halfclick.model.planned_bypass import CODE, planned_bypass_g
from halfclick.model.recipe import Change, Lever, Recipe
from halfclick.model.size import same_size
from halfclick.service.cups import (
    Cup,
    answers_to,
    bags_of,
    cup_at,
    cups_of_coffee,
    of_own_size,
    place_of,
    places_of_coffee,
)
from halfclick.service.first_recipe import first_recipe
from halfclick.service.grinders import at_zero
from halfclick.service.kitchens import KitView, boils_at_c, kit_in_use
from halfclick.store.good_cups import newest_good_of
from halfclick.store.journal import Store
from halfclick.wording import Message, own_words

# What another size moves by itself, so that it is no change under test.
SIZE_LEVERS = frozenset({Lever.GRIND, Lever.POURS, Lever.POUR_RATE})


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A brew that is about to be made, and where it comes from.

    `bypass_g` is plain water to be added to the drink afterwards.
    """

    bag_id: UUID
    recipe: Recipe
    mode: Mode
    parent_id: UUID | None = None
    changes: tuple[Change, ...] = ()
    proposal_id: UUID | None = None
    why: tuple[Message, ...] = ()
    bypass_g: float = 0.0


def next_plan(store: Store, bag_id: UUID, *, today: date) -> Planned:
    """Return the next brew of a bag: the advice accepted, else the last plan, else a first recipe.

    Raises:
        ValueError: there is no kit yet.
    """
    kit = _kit(store)
    last = last_cup(store, bag_id)
    if last is None:
        first = first_recipe(store, bag_id, today=today)
        return Planned(bag_id=bag_id, recipe=first.recipe, mode=Mode.EXPERIMENT)
    bypass_g, why_bypass = bypass_of(last.brew)
    with store.reading() as r:
        answers = answers_to(r, last.brew)
    newest = max(answers, key=lambda one: one.answered_at, default=None)
    if newest is not None and newest.answer is Answer.ACCEPTED:
        accepted = newest
        base = _base_of(store, last.brew, accepted)
        holds = accepted.outcome in {Outcome.HOLD, Outcome.CONFIRM}
        return Planned(
            bag_id=bag_id,
            recipe=on_kit(kit, last.brew, accepted.recipe),
            mode=Mode.GOOD_ONE if holds else Mode.EXPERIMENT,
            parent_id=base.id,
            changes=accepted.changes,
            proposal_id=accepted.id,
            why=accepted.why + why_bypass,
            bypass_g=bypass_g,
        )
    return Planned(
        bag_id=bag_id,
        recipe=on_kit(kit, last.brew, last.brew.plan),
        mode=Mode.GOOD_ONE if last.is_good else Mode.EXPERIMENT,
        parent_id=last.brew.id,
        why=why_bypass,
        bypass_g=bypass_g,
    )


def plan_of_coffee(store: Store, coffee_id: UUID, *, today: date) -> Planned:
    """Return the next brew of the newest bag of a coffee.

    Raises:
        NotFound: there is no bag of it.
    """
    with store.reading() as r:
        bags = bags_of(r, coffee_id)
    if not bags:
        raise NotFound("store.not_found", kind="bag")
    return next_plan(store, bags[-1].id, today=today)


def _base_of(store: Store, last: Brew, accepted: Proposal) -> Brew:
    """Return the brew that an accepted change is counted against.

    A person's own cups may go back to an earlier one: the newest that the change leads from.
    """
    is_cups = accepted.rule == LEARNER and accepted.outcome is not Outcome.IMMERSION
    if not is_cups or differences(last.plan, accepted.recipe) == accepted.changes:
        return last
    with store.reading() as r:
        lot = r.get(Lot, r.get(Bag, last.bag_id).lot_id)
        cups = cups_of_coffee(r, lot.coffee_id)
    for cup in reversed(cups):
        here = cup.brew
        same = here.kit.grinder_id == last.kit.grinder_id and here.kit.zero_id == last.kit.zero_id
        if same and differences(here.plan, accepted.recipe) == accepted.changes:
            return here
    return last


def good_one(store: Store, bag_id: UUID) -> Planned | None:
    """Return the newest good cup to brew again, exactly, at today's zero; None before the first."""
    kit = _kit(store)
    with store.reading() as r:
        coffee_id = r.get(Lot, r.get(Bag, bag_id).lot_id).coffee_id
        good_id = newest_good_of(r, coffee_id)
        if good_id is None:
            return None
        good = cup_at(r, place_of(places_of_coffee(r, coffee_id), good_id))
    bypass_g, why_bypass = bypass_of(good.brew)
    return Planned(
        bag_id=bag_id,
        recipe=on_kit(kit, good.brew, good.brew.plan),
        mode=Mode.GOOD_ONE,
        parent_id=good.brew.id,
        why=(Message("plan.why_good_one", {"number": good.number}), *why_bypass),
        bypass_g=bypass_g,
    )


def replanned(planned: Planned, recipe: Recipe, before: Recipe | None, words: str = "") -> Planned:
    """Return a plan whose recipe the person changed by hand: what was moved, and their reason.

    Args:
        planned: the plan as it was proposed.
        recipe: the recipe as the person wants it.
        before: the recipe of the brew it comes from; None for a first one.
        words: the person's own reason.
    """
    changes = _moved_by_hand(planned, before, recipe) if before is not None else ()
    if changes == planned.changes and not words:
        return replace(planned, recipe=recipe)
    return replace(
        planned,
        recipe=recipe,
        changes=changes,
        mode=Mode.EXPERIMENT if changes else planned.mode,
        why=planned.why + own_words(words),
    )


def _moved_by_hand(planned: Planned, before: Recipe, recipe: Recipe) -> tuple[Change, ...]:
    """Return what was moved, but for the time of a bloom that an act made longer."""
    changes = differences(before, recipe)
    if Act.LONGER_BLOOM not in acts_in(planned.why):
        return changes
    return tuple(one for one in changes if one.lever is not Lever.BLOOM or one.amount)


def planned_from(store: Store, planned: Planned, recipe: Recipe, words: str = "") -> Planned:
    """Return a plan changed by hand, compared with the brew it comes from.

    Args:
        store: the journal.
        planned: the plan as it was proposed.
        recipe: the recipe as the person wants it.
        words: the person's own reason.
    """
    zero_id = recipe.setting.zero_id if recipe.setting else None
    return planned_beside(before_of(store, planned, zero_id), planned, recipe, words)


def before_of(store: Store, planned: Planned, zero_id: UUID | None) -> Recipe | None:
    """Return the recipe that a plan is compared with; None for a first one.

    Args:
        store: the journal.
        planned: the plan as it was proposed.
        zero_id: from which the plan's setting is counted; None where it has none.
    """
    if planned.parent_id is None:
        return None
    with store.reading() as r:
        parent = r.get(Brew, planned.parent_id)
        zero = r.find(Zero, zero_id) if zero_id else None
    if zero is not None and zero.grinder_id != parent.kit.grinder_id:
        # Steps of one grinder say nothing of another's.
        return replace(parent.plan, setting=None)
    return parent.plan


def planned_beside(
    before: Recipe | None, planned: Planned, recipe: Recipe, words: str = ""
) -> Planned:
    """Return a plan changed by hand, compared with a recipe that is at hand, as `planned_from`."""
    if before is not None and not same_size(recipe, before):
        return _replanned_scaled(planned, recipe, before, words)
    return replanned(planned, recipe, before, words)


def _replanned_scaled(planned: Planned, recipe: Recipe, before: Recipe, words: str) -> Planned:
    """Return a plan of another size: what the size itself moves tests nothing."""
    levers = SIZE_LEVERS | ({Lever.RATIO} if planned.bypass_g else frozenset())
    changes = tuple(one for one in differences(before, recipe) if one.lever not in levers)
    bypass_g = float(round(planned.bypass_g * recipe.dose_g / planned.recipe.dose_g))
    return replace(
        planned,
        recipe=recipe,
        changes=changes,
        mode=Mode.EXPERIMENT if changes else planned.mode,
        proposal_id=None,
        why=why_scaled(planned.why, before.dose_g, recipe.dose_g, bypass_g) + own_words(words),
        bypass_g=bypass_g,
    )


def moves_beside_pours(planned: Planned) -> bool | None:
    """Return whether a plan tests something besides its pours.

    None where pours would be no change under test: in a first cup, or at another size.
    """
    if planned.parent_id is None or any(one.code == "scale.why" for one in planned.why):
        return None
    return any(change.lever is not Lever.POURS for change in planned.changes)


def why_scaled(
    why: tuple[Message, ...], from_g: float, dose_g: float, bypass_g: float = 0.0
) -> tuple[Message, ...]:
    """Return the reasons of a plan with those of its size, once and as they are now.

    Args:
        why: the reasons so far.
        from_g: the dose of the recipe that was scaled.
        dose_g: the dose it was scaled to.
        bypass_g: the water to be added to the drink afterwards.
    """
    kept = tuple(one for one in why if not one.code.startswith("scale."))
    kept = (*kept, Message("scale.why", {"from_g": from_g, "dose_g": dose_g}))
    return (*kept, Message(CODE, {"bypass_g": bypass_g})) if bypass_g else kept


def bypass_of(brew: Brew) -> tuple[float, tuple[Message, ...]]:
    """Return the water a brew was planned to be given afterwards, and the reason that says so."""
    found = tuple(one for one in brew.why if one.code == CODE)
    return planned_bypass_g(found), found


def on_kit(kit: KitView, brew: Brew, recipe: Recipe) -> Recipe:
    """Return a recipe that a brew led to, with its setting written from the zero in force.

    It has no setting where none can be told: steps of one grinder say nothing of another's, and
    a new zero may put them past the end of the dial.
    """
    if recipe.setting is None:
        return recipe
    if brew.kit.grinder_id != kit.grinder.id:
        return replace(recipe, setting=None)
    try:
        return replace(recipe, setting=at_zero(kit.grinder, kit.zero, recipe.setting))
    except BadInput:
        return replace(recipe, setting=None)


def boiling_c(kit: KitView) -> float:
    """Return the boiling point in this kitchen, degrees Celsius."""
    return boils_at_c(kit.kitchen)


def capped(recipe: Recipe, kit: KitView) -> Recipe:
    """Return a recipe whose water is no hotter than this kitchen's boiling point."""
    top_c = boiling_c(kit)
    if recipe.temperature_c is None or recipe.temperature_c <= top_c:
        return recipe
    return replace(recipe, temperature_c=math.floor(top_c * 2) / 2)


def sized_for_cup(recipe: Recipe, beverage: float) -> Recipe:
    """Return a recipe that gives so much drink, g, at the same ratio, bloom and schedule."""
    dose_g, water_g = water_for_beverage_g(beverage, recipe.ratio)
    return resized(recipe, round(dose_g, 1), round(water_g))


def sized_for_dose(recipe: Recipe, dose_g: float) -> Recipe:
    """Return a recipe for a dose, g, at the same ratio, bloom and schedule."""
    return resized(recipe, dose_g, round(dose_g * recipe.ratio))


def sized_for_water(recipe: Recipe, water_g: float) -> Recipe:
    """Return a recipe for so much water, g, at the same ratio, bloom and schedule."""
    return resized(recipe, round(water_g / recipe.ratio, 1), water_g)


def _kit(store: Store) -> KitView:
    kit = kit_in_use(store)
    if kit is None:
        raise ValueError("no kit yet")
    return kit


def last_cup(store: Store, bag_id: UUID) -> Cup | None:
    """Return the newest cup of a bag's coffee, to go on from; None before the first.

    A cup of another size, as for guests, is passed over, unless the person said yes to its advice
    or brewed that size twice in a row.
    """
    with store.reading() as r:
        coffee_id = r.get(Lot, r.get(Bag, bag_id).lot_id).coffee_id
        newest = [cup_at(r, place) for place in places_of_coffee(r, coffee_id)[-2:]]
        if not newest:
            return None
        last = newest[-1]
        if not last.scaled:
            return last
        answered = any(one.answer is Answer.ACCEPTED for one in answers_to(r, last.brew))
        twice = len(newest) > 1 and all(cup.scaled for cup in newest)
        if answered or (twice and same_size(last.brew.plan, newest[0].brew.plan)):
            return last
        return of_own_size(cups_of_coffee(r, coffee_id))[-1]
