"""A rule in plain words: what it is about, what it does, and what it suspects."""

from collections.abc import Iterable
from enum import StrEnum

from halfclick.model.advice import Outcome
from halfclick.taste.rules import Move, Rule, Size
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


def title_of(rule: Rule) -> Message:
    """Return a rule in one line: what it is about, then the one thing it does."""
    about = conditions_of(rule) or (Message("rule.any_cup"),)
    return Message("rule.title", {"about": about, "does": does(rule)})


def conditions_of(rule: Rule) -> tuple[Message, ...]:
    """Return what must hold of a cup; nothing where a rule is about every cup."""
    found = [Message(f"mark.{mark.value}") for mark in sorted(rule.marks)]
    if rule.complaints:
        found.append(_either("heard.", rule.complaints))
    for field, topic in _LISTS:
        wanted: frozenset[StrEnum] = getattr(rule, field)
        if wanted:
            found.append(_either(topic, wanted))
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
    return tuple(Message(f"mark.{mark.value}") for mark in sorted(rule.also - rule.marks))


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


def _either(topic: str, wanted: Iterable[StrEnum]) -> Message:
    names = tuple(Message(f"{topic}{one.value}") for one in sorted(wanted))
    *first, last = names
    return Message("rule.either", {"first": tuple(first), "last": last}) if first else last
