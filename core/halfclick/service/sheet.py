"""One coffee on one sheet: the last cup, the next cup, and what to expect."""

from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

from halfclick.errors import NotFound
from halfclick.model.advice import LEARNER, Advice, Answer, Proposal
from halfclick.model.coffee import Bag, Coffee, Lot, age_days, brews_left
from halfclick.model.grinder import ZeroReason
from halfclick.model.limits import DrainedBand
from halfclick.model.recipe import Lever, Recipe
from halfclick.model.tasting import Verdict
from halfclick.service.advise import advise
from halfclick.service.band import own_band
from halfclick.service.coffees import left_in
from halfclick.service.cups import Cup, Status, answers_to, bags_of, cups_of_coffee, status_of
from halfclick.service.first_recipe import FirstRecipe, first_recipe
from halfclick.service.history import breaks_between, coffee_history
from halfclick.service.kitchens import KitView, kit_in_use
from halfclick.service.plan import Planned, last_cup, next_plan
from halfclick.service.said_before import CODES
from halfclick.store.journal import Store
from halfclick.wording import Message


@dataclass(frozen=True, slots=True, kw_only=True)
class StripPoint:
    """One cup in the strip of grind settings."""

    brew_id: UUID
    number: int
    steps: int | None
    setting_text: str
    verdict: Verdict | None
    liking: float | None
    changed: bool
    zero_id: UUID
    break_before: ZeroReason | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CoffeeSheet:
    """Everything the sheet of a coffee shows; the bag is its newest."""

    coffee: Coffee
    lot: Lot
    bag: Bag
    kit: KitView | None
    age_days: int | None
    left_g: float | None
    brews_left: int | None
    status: Status
    cups: int
    last: Cup | None
    next: Planned | None
    next_before: Recipe | None
    first: FirstRecipe | None
    advice: Advice | None
    advice_answered: bool
    band: DrainedBand | None
    strip: tuple[StripPoint, ...]
    summary: tuple[Message, ...]


def coffee_sheet(store: Store, coffee_id: UUID, today: date) -> CoffeeSheet:
    """Return the sheet of a coffee.

    Raises:
        NotFound: the journal has no such coffee, or no bag of it.
    """
    kit = kit_in_use(store)
    with store.reading() as r:
        coffee = r.get(Coffee, coffee_id)
        bags = bags_of(r, coffee_id)
        if not bags:
            raise NotFound("coffee.no_bag", name=coffee.name)
        bag = bags[-1]
        lot = r.get(Lot, bag.lot_id)
        cups = cups_of_coffee(r, coffee_id)
    last = cups[-1] if cups else None
    if last is not None and last.scaled and last.tasting is not None:
        # A cup for guests that was tasted is over: the sheet goes on from the usual size.
        last = last_cup(store, bag.id)
    with store.reading() as r:
        answers = answers_to(r, last.brew) if last is not None else []
    tasted = last is not None and last.tasting is not None
    planned = next_plan(store, bag.id, today=today) if kit else None
    left_g = left_in(store, bag.id)
    dose_g = planned.recipe.dose_g if planned else None
    return CoffeeSheet(
        coffee=coffee,
        lot=lot,
        bag=bag,
        kit=kit,
        age_days=age_days(lot, bag, today),
        left_g=left_g,
        brews_left=brews_left(left_g, dose_g) if left_g is not None and dose_g else None,
        status=status_of(cups),
        cups=len(cups),
        last=last,
        next=planned,
        next_before=_before(cups, planned),
        first=first_recipe(store, bag.id, today=today) if kit and last is None else None,
        advice=_advice(store, last, answers) if last and tasted else None,
        advice_answered=bool(answers),
        band=own_band(store, planned.recipe, kit) if planned and kit else None,
        strip=_strip(store, cups),
        summary=coffee_history(store, coffee_id).summary,
    )


def _advice(store: Store, last: Cup, answers: list[Proposal]) -> Advice | None:
    """Return the rules' advice on a cup, and what the person's own cups said where it was taken."""
    newest = max(answers, key=lambda one: one.answered_at, default=None)
    rules = advise(store, last.brew.id)
    if newest is None or newest.answer is not Answer.ACCEPTED or rules is None:
        return rules
    said = tuple(one for one in newest.why if one.code in CODES)
    if newest.rule != LEARNER:
        beside = tuple(one for one in newest.why if one.code.startswith("learner."))
        why = (*rules.why, *(one for one in beside if one.code not in CODES))
        return replace(rules, why=why, expect=(*rules.expect, *said))
    return Advice(
        outcome=newest.outcome,
        rule=newest.rule,
        recipe=newest.recipe,
        evidence=newest.evidence,
        changes=newest.changes,
        why=tuple(one for one in newest.why if one.code not in CODES),
        expect=said,
    )


def _before(cups: tuple[Cup, ...], planned: Planned | None) -> Recipe | None:
    """Return the recipe of the cup that a plan comes from; of the newest where it is not known."""
    if not cups:
        return None
    parent_id = planned.parent_id if planned else None
    return next((cup.brew.plan for cup in cups if cup.brew.id == parent_id), cups[-1].brew.plan)


def _strip(store: Store, cups: tuple[Cup, ...]) -> tuple[StripPoint, ...]:
    breaks = breaks_between(store, cups)
    return tuple(
        StripPoint(
            brew_id=cup.brew.id,
            number=cup.number,
            steps=cup.brew.plan.setting.steps if cup.brew.plan.setting else None,
            setting_text=cup.brew.plan.setting.text if cup.brew.plan.setting else "",
            verdict=cup.tasting.verdict if cup.tasting else None,
            liking=cup.tasting.liking if cup.tasting else None,
            changed=any(change.lever is Lever.GRIND for change in cup.brew.changes),
            zero_id=cup.brew.kit.zero_id,
            break_before=breaks.get(cup.brew.id),
        )
        for cup in cups
    )
