"""Fields of a rule's text, read one by one; what cannot be is refused by rule and field."""

from collections.abc import Mapping
from enum import StrEnum
from typing import Any, TypeVar

from halfclick.errors import BadInput

E = TypeVar("E", bound=StrEnum)

# No bag is kept longer than this, days.
OLDEST = 3650


def texts(rule: str, field: str, given: object) -> tuple[str, ...]:
    """Return a list of texts.

    Raises:
        BadInput: it is none.
    """
    if not isinstance(given, list) or not all(isinstance(one, str) and one for one in given):
        raise refused(rule, field, given)
    return tuple(given)


def text(rule: str, field: str, row: Mapping[str, Any]) -> str:
    """Return a text, empty where it is left out."""
    given = row.get(field, "")
    if not isinstance(given, str):
        raise refused(rule, field, given)
    return given


def flag(rule: str, field: str, row: Mapping[str, Any]) -> bool | None:
    """Return true or false, None where it is left out."""
    given = row.get(field)
    if given is not None and not isinstance(given, bool):
        raise refused(rule, field, given)
    return given


def days(rule: str, field: str, row: Mapping[str, Any]) -> int | None:
    """Return a number of days, None where it is left out."""
    given = row.get(field)
    if given is None:
        return None
    if isinstance(given, bool) or not isinstance(given, int) or not 0 <= given <= OLDEST:
        raise refused(rule, field, given)
    return given


def one(rule: str, field: str, given: object, kind: type[E]) -> E:
    """Return one of a few words."""
    try:
        return kind(str(given))
    except ValueError:
        raise refused(rule, field, given) from None


def one_or_none(rule: str, field: str, row: Mapping[str, Any], kind: type[E]) -> E | None:
    """Return one of a few words, None where it is left out."""
    return one(rule, field, row[field], kind) if field in row else None


def many(rule: str, field: str, row: Mapping[str, Any], kind: type[E]) -> list[E]:
    """Return some of a few words, none where it is left out."""
    given = row.get(field, [])
    if not isinstance(given, list):
        raise refused(rule, field, given)
    return [one(rule, field, word, kind) for word in given]


def one_or_many(rule: str, field: str, row: Mapping[str, Any], kind: type[E]) -> tuple[E, ...]:
    """Return one of a few words or some of them, in their order; none where it is left out."""
    given = row.get(field, [])
    return tuple(many(rule, field, {field: given if isinstance(given, list) else [given]}, kind))


def refused(rule: str, field: str, given: object) -> BadInput:
    """Return what is said of a value that cannot be."""
    return BadInput("rules.bad_value", rule=rule, field=field, given=str(given))
