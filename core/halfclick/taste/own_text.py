"""A rule of a person's own: from a small form to its text, and back where the form can hold it."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from halfclick.errors import BadInput
from halfclick.model.advice import Act, Evidence
from halfclick.model.recipe import Lever
from halfclick.model.tasting import Complaint, Mark
from halfclick.taste.rules import ClockPlace, Felt, Move, Rule, Way
from halfclick.taste.suspects import Cause

SOURCE = "My own cups"
NAME = "mine_"

# What a form offers to do, in the order of the levers.
MOVES = tuple(
    Move(lever=lever, way=way)
    for lever in Lever
    for way in ((Way.EVEN,) if lever is Lever.BLOOM else (Way.LESS, Way.MORE))
)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnRuleEntry:
    """A rule as the form asks for it; None and nothing mean: any cup."""

    marks: frozenset[Mark] = frozenset()
    complaints: frozenset[Complaint] = frozenset()
    clock: ClockPlace | None = None
    strength: Felt | None = None
    deed: Move | Act | None = None
    words: str = ""


def written(entry: OwnRuleEntry, name: str) -> str:
    """Return the text of a rule.

    Raises:
        BadInput: it says nothing of the cup, or does nothing.
    """
    if not (entry.marks or entry.complaints or entry.clock or entry.strength):
        raise BadInput("rules.own_any_cup")
    if entry.deed is None:
        raise BadInput("rules.own_no_deed")
    lines = ["[[rule]]", f'id = "{name}"']
    if entry.words.strip():
        lines.append(f"words = {_quoted(entry.words.strip())}")
    for field, wanted in (("marks", entry.marks), ("complaints", entry.complaints)):
        if wanted:
            lines.append(f"{field} = {_listed(sorted(wanted))}")
    for field, one in (("clock", entry.clock), ("strength", entry.strength)):
        if one is not None:
            lines.append(f"{field} = {_listed([one])}")
    lines.append(_deed(entry.deed))
    lines.append(f"causes = {_listed([Cause.OWN_EXPERIENCE])}")
    lines.append(f'evidence = "{Evidence.MEASURED_HERE.value}"')
    lines.append(f"sources = {_listed([SOURCE])}")
    return "\n".join(lines) + "\n"


def entry_of(rule: Rule) -> OwnRuleEntry:
    """Return as much of a rule as the form holds."""
    return OwnRuleEntry(
        marks=rule.marks,
        complaints=rule.complaints,
        clock=next(iter(rule.clock), None),
        strength=next(iter(rule.strength), None),
        deed=rule.act or next(iter(rule.moves), None),
        words=rule.words,
    )


def free_name(taken: frozenset[str]) -> str:
    """Return a name that no rule has."""
    number = 1
    while f"{NAME}{number}" in taken:
        number += 1
    return f"{NAME}{number}"


def _deed(deed: Move | Act) -> str:
    if isinstance(deed, Move):
        return f'moves = [{{ lever = "{deed.lever.value}", way = "{deed.way.value}" }}]'
    return f'act = "{deed.value}"'


def _listed(values: Iterable[str | StrEnum]) -> str:
    return "[" + ", ".join(_quoted(str(value)) for value in values) + "]"


def _quoted(text: str) -> str:
    # A TOML string is a JSON one but for DEL, which it must escape.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
