"""Advise on a tasted cup, and keep what the person answers."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from statistics import median
from uuid import UUID, uuid4

from halfclick.model.advice import Advice, Answer, Proposal
from halfclick.model.brew import Brew
from halfclick.model.coffee import Bag, Coffee, Lot
from halfclick.model.preference import Preference
from halfclick.model.tasting import Mark, Tasting
from halfclick.service.around import context_of
from halfclick.service.cups import Cup, answers_to, cups_of_coffee
from halfclick.service.done import Done, Touched
from halfclick.service.kitchens import kit_of
from halfclick.service.limits import limits_of
from halfclick.service.record import TastingEntry, tasting_of
from halfclick.service.rule_book import rules_in_force
from halfclick.service.said_before import CODES
from halfclick.service.trial_findings import habits_found_in, weighed
from halfclick.store.journal import Reader, Store
from halfclick.store.many import recent_marks
from halfclick.taste.case import case_of
from halfclick.taste.diagnosis import diagnose

# A person's usual use of a mark is known from so many tastings on (our own default).
USUAL_FROM = 5
# The use of a scale drifts; so many of the newest tastings tell it (our own default).
USUAL_OF = 200
TWO_CHANGES = "two_changes"


def advise(store: Store, brew_id: UUID, entry: TastingEntry | None = None) -> Advice | None:
    """Return the advice on a cup; None where it has not been tasted.

    Args:
        store: the journal.
        brew_id: which cup.
        entry: the tasting as it is being typed; None for the one in the journal.
    """
    with store.reading() as r:
        brew = _newest(r, r.get(Brew, brew_id))
        cups = _cups(r, brew)
        usual = _usual(r)
        allowed = two_changes_allowed(r)
        rules = weighed(rules_in_force(r), habits_found_in(r, brew.kit.dripper_id))
    here = next((index for index, cup in enumerate(cups) if cup.brew.id == brew.id), len(cups))
    if entry is not None:
        tasting: Tasting | None = tasting_of(brew_id, entry, brew.started_at)
    else:
        tasting = cups[here].tasting if here < len(cups) else None
    if tasting is None:
        return None
    kit = kit_of(store, brew.kit)
    kit = replace(kit, kitchen=replace(kit.kitchen, drained_rule=brew.drained_rule))
    limits = limits_of(store, brew.plan, kit)
    with store.reading() as r:
        context = context_of(r, brew, tasting, cups[:here], kit, two_allowed=allowed)
    case = case_of(
        brew,
        tasting,
        shape=kit.dripper.shape,
        band=limits.band,
        usual=usual,
        context=context,
    )
    return diagnose(case, limits, rules)


def newest_of(store: Store, brew_id: UUID) -> Brew:
    """Return a brew as it was last corrected."""
    with store.reading() as r:
        return _newest(r, r.get(Brew, brew_id))


def typed_tasting(store: Store, brew: Brew, entry: TastingEntry | None) -> Tasting | None:
    """Return a cup's taste: as it is typed, else as the journal has it."""
    if entry is not None:
        return tasting_of(brew.id, entry, brew.started_at)
    with store.reading() as r:
        cups = _cups(r, brew)
    return next((cup.tasting for cup in cups if cup.brew.id == brew.id), None)


def is_answered(store: Store, brew_id: UUID) -> bool:
    """Return whether the person said yes or no to the advice on a brew."""
    with store.reading() as r:
        return bool(answers_to(r, r.get(Brew, brew_id)))


def answer(
    store: Store,
    brew_id: UUID,
    advice: Advice,
    said: Answer,
    *,
    reason: str = "",
    clock: Callable[[], datetime],
) -> Done[Proposal]:
    """Keep an advice as it was answered; accepted, it is the next recipe, its reason with it.

    What a person's own cups expect of it goes with the reasons, to be held against the cup.
    """
    now = clock()
    proposal = Proposal(
        id=uuid4(),
        brew_id=brew_id,
        answered_at=now,
        answer=said,
        outcome=advice.outcome,
        rule=advice.rule,
        changes=advice.changes,
        recipe=advice.recipe,
        evidence=advice.evidence,
        why=(*advice.why, *(one for one in advice.expect if one.code in CODES)),
        answer_reason=reason.strip(),
    )
    with store.writing(now) as w:
        w.add(proposal)
    return Done(proposal, Touched.BREWS | Touched.COFFEES)


def two_changes_allowed(r: Reader) -> bool:
    """Return whether this person lets an advice move two levers at once."""
    choices = r.all(Preference, key=TWO_CHANGES)
    return bool(choices) and choices[-1].value == "yes"


def allow_two_changes(
    store: Store, allowed: bool, *, clock: Callable[[], datetime]
) -> Done[Preference]:
    """Keep whether an advice may move two levers at once; each advice that does says so."""
    choice = Preference(id=uuid4(), key=TWO_CHANGES, value="yes" if allowed else "no")
    with store.writing(clock()) as w:
        w.add(choice)
    return Done(choice, Touched.SETTINGS)


def _newest(r: Reader, brew: Brew) -> Brew:
    """Return a brew as it was last corrected."""
    later = {one.corrects_id: one for one in r.all(Brew, bag_id=brew.bag_id, corrected=True)}
    while brew.id in later:
        brew = later[brew.id]
    return brew


def _cups(r: Reader, brew: Brew) -> tuple[Cup, ...]:
    lot = r.get(Lot, r.get(Bag, brew.bag_id).lot_id)
    return cups_of_coffee(r, r.get(Coffee, lot.coffee_id).id)


def _usual(r: Reader) -> dict[Mark, float]:
    """Return what this person usually gives each mark of late, where enough tastings tell."""
    given: dict[Mark, list[float]] = {mark: [] for mark in Mark}
    for marks in recent_marks(r, USUAL_OF):
        for mark in Mark:
            value = marks[mark.value]
            if value is not None:
                given[mark].append(value)
    return {mark: median(values) for mark, values in given.items() if len(values) >= USUAL_FROM}
