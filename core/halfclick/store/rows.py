"""Records to rows and back: a field is a column, a nested record is JSON."""

from collections.abc import Mapping
from datetime import UTC, date, datetime
from functools import cache
from typing import Any, TypeVar
from uuid import UUID

import msgspec
import sqlalchemy as sa

from halfclick.model.advice import Proposal
from halfclick.model.brew import Brew
from halfclick.model.coffee import Bag, Coffee, Lot
from halfclick.model.concentrate import Concentrate
from halfclick.model.forecast import Forecast
from halfclick.model.grinder import Grinder, Zero
from halfclick.model.kettle_reading import KettleReading
from halfclick.model.kit import Dripper, Kettle, Kitchen, Paper, Server, Water
from halfclick.model.own_rule import OwnRule
from halfclick.model.person import Device, Person
from halfclick.model.photo import Photo
from halfclick.model.preference import Preference
from halfclick.model.sieving import Sieving
from halfclick.model.tasting import Tasting
from halfclick.model.trial import Trial
from halfclick.model.trial_finding import TrialFinding
from halfclick.model.trial_round import (
    TrialAnswer,
    TrialOpening,
    TrialRound,
    TrialServing,
    TrialVoid,
)
from halfclick.model.under_way import GuideEvent, UnderWay
from halfclick.store import tables

T = TypeVar("T")

TABLES: Mapping[type[Any], sa.Table] = {
    Person: tables.person,
    Device: tables.device,
    Preference: tables.preference,
    Coffee: tables.coffee,
    Lot: tables.lot,
    Bag: tables.bag,
    Grinder: tables.grinder,
    Zero: tables.zero,
    Dripper: tables.dripper,
    Paper: tables.paper,
    Kettle: tables.kettle,
    KettleReading: tables.kettle_reading,
    Water: tables.water,
    Concentrate: tables.concentrate,
    Server: tables.server,
    Kitchen: tables.kitchen,
    Sieving: tables.sieving,
    Brew: tables.brew,
    Tasting: tables.tasting,
    Forecast: tables.forecast,
    Photo: tables.photo,
    OwnRule: tables.own_rule,
    Proposal: tables.proposal,
    UnderWay: tables.under_way,
    GuideEvent: tables.guide_event,
    Trial: tables.trial,
    TrialRound: tables.trial_round,
    TrialServing: tables.trial_serving,
    TrialAnswer: tables.trial_answer,
    TrialVoid: tables.trial_void,
    TrialOpening: tables.trial_opening,
    TrialFinding: tables.trial_finding,
}

# What is added and never rewritten; a correction is a new fact.
FACTS: frozenset[type[Any]] = frozenset(
    {Brew, Tasting, Proposal, GuideEvent, Zero, KettleReading, Sieving, Forecast}
    | {Trial, TrialRound, TrialServing, TrialAnswer, TrialVoid, TrialOpening, TrialFinding}
)

_UUID_COLUMNS = {
    kind: frozenset(column.name for column in table.columns if isinstance(column.type, sa.Uuid))
    for kind, table in TABLES.items()
}


def to_row(record: object) -> dict[str, Any]:
    """Return the column values of a record, its stamps left out."""
    fields = msgspec.to_builtins(
        record, builtin_types=(UUID, datetime, date), enc_hook=_plain_mapping
    )
    uuids = _UUID_COLUMNS[type(record)]
    return {name: value if name in uuids else _written(value) for name, value in fields.items()}


def from_row(kind: type[T], row: Mapping[str, Any]) -> T:
    """Return the record of a row.

    Raises:
        msgspec.ValidationError: the row holds what this kind cannot be.
    """
    # SQLAlchemy's names are a kind of str that msgspec does not take for one.
    fields = {str(name): value for name, value in row.items() if name not in tables.STAMPS}
    return msgspec.convert(fields, kind, strict=False, builtin_types=(UUID,))


@cache
def packed(kind: Any) -> tuple[sa.ColumnElement[Any], ...]:
    """Return what to select of a kind for `unpacked`: nested records and identities as texts."""
    return tuple(
        sa.type_coerce(column, sa.Text).label(column.name)
        if isinstance(column.type, sa.JSON | sa.Uuid)
        else column
        for column in TABLES[kind].columns
        if column.name not in tables.STAMPS
    )


def unpacked(kind: type[T], values: tuple[Any, ...]) -> T:
    """Return the record of a row that was selected packed.

    The row is decoded once, as one document. Through Python's own JSON reader and a mapping it
    takes three times as long, which tells in a journal of many years.

    Raises:
        msgspec.DecodeError: the row holds what this kind cannot be.
    """
    named: Any = kind
    names, nested, decoder = _unpacking(named)
    fields = {
        name: msgspec.Raw(value.encode()) if name in nested and isinstance(value, str) else value
        for name, value in zip(names, values, strict=True)
    }
    record: T = decoder.decode(_ENCODER.encode(fields))
    return record


_ENCODER = msgspec.json.Encoder()


@cache
def _unpacking(kind: Any) -> tuple[tuple[str, ...], frozenset[str], msgspec.json.Decoder[Any]]:
    columns = [column for column in TABLES[kind].columns if column.name not in tables.STAMPS]
    nested = frozenset(str(c.name) for c in columns if isinstance(c.type, sa.JSON))
    names = tuple(str(column.name) for column in columns)
    return names, nested, msgspec.json.Decoder(kind, strict=False)


def moment(at: datetime) -> str:
    """Return a moment as the journal writes it: UTC, microseconds always, so text sorts by time.

    Raises:
        ValueError: the moment has no time zone.
    """
    if at.tzinfo is None:
        raise ValueError(f"a moment without a time zone: {at}")
    return at.astimezone(UTC).isoformat(timespec="microseconds")


def _plain_mapping(value: object) -> dict[str, object]:
    """Return a mapping of any sort, a message's frozen values say, as a dict."""
    if isinstance(value, Mapping):
        return dict(value)
    raise NotImplementedError(f"no way to write a {type(value).__name__}")


def _written(value: Any) -> Any:
    if isinstance(value, datetime):
        return moment(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, dict):
        return {name: _written(nested) for name, nested in value.items()}
    if isinstance(value, list | tuple):
        return [_written(nested) for nested in value]
    return str(value) if isinstance(value, UUID) else value
