"""The rule set as data: read, checked with sentences that name the rule and the field, frozen."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from importlib import resources
from typing import Any

from halfclick.errors import BadInput
from halfclick.model.advice import Act, Evidence, Outcome
from halfclick.model.changes import DECLARED_PAIRS
from halfclick.model.coffee import Process, Roast
from halfclick.model.kit import DripperShape, PaperKind
from halfclick.model.recipe import Lever
from halfclick.model.tasting import Bed, Complaint, Mark
from halfclick.taste import fields
from halfclick.taste.suspects import Cause, Note, Others, Reason, WaterTrait

FAULTS = (Mark.SOUR, Mark.BITTER, Mark.THIN, Mark.HARSH)

# In this order the files are one rule set.
FILES = ("steep", "stall", "uneven", "sour", "bitter", "dry", "words", "strength", "bed", "clock")


class ClockPlace(StrEnum):
    """Where a drained time lies against the person's own band."""

    FAST = "fast"
    INSIDE = "inside"
    SLOW = "slow"
    UNKNOWN = "unknown"


class Way(StrEnum):
    """Which way a rule moves a lever."""

    MORE = "more"
    LESS = "less"
    LEVEL = "level"  # ratio only: so far that the strength stays as it was
    EVEN = "even"  # bloom only: three times the dose, stirred


class Size(StrEnum):
    """How far a rule moves a lever."""

    SEARCH = "search"  # a step likely to be noticed
    REFINE = "refine"  # half of one


class Felt(StrEnum):
    """How strong the cup felt, or that nothing was said of it."""

    WEAK = "weak"
    RIGHT = "right"
    STRONG = "strong"
    UNSAID = "unsaid"


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One lever a rule moves, which way and how far."""

    lever: Lever
    way: Way
    size: Size = Size.SEARCH


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One row of the rule set; an empty condition holds for every cup.

    All of `marks` must be there; of every other list one is enough. It does one thing: `moves`
    (one lever, or a declared pair), an `act` that moves none, a long steep, or a stop.
    `words` are what its writer says of it, and `own` that this person wrote it. `shown_d` is what
    a blind trial here showed of what it does, d'; below 0 where it was liked less, 0 for no trial.
    """

    id: str
    causes: tuple[Cause, ...]
    evidence: Evidence
    sources: tuple[str, ...]
    moves: tuple[Move, ...] = ()
    act: Act | None = None
    marks: frozenset[Mark] = frozenset()
    also: frozenset[Mark] = frozenset()
    complaints: frozenset[Complaint] = frozenset()
    clock: frozenset[ClockPlace] = frozenset()
    strength: frozenset[Felt] = frozenset()
    shapes: frozenset[DripperShape] = frozenset()
    roast: frozenset[Roast] = frozenset()
    process: frozenset[Process] = frozenset()
    bed: frozenset[Bed] = frozenset()
    papers: frozenset[PaperKind] = frozenset()
    waters: frozenset[WaterTrait] = frozenset()
    others: frozenset[Others] = frozenset()
    age_min: int | None = None
    age_max: int | None = None
    age_known: bool | None = None
    stalled: bool | None = None
    stalled_before: bool | None = None
    sweet: bool | None = None
    clean_before: bool | None = None
    water_changed: bool | None = None
    at_boil: bool | None = None
    persists: bool | None = None
    steeped: bool | None = None
    contested: str = ""
    notes: tuple[Note, ...] = ()
    exception: Reason | None = None
    outcome: Outcome = Outcome.CHANGE
    words: str = ""
    own: bool = False
    shown_d: float = 0.0

    @property
    def levers(self) -> frozenset[Lever]:
        """The levers this rule moves."""
        return frozenset(move.lever for move in self.moves)


def load_rules() -> tuple[Rule, ...]:
    """Return the rule set that comes with the program."""
    folder = resources.files("halfclick_resources") / "rules"
    return read_rules("\n".join((folder / f"{name}.toml").read_text("utf-8") for name in FILES))


