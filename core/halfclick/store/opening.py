"""Open a journal: lock, look, back up, migrate; or refuse with a sentence and touch nothing."""

import getpass
import os
import platform
import sqlite3
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from uuid import uuid4

import sqlalchemy as sa
from filelock import BaseFileLock, FileLock, Timeout

from halfclick.errors import StoreBusy, StoreDamaged, StoreForeign, StoreNewer
from halfclick.model.person import Device, Person
from halfclick.store.faults import translated
from halfclick.store.journal import Reader, Store, Writer
from halfclick.wording import Message

# "HFCK" as a big-endian number, in the SQLite header of every journal.
APPLICATION_ID = 0x4846434B
NEWEST_REVISION = "0001"
BUSY_TIMEOUT_MS = 5000


def open_store(
    path: Path,
    *,
    clock: Callable[[], datetime],
    person_name: str = "",
    device_name: str = "",
) -> Store:
    """Open the journal at a path; make it where there is none; migrate it where it is older.

    Raises:
        StoreBusy: another program holds it.
        StoreNewer: a newer release wrote it; it is left as it is.
        StoreForeign: the file is something else.
        StoreDamaged: SQLite finds the file damaged.
        StoreUnwritable: the place cannot be written.
    """
    with translated(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        lock = _held(path)
    try:
        with translated(path):
            revision = _looked_at(path)
            notices: tuple[Message, ...] = ()
            if revision != NEWEST_REVISION:
                # Alembic takes long to import and is needed only here.
                from halfclick.store.upgrade import upgrade

                notices = upgrade(path, revision, now=clock())
            engine = engine_of(path)
            person, device = _introduced(engine, clock(), person_name, device_name)
    except BaseException:
        lock.release()
        raise
    return Store(path=path, engine=engine, lock=lock, person=person, device=device, notices=notices)


def engine_of(path: Path, *, foreign_keys: bool = True) -> sa.Engine:
    """Return an engine with the journal's settings: safe on power loss, one file at rest."""
    engine = sa.create_engine(f"sqlite:///{path}")
    sa.event.listen(engine, "connect", _settings(foreign_keys=foreign_keys))
    sa.event.listen(engine, "begin", _begin)
    return engine


def checked(path: Path, *, whole: bool) -> None:
    """Ask SQLite whether a file is sound.

    Args:
        path: the file.
        whole: whether indexes are compared with their tables too, which takes longer.

    Raises:
        StoreDamaged: it is not.
    """
    connection = sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)
    try:
        pragma = "integrity_check" if whole else "quick_check"
        if connection.execute(f"PRAGMA {pragma}(1)").fetchone()[0] != "ok":
            raise StoreDamaged("store.damaged", path=str(path))
    finally:
        connection.close()


def _held(path: Path) -> BaseFileLock:
    """Hold the lock beside the journal; the system lets go of it when this program ends."""
    lock = FileLock(f"{path}.lock")
    holder = Path(f"{path}.holder")
    try:
        lock.acquire(timeout=0)
    except Timeout:
        who = holder.read_text("utf-8").strip() if holder.exists() else ""
        raise StoreBusy("store.held", path=str(path), who=who or "?") from None
    holder.write_text(f"{platform.node()}, {os.getpid()}", "utf-8")
    return lock


def _looked_at(path: Path) -> str | None:
    """Return the revision of a journal, None for one still to be made, writing nothing.

    Raises:
        StoreForeign, StoreNewer, StoreDamaged: it is not a journal that can be opened.
    """
    if not path.exists() or path.stat().st_size == 0:
        return None
    connection = sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)
    try:
        number = connection.execute("PRAGMA application_id").fetchone()[0]
        if number != APPLICATION_ID:
            raise StoreForeign("store.foreign", path=str(path))
        found = connection.execute("SELECT version_num FROM alembic_version").fetchall()
    finally:
        connection.close()
    if len(found) != 1:
        raise StoreDamaged("store.damaged", path=str(path))
    revision = str(found[0][0])
    if revision > NEWEST_REVISION:
        raise StoreNewer("store.newer", path=str(path))
    checked(path, whole=revision != NEWEST_REVISION)
    return revision


def _settings(*, foreign_keys: bool) -> Callable[[sqlite3.Connection, object], None]:
    def settle(connection: sqlite3.Connection, _record: object) -> None:
        # The driver's own transactions begin late and leave table definitions out; ours do not.
        connection.isolation_level = None
        for pragma in (
            "journal_mode=DELETE",
            "synchronous=EXTRA",
            f"foreign_keys={'ON' if foreign_keys else 'OFF'}",
            f"busy_timeout={BUSY_TIMEOUT_MS}",
            "trusted_schema=OFF",
        ):
            connection.execute(f"PRAGMA {pragma}")

    return settle


def _begin(connection: sa.Connection) -> None:
    writes = connection.get_execution_options().get("halfclick_writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _introduced(
    engine: sa.Engine, now: datetime, person_name: str, device_name: str
) -> tuple[Person, Device]:
    """Return who writes and on which device: the rows of this journal, made on first opening."""
    device_name = device_name or platform.node() or "computer"
    with engine.connect() as connection:
        r = Reader(connection)
        persons, devices = r.all(Person), r.all(Device, name=device_name)
    if persons and devices:
        return persons[0], devices[0]
    person = persons[0] if persons else Person(id=uuid4(), name=person_name or _login())
    device = devices[0] if devices else Device(id=uuid4(), name=device_name)
    with engine.connect() as connection:
        connection.execution_options(halfclick_writes=True)
        with connection.begin():
            w = Writer(connection, person.id, device.id, now)
            w.add(person)
            w.add(device)
    return person, device


def _login() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError):
        return "me"
