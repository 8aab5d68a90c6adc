"""An open journal: reading and writing blocks, and the records they give and take."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, TypeVar
from uuid import UUID

import sqlalchemy as sa
from filelock import BaseFileLock

from halfclick.errors import NotFound
from halfclick.model.person import Device, Person
from halfclick.store.faults import translated
from halfclick.store.rows import FACTS, TABLES, from_row, moment, to_row
from halfclick.wording import Message

T = TypeVar("T")


class Reader:
    """Reads records inside one block."""

    def __init__(self, connection: sa.Connection) -> None:
        self._connection = connection

    def find(self, kind: type[T], record_id: UUID) -> T | None:
        """Return a record by identity, deleted or corrected ones too; None where there is none."""
        table = TABLES[kind]
        row = self._connection.execute(sa.select(table).where(table.c.id == record_id)).first()
        return None if row is None else from_row(kind, dict(row._mapping))

    def get(self, kind: type[T], record_id: UUID) -> T:
        """Return a record by identity.

        Raises:
            NotFound: the journal has none.
        """
        found = self.find(kind, record_id)
        if found is None:
            raise NotFound("store.not_found", kind=kind.__name__.lower())
        return found

    def all(self, kind: type[T], *, corrected: bool = False, **equals: object) -> list[T]:
        """Return the living records of a kind, oldest first.

        Args:
            kind: which records.
            corrected: whether facts that a later fact corrects are wanted too.
            equals: columns and the values they must have.
        """
        table = TABLES[kind]
        query = sa.select(table).where(table.c.buried_at.is_(None))
        for name, value in equals.items():
            query = query.where(table.c[name] == value)
        if "corrects_id" in table.c and not corrected:
            later = table.alias("later")
            query = query.where(
                ~sa.exists().where(later.c.corrects_id == table.c.id, later.c.buried_at.is_(None))
            )
        query = query.order_by(table.c.written_at, table.c.id)
        return [from_row(kind, dict(row._mapping)) for row in self._connection.execute(query)]


class Writer(Reader):
    """Reads and writes records inside one block, stamped with who, where and when."""

    def __init__(
        self, connection: sa.Connection, person: UUID, device: UUID, now: datetime
    ) -> None:
        super().__init__(connection)
        self._stamp: dict[str, Any] = {"person_id": person, "device_id": device}
        self._now = now
        self._added = 0

    def add(self, record: Any) -> None:
        """Add a record; the same identity twice is once, so that a retry does no harm."""
        table = TABLES[type(record)]
        if self.find(type(record), record.id) is None:
            # A microsecond apart within a block, so that rows keep the order they were added in.
            at = moment(self._now + timedelta(microseconds=self._added))
            self._added += 1
            row = {**to_row(record), **self._stamp, "written_at": at}
            self._connection.execute(table.insert().values(**row))

    def change(self, record: Any) -> None:
        """Write a record over its older self.

        Raises:
            TypeError: the record is a fact; facts are corrected by new ones.
            NotFound: the journal has no such record.
        """
        kind = type(record)
        if kind in FACTS:
            raise TypeError(f"{kind.__name__} is a fact: add a correction instead")
        table = TABLES[kind]
        query = table.update().where(table.c.id == record.id)
        done = self._connection.execute(
            query.values(**to_row(record), changed_at=moment(self._now))
        )
        if done.rowcount != 1:
            raise NotFound("store.not_found", kind=kind.__name__.lower())

    def bury(self, kind: type, record_id: UUID) -> None:
        """Delete a record: it stays, marked, so that it can come back and be merged."""
        self._mark(kind, record_id, moment(self._now))

    def unbury(self, kind: type, record_id: UUID) -> None:
        """Bring a deleted record back."""
        self._mark(kind, record_id, None)

    def _mark(self, kind: type, record_id: UUID, at: str | None) -> None:
        table = TABLES[kind]
        query = table.update().where(table.c.id == record_id)
        done = self._connection.execute(query.values(buried_at=at))
        if done.rowcount != 1:
            raise NotFound("store.not_found", kind=kind.__name__.lower())


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """An open journal, held by this program until it is closed.

    `notices` tells what was done while opening, e.g. that a backup was made.
    """

    path: Path
    engine: sa.Engine
    lock: BaseFileLock | None
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
        with translated(self.path), self.engine.connect() as connection:
            connection.execution_options(halfclick_writes=True)
            with connection.begin():
                yield Writer(connection, self.person.id, self.device.id, now)

    def close(self) -> None:
        """Let go of the file."""
        self.engine.dispose()
        if self.lock is not None:
            self.lock.release()
