"""Why a rule was chosen, what spoke for and against it, what to expect of the next cup."""

from halfclick.model.coffee import Roast
from halfclick.model.limits import DrainedBand
from halfclick.model.recipe import Change, Lever
from halfclick.model.tasting import Bed, Complaint, Mark
from halfclick.taste.case import Case
from halfclick.taste.rule_words import title_of
from halfclick.taste.rules import FAULTS, ClockPlace, Felt, Rule
from halfclick.wording import Message, clock

# Younger than this off roast, a light coffee may be sharp by its age alone (common practice, no
# source).
YOUNG_DAYS = 7
# A cup that nobody weighed counts so much, without anything having slipped.
UNWEIGHED = 0.95


def why(case: Case, rule: Rule, *, half: bool) -> tuple[Message, ...]:
    """Return the reasons of an advice: what was seen, the idea behind the rule, and its size."""
    messages = [*_seen(case), because(rule)]
    if rule.shown_d > 0:
        messages.append(Message("why.shown_here"))
    if rule.act is not None:
        messages.append(Message(f"act.do_{rule.act.value}"))
    if half:
        messages.append(Message("why.half"))
    return tuple(messages)


def because(rule: Rule) -> Message:
    """Return the idea behind a rule; of a person's own, what they wrote of it, else its title."""
    if not rule.own:
        return Message(f"why.{rule.id}")
    if rule.words:
        return Message("why.own_words", {"text": rule.words})
    return Message("why.own", {"rule": title_of(rule)})


def spoke_for(case: Case) -> tuple[Message, ...]:
    """Return the marks and records that were there to be heard."""
    found = [
        Message(f"level.{mark.value}", {"level": case.marks.of(mark)})
        for mark in FAULTS
        if mark in case.there
    ]
    found += [
        Message("heard.said", {"complaint": Message(f"heard.{one.value}")})
        for one in Complaint
        if one in case.complaints
    ]
    if case.felt in {Felt.WEAK, Felt.STRONG}:
        found.append(Message(f"felt.{case.felt.value}"))
    if case.drained_s is not None and case.band is not None:
        values = {"time_s": case.drained_s, **_band(case.band)}
        found.append(Message(f"clock.{case.clock.value}", values))
    if case.stalled:
        found.append(Message("clock.stalled"))
    if case.bed is not None and case.bed is not Bed.FLAT:
        found.append(Message(f"bed.saw_{case.bed.value}"))
    return tuple(found)


def spoke_against(case: Case, rule: Rule | None = None) -> tuple[Message, ...]:
    """Return what makes an advice on this cup less sure, a rule's own notes first."""
    notes = rule.notes if rule is not None else ()
    found = [Message(f"note.{note.value}") for note in notes]
    if case.clock is ClockPlace.UNKNOWN:
        code = "against.no_time" if case.drained_s is None else "against.no_band"
        found.append(Message(code))
    elif case.clock is ClockPlace.INSIDE and case.faults:
        found.append(Message("against.inside"))
    if Mark.SWEET in case.there and case.faults:
        found.append(Message("against.sweet", {"level": case.marks.of(Mark.SWEET)}))
    if Mark.SOUR in case.there:
        found += _sour_by_nature(case)
    if case.water_changed:
        found.append(Message("against.water_changed"))
    if case.slipped or case.weight < UNWEIGHED:
        found.append(Message("against.weight", {"weight_share": case.weight}))
    return tuple(found)


def _sour_by_nature(case: Case) -> list[Message]:
    """Return what of the coffee itself may make it sour."""
    found: list[Message] = []
    if case.age_days is not None and case.age_days < YOUNG_DAYS:
        found.append(Message("against.young", {"count": case.age_days}))
    if case.roast is Roast.DARK:
        found.append(Message("against.dark_and_sour"))
    return found


def contested_by(rule: Rule) -> Message | None:
    """Return what the lab says against a rule, where it does; of an own one, its own words."""
    if rule.own and rule.contested:
        return Message("contested.own", {"text": rule.contested})
    return Message(f"contested.{rule.contested}") if rule.contested else None


def expected(
    case: Case, changes: tuple[Change, ...], strength_by: float | None
) -> tuple[Message, ...]:
    """Return what the change should do; no drained time is predicted.

    Args:
        case: the cup.
        changes: what is changed.
        strength_by: how much stronger the ratio alone makes the drink, a fraction.
    """
    found = [Message(f"expect.{change.lever.value}_{_way(change)}") for change in changes]
    if strength_by and [change.lever for change in changes] == [Lever.RATIO]:
        code = "expect.strength_more" if strength_by > 0 else "expect.strength_less"
        found.append(Message(code, {"by_strength": abs(strength_by)}))
    moves_clock = any(change.lever.value in {"grind", "pours", "pour_rate"} for change in changes)
    if moves_clock and case.band is not None and case.drained_s is not None:
        values = {"time_s": case.drained_s, **_band(case.band)}
        if case.clock in {ClockPlace.FAST, ClockPlace.SLOW}:
            found.append(Message(f"expect.from_{case.clock.value}", values))
    return tuple(found)


def mind_changer(changes: tuple[Change, ...], case: Case) -> Message | None:
    """Return what next cup would speak against this way."""
    if not changes:
        return None
    worst = next((mark for mark in FAULTS if mark in case.there), None)
    values = {"mark": Message(f"mark.{worst.value}")} if worst else {}
    code = f"mind.{changes[0].lever.value}_{_way(changes[0])}"
    return Message(code, values) if worst else Message("mind.no_better")


def this_cup(case: Case) -> tuple[Message, ...]:
    """Return what can be done with the cup in hand."""
    return (Message("cup.dilute"),) if case.felt is Felt.STRONG else ()


def _seen(case: Case) -> tuple[Message, ...]:
    names = tuple(Message(f"mark.{mark.value}") for mark in FAULTS if mark in case.there)
    names += tuple(Message(f"heard.{one.value}") for one in Complaint if one in case.complaints)
    if not names:
        return ()
    *first, last = names
    faults = Message("marks.and", {"first": tuple(first), "last": last}) if first else last
    if case.band is None or case.clock is ClockPlace.UNKNOWN:
        return (Message("why.seen", {"marks": faults}),)
    return (Message(f"why.seen_{case.clock.value}", {"marks": faults, **_band(case.band)}),)


def _band(band: DrainedBand) -> dict[str, object]:
    return {"low": clock(band.low_s), "high": clock(band.high_s)}


def _way(change: Change) -> str:
    return "more" if change.amount >= 0 else "less"
