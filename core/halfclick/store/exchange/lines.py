"""A record as it leaves a journal and enters another: with who wrote it, where, when, and since."""

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Annotated, Any, Generic, TypeVar
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
from halfclick.store.rows import TABLES, from_row, moment, to_row

T = TypeVar("T")

Moment = Annotated[datetime, msgspec.Meta(tz=True, description="a moment with its time zone")]

# Every kind by its name in files, what is named before what names it.
KINDS: Mapping[str, type[Any]] = {
    "persons": Person,
    "devices": Device,
    "preferences": Preference,
    "coffees": Coffee,
    "lots": Lot,
    "bags": Bag,
    "grinders": Grinder,
    "zeros": Zero,
    "drippers": Dripper,
    "papers": Paper,
    "kettles": Kettle,
    "kettle_readings": KettleReading,
    "waters": Water,
    "concentrates": Concentrate,
    "servers": Server,
    "kitchens": Kitchen,
    "sievings": Sieving,
    "brews": Brew,
    "tastings": Tasting,
    "forecasts": Forecast,
    "photos": Photo,
    "own_rules": OwnRule,
    "proposals": Proposal,
    "brews_under_way": UnderWay,
    "guide_events": GuideEvent,
    "trials": Trial,
    "trial_rounds": TrialRound,
    "trial_servings": TrialServing,
    "trial_answers": TrialAnswer,
    "trial_voids": TrialVoid,
    "trial_openings": TrialOpening,
    "trial_findings": TrialFinding,
}


class Stamps(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Who wrote a record, on which device, when; when it changed, and when it was deleted."""

    person_id: UUID
    device_id: UUID
    written_at: Moment
    changed_at: Moment | None = None
    buried_at: Moment | None = None

    @property
    def last_touched_at(self) -> datetime:
        """When anything last happened to the record."""
        return max(at for at in (self.written_at, self.changed_at, self.buried_at) if at)


class Line(msgspec.Struct, Generic[T], frozen=True, forbid_unknown_fields=True):
    """One record with its stamps; units stand in the names of its fields."""

    record: T
    stamps: Stamps


def lines_of(connection: sa.Connection, kind: type[T]) -> Iterator[Line[T]]:
    """Return every record of a kind in the order it was written, deleted and corrected ones too."""
    table = TABLES[kind]
    query = sa.select(table).order_by(table.c.written_at, table.c.seq)
    for row in connection.execute(query):
        fields = {str(name): value for name, value in row._mapping.items()}
        yield Line(record=from_row(kind, fields), stamps=_stamps(fields))


def stamps_by_id(connection: sa.Connection, kind: type) -> dict[UUID, Stamps]:
    """Return the stamps of every record of a kind by its identity."""
    c = TABLES[kind].c
    query = sa.select(c.id, c.person_id, c.device_id, c.written_at, c.changed_at, c.buried_at)
    return {
        row.id: _stamps({str(name): value for name, value in row._mapping.items()})
        for row in connection.execute(query)
    }


def row_of(line: Line[Any]) -> dict[str, Any]:
    """Return the column values of a line, its place in the order of writing left out."""
    return {**to_row(line.record), **_written(line.stamps)}


def burial_of(line: Line[Any]) -> dict[str, Any]:
    """Return the column values that say whether a fact was deleted."""
    written = _written(line.stamps)
    return {name: written[name] for name in ("changed_at", "buried_at")}


def _stamps(fields: Mapping[str, Any]) -> Stamps:
    def at(name: str) -> datetime | None:
        return datetime.fromisoformat(fields[name]) if fields[name] else None

    return Stamps(
        person_id=fields["person_id"],
        device_id=fields["device_id"],
        written_at=datetime.fromisoformat(fields["written_at"]),
        changed_at=at("changed_at"),
        buried_at=at("buried_at"),
    )


def _written(stamps: Stamps) -> dict[str, Any]:

    return {
        "person_id": stamps.person_id,
        "device_id": stamps.device_id,
        "written_at": moment(stamps.written_at),
        "changed_at": moment(stamps.changed_at) if stamps.changed_at else None,
        "buried_at": moment(stamps.buried_at) if stamps.buried_at else None,
    }
