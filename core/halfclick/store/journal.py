"""An open journal: reading and writing blocks, and the records they give and take."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any, TypeVar
from uuid import UUID

import sqlalchemy as sa

from halfclick.errors import NotFound, StoreUnwritable
from halfclick.model.person import Device, Person, Stamp
from halfclick.store.engine import writing_on
from halfclick.store.faults import translated
from halfclick.store.lock import Held
from halfclick.store.rows import FACTS, TABLES, moment, packed, to_row, unpacked
from halfclick.wording import Message

T = TypeVar("T")


# What is asked again and again is put into words for the database once: that takes longer than its
# answer.
@cache
def _by_id(kind: Any) -> sa.Select[Any]:
    return sa.select(*packed(kind)).where(TABLES[kind].c.id == sa.bindparam("record_id"))


@cache
def _living(
    kind: Any, equals: tuple[str, ...], empty: tuple[str, ...], *, corrected: bool
) -> sa.Select[Any]:
    """Return a query for living records; `equals` are columns whose values are bound later."""
    table = TABLES[kind]
    query = sa.select(*packed(kind)).where(table.c.buried_at.is_(None))
    query = query.where(*(table.c[name] == sa.bindparam(name) for name in equals))
    query = query.where(*(table.c[name].is_(None) for name in empty))
    if "corrects_id" in table.c and not corrected:
        later = table.alias("later")
        query = query.where(
            ~sa.exists().where(later.c.corrects_id == table.c.id, later.c.buried_at.is_(None))
        )
    return query.order_by(table.c.written_at, table.c.seq)


class Reader:
    """Reads records inside one block."""

    def __init__(self, connection: sa.Connection) -> None:
        self._connection = connection

    @property
    def connection(self) -> sa.Connection:
        """The connection of this block, for the store's other rooms."""
        return self._connection

    def find(self, kind: type[T], record_id: UUID) -> T | None:
        """Return a record by identity, deleted or corrected ones too; None where there is none."""
        named: Any = kind
        row = self._connection.execute(_by_id(named), {"record_id": record_id}).first()
        return None if row is None else unpacked(kind, tuple(row))

    def get(self, kind: type[T], record_id: UUID) -> T:
        """Return a record by identity.

        Raises:
            NotFound: the journal has none.
        """
        found = self.find(kind, record_id)
        if found is None:
            raise _not_found(kind)
        return found

    def stamp(self, kind: type, record_id: UUID) -> Stamp:
        """Return who wrote a record, where and when.

        Raises:
            NotFound: the journal has none.
        """
        c = TABLES[kind].c
        query = sa.select(c.person_id, c.device_id, c.written_at).where(c.id == record_id)
        row = self._connection.execute(query).first()
        if row is None:
            raise _not_found(kind)
        at = datetime.fromisoformat(row.written_at)
        return Stamp(person_id=row.person_id, device_id=row.device_id, written_at=at)

    def all(self, kind: type[T], *, corrected: bool = False, **equals: object) -> list[T]:
        """Return the living records of a kind, oldest first.

        Args:
            kind: which records.
            corrected: whether facts that a later fact corrects are wanted too.
            equals: columns and the values they must have.
        """
        named: Any = kind
        given = {name: value for name, value in equals.items() if value is not None}
        empty = tuple(name for name in equals if name not in given)
        query = _living(named, tuple(given), empty, corrected=corrected)
        rows = self._connection.execute(query, given)
        return [unpacked(kind, tuple(row)) for row in rows]

    def buried(self, kind: type[T], before: datetime) -> list[T]:
        """Return the records of a kind that were deleted before a moment."""
        table = TABLES[kind]
        named: Any = kind
        query = sa.select(*packed(named)).where(table.c.buried_at < moment(before))
        return self.records(kind, query)

    def records(self, kind: type[T], query: sa.Select[Any]) -> list[T]:
        """Return the records that a query of the store's selects packed."""
        return [unpacked(kind, tuple(row)) for row in self._connection.execute(query)]

    def rows(self, query: sa.Select[Any]) -> list[Any]:
        """Return what a query of the store's selects."""
        return list(self._connection.execute(query))

    def stream(self, query: sa.Select[Any], *, at_once: int) -> Iterator[Any]:
        """Return what a query of the store's selects, so many rows at a time: few may be wanted."""
        connection = self._connection.execution_options(yield_per=at_once)
        yield from connection.execute(query)


