"""A rule in plain words: what it is about, what it does, and what it suspects."""

from collections.abc import Collection, Mapping
from dataclasses import replace
from enum import StrEnum

from halfclick.model.advice import Outcome
from halfclick.model.kit import DripperShape
from halfclick.model.tasting import Mark
from halfclick.taste.rules import ClockPlace, Felt, Move, Rule, Size
from halfclick.wording import Message

# Each list of conditions and the catalogue topic that names its words; marks and complaints stand
# before the rest.
_LISTS = (
    ("strength", "rule.felt_"),
    ("clock", "rule.clock_"),
    ("bed", "rule.bed_"),
    ("roast", "rule.roast_"),
    ("process", "rule.process_"),
    ("shapes", "rule.shape_"),
    ("papers", "rule.paper_"),
    ("waters", "rule.water_"),
    ("others", "rule.others_"),
)
_FLAGS = (
    "steeped",
    "stalled",
    "stalled_before",
    "sweet",
    "clean_before",
    "water_changed",
    "at_boil",
    "persists",
    "age_known",
)
# Lists that name all but one say the one they leave out.
_WHOLE: Mapping[str, type[StrEnum]] = {
    "clock": ClockPlace,
    "strength": Felt,
    "shapes": DripperShape,
}
_NO_MATTER = frozenset({Felt.RIGHT, Felt.UNSAID})


def title_of(rule: Rule) -> Message:
    """Return a rule in one line: what it is about, then the one thing it does.

    That strength is not in question goes without saying here.
    """
    plain = replace(rule, strength=frozenset()) if rule.strength == _NO_MATTER else rule
    about = conditions_of(plain) or conditions_of(rule) or (Message("rule.any_cup"),)
    return Message("rule.title", {"about": about, "does": does(rule)})


def conditions_of(rule: Rule) -> tuple[Message, ...]:
    """Return what must hold of a cup; nothing where a rule is about every cup."""
    found = [Message(f"mark.{mark.value}") for mark in Mark if mark in rule.marks]
    if rule.complaints:
        found.append(_either("heard.", rule.complaints))
    for field, topic in _LISTS:
        wanted: frozenset[StrEnum] = getattr(rule, field)
        if wanted:
            found.append(_all_but_one(field, wanted) or _either(topic, wanted))
    for field in _FLAGS:
        is_so: bool | None = getattr(rule, field)
        if is_so is not None:
            found.append(Message(f"rule.{field}" if is_so else f"rule.not_{field}"))
    if rule.age_min is not None:
        found.append(Message("rule.age_min", {"count": rule.age_min}))
    if rule.age_max is not None:
        found.append(Message("rule.age_max", {"count": rule.age_max}))
    return tuple(found)


def also_of(rule: Rule) -> tuple[Message, ...]:
    """Return the other faults that may be there too."""
    return tuple(Message(f"mark.{mark.value}") for mark in Mark if mark in rule.also - rule.marks)


def does(rule: Rule) -> Message:
    """Return the one thing a rule does."""
    if rule.act is not None:
        return Message(f"act.{rule.act.value}")
    if rule.outcome in {Outcome.IMMERSION, Outcome.STOP}:
        return Message(f"rule.does_{rule.outcome.value}")
    moves = tuple(_moves(move) for move in rule.moves)
    if rule.outcome is Outcome.REPEAT:
        return Message("rule.does_repeat", {"moves": moves})
    return moves[0] if len(moves) == 1 else Message("rule.pair", {"moves": moves})


def causes_of(rule: Rule) -> tuple[Message, ...]:
    """Return what a rule suspects."""
    return tuple(Message(f"cause.{cause.value}") for cause in rule.causes)


def _moves(move: Move) -> Message:
    told = Message(f"rule.{move.lever.value}_{move.way.value}")
    return Message("rule.by_half", {"move": told}) if move.size is Size.REFINE else told


def _all_but_one(field: str, wanted: frozenset[StrEnum]) -> Message | None:
    """Return what must not be, where a list names all the others."""
    if field == "strength" and wanted == _NO_MATTER:
        return Message("rule.strength_unasked")
    if field not in _WHOLE or len(wanted) != len(_WHOLE[field]) - 1:
        return None
    (left_out,) = set(_WHOLE[field]) - wanted
    return Message(f"rule.{field}_not_{left_out.value}")


def _either(topic: str, wanted: Collection[StrEnum]) -> Message:
    kind = type(next(iter(wanted)))
    names = tuple(Message(f"{topic}{one.value}") for one in kind if one in wanted)
    *first, last = names
    return Message("rule.either", {"first": tuple(first), "last": last}) if first else last
