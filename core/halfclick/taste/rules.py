"""The rule set as data: read, checked with sentences that name the rule and the field, frozen."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from importlib import resources
from typing import Any, TypeVar

from halfclick.errors import BadInput
from halfclick.model.advice import Evidence, Outcome
from halfclick.model.changes import DECLARED_PAIRS
from halfclick.model.kit import DripperShape
from halfclick.model.recipe import Lever
from halfclick.model.tasting import Mark

E = TypeVar("E", bound=StrEnum)

FAULTS = (Mark.SOUR, Mark.BITTER, Mark.THIN, Mark.HARSH)


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


class Felt(StrEnum):
    """How strong the cup felt, or that nothing was said of it."""

    WEAK = "weak"
    RIGHT = "right"
    STRONG = "strong"
    UNSAID = "unsaid"


class Cause(StrEnum):
    """What a rule suspects."""

    TOO_FINE = "too_fine"
    TOO_COARSE = "too_coarse"
    TOO_COOL = "too_cool"
    TOO_HOT = "too_hot"
    TOO_STRONG = "too_strong"
    TOO_WEAK = "too_weak"
    LOW_EXTRACTION = "low_extraction"
    HIGH_EXTRACTION = "high_extraction"
    UNEVEN = "uneven"
    BYPASS = "bypass"
    FINES_MOVED = "fines_moved"
    PAPER_SEALED = "paper_sealed"
    DARK_ROAST = "dark_roast"
    COFFEE_IS_SOUR = "coffee_is_sour"


class Reason(StrEnum):
    """Why a rule sets aside "taste and clock agree: grind; they disagree: not grind"."""

    STRENGTH_FIRST = "strength_first"
    UNEVEN_FIRST = "uneven_first"
    FLOW_FIRST = "flow_first"
    GENTLER_FIRST = "gentler_first"
    LOW_EXTRACTION = "low_extraction"
    LONG_STEEP = "long_steep"


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One lever a rule moves, and which way."""

    lever: Lever
    way: Way


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One row of the rule set; an empty condition holds for every cup."""

    id: str
    moves: tuple[Move, ...]
    causes: tuple[Cause, ...]
    evidence: Evidence
    sources: tuple[str, ...]
    marks: frozenset[Mark] = frozenset()
    also: frozenset[Mark] = frozenset()
    clock: frozenset[ClockPlace] = frozenset()
    strength: frozenset[Felt] = frozenset()
    shapes: frozenset[DripperShape] = frozenset()
    stalled: bool | None = None
    sweet: bool | None = None
    contested: str = ""
    exception: Reason | None = None
    outcome: Outcome = Outcome.CHANGE

    @property
    def levers(self) -> frozenset[Lever]:
        """The levers this rule moves."""
        return frozenset(move.lever for move in self.moves)


def load_rules() -> tuple[Rule, ...]:
    """Return the rule set that comes with the program."""
    place = resources.files("halfclick_resources") / "rules" / "dialling.toml"
    return read_rules(place.read_text("utf-8"))


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


_FIELDS = frozenset(Rule.__dataclass_fields__)
_NEEDED = ("moves", "causes", "evidence", "sources")


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
    return Rule(
        id=name,
        moves=_moves(name, row["moves"]),
        causes=tuple(_many(name, "causes", row, Cause)),
        evidence=_one(name, "evidence", row["evidence"], Evidence),
        sources=_texts(name, "sources", row["sources"]),
        marks=frozenset(_many(name, "marks", row, Mark)),
        also=frozenset(_many(name, "also", row, Mark)),
        clock=frozenset(_many(name, "clock", row, ClockPlace)),
        strength=frozenset(_many(name, "strength", row, Felt)),
        shapes=frozenset(_many(name, "shapes", row, DripperShape)),
        stalled=_flag(name, "stalled", row),
        sweet=_flag(name, "sweet", row),
        contested=_text(name, "contested", row),
        exception=_one(name, "exception", row["exception"], Reason) if "exception" in row else None,
        outcome=_one(name, "outcome", row.get("outcome", "change"), Outcome),
    )


def _moves(rule: str, given: object) -> tuple[Move, ...]:
    if not isinstance(given, list):
        raise BadInput("rules.bad_value", rule=rule, field="moves", given=str(given))
    moves: list[Move] = []
    for one in given:
        if not isinstance(one, dict) or set(one) != {"lever", "way"}:
            raise BadInput("rules.bad_value", rule=rule, field="moves", given=str(one))
        lever = _one(rule, "lever", one["lever"], Lever)
        way = _one(rule, "way", one["way"], Way)
        wanted = {Way.EVEN: Lever.BLOOM, Way.LEVEL: Lever.RATIO}.get(way, lever)
        if wanted is not lever or (lever is Lever.BLOOM and way is not Way.EVEN):
            raise BadInput("rules.bad_value", rule=rule, field="way", given=way.value)
        moves.append(Move(lever=lever, way=way))
    levers = frozenset(move.lever for move in moves)
    if len(moves) > 1 and (len(levers) != len(moves) or levers not in DECLARED_PAIRS):
        raise BadInput("rules.two_levers", rule=rule)
    return tuple(moves)


def _texts(rule: str, field: str, given: object) -> tuple[str, ...]:
    if not isinstance(given, list) or not all(isinstance(one, str) and one for one in given):
        raise BadInput("rules.bad_value", rule=rule, field=field, given=str(given))
    return tuple(given)


def _text(rule: str, field: str, row: Mapping[str, Any]) -> str:
    given = row.get(field, "")
    if not isinstance(given, str):
        raise BadInput("rules.bad_value", rule=rule, field=field, given=str(given))
    return given


def _flag(rule: str, field: str, row: Mapping[str, Any]) -> bool | None:
    given = row.get(field)
    if given is not None and not isinstance(given, bool):
        raise BadInput("rules.bad_value", rule=rule, field=field, given=str(given))
    return given


def _one(rule: str, field: str, given: object, kind: type[E]) -> E:
    try:
        return kind(str(given))
    except ValueError:
        raise BadInput("rules.bad_value", rule=rule, field=field, given=str(given)) from None


def _many(rule: str, field: str, row: Mapping[str, Any], kind: type[E]) -> list[E]:
    given = row.get(field, [])
    if not isinstance(given, list):
        raise BadInput("rules.bad_value", rule=rule, field=field, given=str(given))
    return [_one(rule, field, one, kind) for one in given]