class Writer(Reader):
    """Reads and writes records inside one block, stamped with who, where and when."""

    def __init__(
        self, connection: sa.Connection, person_id: UUID, device_id: UUID, now: datetime
    ) -> None:
        super().__init__(connection)
        self._now = moment(now)
        self._stamp = {
            "person_id": person_id,
            "device_id": device_id,
            "written_at": self._now,
        }

    def add(self, record: Any) -> None:
        """Add a record; the same identity twice is once, so that a retry does no harm."""
        kind = type(record)
        table = TABLES[kind]
        if self.find(kind, record.id) is not None:
            return
        last = sa.select(sa.func.coalesce(sa.func.max(table.c.seq), 0)).scalar_subquery()
        row = {**to_row(record), **self._stamp}
        self._connection.execute(table.insert().values(**row, seq=last + 1))

    def change(self, record: Any) -> None:
        """Write a record over its older self.

        Raises:
            TypeError: the record is a fact; facts are corrected by new ones.
            NotFound: the journal has no such record.
        """
        kind = type(record)
        if kind in FACTS:
            raise TypeError(f"{kind.__name__} is a fact: add a correction instead")
        self._update(kind, record.id, {**to_row(record), "changed_at": self._now})

    def bury(self, kind: type, record_id: UUID) -> None:
        """Delete a record: it stays, marked, so that it can come back and be merged.

        Raises:
            NotFound: the journal has no such record.
        """
        self._update(kind, record_id, {"buried_at": self._now})

    def unbury(self, kind: type, record_id: UUID) -> None:
        """Bring a deleted record back.

        Raises:
            NotFound: the journal has no such record.
        """
        # It changed: where two journals meet, the later of a burial and a return holds.
        self._update(kind, record_id, {"buried_at": None, "changed_at": self._now})

    def _update(self, kind: type, record_id: UUID, values: dict[str, Any]) -> None:
        table = TABLES[kind]
        query = table.update().where(table.c.id == record_id).values(**values)
        if self._connection.execute(query).rowcount != 1:
            raise _not_found(kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """An open journal, held by this program until it is closed.

    Blocks are short and never nested: a reading block left open keeps every writer waiting.
    `notices` tells what was done while opening, e.g. that a backup was made.
    """

    path: Path
    engine: sa.Engine
    held: Held | None
    person: Person
    device: Device
    notices: tuple[Message, ...] = ()

    @contextmanager
    def reading(self) -> Iterator[Reader]:
        """Open a block that reads one consistent state.

        Raises:
            StoreError: the journal cannot be read.
        """
        with translated(self.path), self.engine.connect() as connection:
            yield Reader(connection)

    @contextmanager
    def writing(self, now: datetime) -> Iterator[Writer]:
        """Open a block that writes all or nothing.

        Raises:
            StoreError: the journal cannot be written; nothing of the block was kept.
        """
        if self.read_only:
            raise StoreUnwritable("store.opened_to_read", path=str(self.path))
        with (
            translated(self.path),
            writing_on(self.engine) as connection,
            connection.begin(),
        ):
            yield Writer(connection, self.person.id, self.device.id, now)

    @property
    def read_only(self) -> bool:
        """Whether it was opened to be read only, beside the program that holds it."""
        return self.held is None

    def close(self) -> None:
        """Let go of the file."""
        self.engine.dispose()
        if self.held is not None:
            self.held.release()


def _not_found(kind: type) -> NotFound:
    return NotFound("store.not_found", kind=kind.__name__.lower())