def read_rules(text: str) -> tuple[Rule, ...]:
    """Return the rules of a TOML text, in its order.

    Raises:
        BadInput: the text is not a rule set; the sentence names the rule and the field.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput("rules.not_toml", detail=str(error)) from error
    rows = data.get("rule")
    if not isinstance(rows, list) or not rows or set(data) != {"rule"}:
        raise BadInput("rules.no_rules")
    rules = tuple(_rule(row, number) for number, row in enumerate(rows, start=1))
    seen: set[str] = set()
    for rule in rules:
        if rule.id in seen:
            raise BadInput("rules.twice", rule=rule.id)
        seen.add(rule.id)
    return rules


_FIELDS = frozenset(Rule.__dataclass_fields__) - {"own", "notes"} | {"note"}
_NEEDED = ("causes", "evidence", "sources")
_LISTS: Mapping[str, type[StrEnum]] = {
    "marks": Mark,
    "also": Mark,
    "complaints": Complaint,
    "clock": ClockPlace,
    "strength": Felt,
    "shapes": DripperShape,
    "roast": Roast,
    "process": Process,
    "bed": Bed,
    "papers": PaperKind,
    "waters": WaterTrait,
    "others": Others,
}
_FLAGS = (
    "age_known",
    "stalled",
    "stalled_before",
    "sweet",
    "clean_before",
    "water_changed",
    "at_boil",
    "persists",
    "steeped",
)
# What a rule may lead to; holding and confirming are laws and no rule's to give.
_OUTCOMES = frozenset({Outcome.CHANGE, Outcome.REPEAT, Outcome.IMMERSION, Outcome.STOP})


def _rule(row: object, number: int) -> Rule:
    if not isinstance(row, dict):
        raise BadInput("rules.no_rules")
    name = row.get("id")
    if not isinstance(name, str) or not name.replace("_", "").isalnum():
        raise BadInput("rules.bad_id", number=number)
    for field in row:
        if field not in _FIELDS:
            raise BadInput("rules.unknown_field", rule=name, field=field)
    for field in _NEEDED:
        if not row.get(field):
            raise BadInput("rules.missing_field", rule=name, field=field)
    conditions: dict[str, Any] = {
        field: frozenset(fields.many(name, field, row, kind)) for field, kind in _LISTS.items()
    }
    conditions |= {field: fields.flag(name, field, row) for field in _FLAGS}
    rule = Rule(
        id=name,
        moves=_moves(name, row.get("moves", [])),
        act=fields.one_or_none(name, "act", row, Act),
        causes=tuple(fields.many(name, "causes", row, Cause)),
        evidence=fields.one(name, "evidence", row["evidence"], Evidence),
        sources=fields.texts(name, "sources", row["sources"]),
        age_min=fields.days(name, "age_min", row),
        age_max=fields.days(name, "age_max", row),
        contested=fields.text(name, "contested", row),
        notes=fields.one_or_many(name, "note", row, Note),
        exception=fields.one_or_none(name, "exception", row, Reason),
        outcome=_outcome(name, row),
        words=fields.text(name, "words", row),
        **conditions,
    )
    _check_one_thing(rule)
    return rule


def _outcome(rule: str, row: Mapping[str, Any]) -> Outcome:
    if "act" in row and "outcome" not in row:
        return Outcome.ACT
    outcome = fields.one(rule, "outcome", row.get("outcome", "change"), Outcome)
    if outcome not in _OUTCOMES:
        raise fields.refused(rule, "outcome", outcome.value)
    return outcome


def _check_one_thing(rule: Rule) -> None:
    """Refuse a rule that does nothing, two things, or never fits."""
    if rule.act is not None and (rule.moves or rule.outcome is not Outcome.ACT):
        raise BadInput("rules.two_things", rule=rule.id)
    moves_levers = rule.outcome in {Outcome.CHANGE, Outcome.REPEAT}
    if moves_levers and not rule.moves:
        raise BadInput("rules.missing_field", rule=rule.id, field="moves")
    if rule.moves and not moves_levers:
        raise BadInput("rules.two_things", rule=rule.id)
    if None not in (rule.age_min, rule.age_max) and (rule.age_min or 0) > (rule.age_max or 0):
        raise BadInput("rules.empty_age", rule=rule.id)


def _moves(rule: str, given: object) -> tuple[Move, ...]:
    if not isinstance(given, list):
        raise fields.refused(rule, "moves", given)
    moves = tuple(_move(rule, one) for one in given)
    levers = frozenset(move.lever for move in moves)
    if len(moves) > 1 and (len(levers) != len(moves) or levers not in DECLARED_PAIRS):
        raise BadInput("rules.two_levers", rule=rule)
    return moves


def _move(rule: str, given: object) -> Move:
    if not isinstance(given, dict) or not {"lever", "way"} <= set(given) <= {
        "lever",
        "way",
        "size",
    }:
        raise fields.refused(rule, "moves", given)
    if given.get("size", Size.SEARCH) not in set(Size):
        raise fields.refused(rule, "moves", given)
    lever = fields.one(rule, "lever", given["lever"], Lever)
    way = fields.one(rule, "way", given["way"], Way)
    wanted = {Way.EVEN: Lever.BLOOM, Way.LEVEL: Lever.RATIO}.get(way, lever)
    if wanted is not lever or (lever is Lever.BLOOM and way is not Way.EVEN):
        raise fields.refused(rule, "way", way.value)
    return Move(lever=lever, way=way, size=Size(given.get("size", Size.SEARCH)))
