"""Open a journal: look, lock, back up, migrate; or refuse with a sentence and touch nothing."""

import getpass
import platform
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from uuid import UUID, uuid4

import sqlalchemy as sa

from halfclick.errors import StoreDamaged, StoreUnwritable
from halfclick.model.person import Device, Person
from halfclick.model.preference import Preference
from halfclick.store.engine import engine_of, writing_on
from halfclick.store.faults import translated
from halfclick.store.journal import Reader, Store, Writer
from halfclick.store.lock import hold
from halfclick.store.looking import NEWEST_REVISION, is_there, revision_of
from halfclick.store.tables import METADATA
from halfclick.wording import Message

# A preference whose key begins so names a machine, and its value the device it is here: a device
# that was given another name is known again by it.
MACHINE = "device."


def open_store(
    path: Path,
    *,
    clock: Callable[[], datetime],
    person_name: str = "",
    device_name: str = "",
    read_only: bool = False,
    lasting: bool = True,
) -> Store:
    """Open the journal at a path; make it where there is none; migrate it where it is older.

    Args:
        path: the journal's file.
        clock: tells the time, aware.
        person_name: whose journal a new one is; the name they log in with where it is empty.
        device_name: this machine; its own name where it is empty.
        lasting: whether each change must outlast a power cut; not where the file is made anew.
        read_only: open it without the lock, beside the program that holds it; nothing is written.

    Raises:
        StoreBusy: another program holds it.
        StoreNewer: a newer release wrote it; it is left as it is.
        StoreForeign: the file is something else.
        StoreDamaged: SQLite finds the file damaged.
        StoreUnwritable: the place cannot be written.
    """
    path = path.absolute()
    device_name = device_name or platform.node() or "computer"
    with translated(path):
        there = is_there(path)
        if read_only:
            return _to_read(path, there, person_name, device_name)
        path.parent.mkdir(parents=True, exist_ok=True)
        held = hold(path)
    try:
        with translated(path):
            notices = _up_to_date(path, clock)
            engine = engine_of(path, lasting=lasting)
            try:
                _require_whole(engine, path)
                person, device = _introduced(engine, clock(), person_name, device_name)
            except BaseException:
                engine.dispose()
                raise
    except BaseException:
        held.release()
        raise
    return Store(path=path, engine=engine, held=held, person=person, device=device, notices=notices)


def _up_to_date(path: Path, clock: Callable[[], datetime]) -> tuple[Message, ...]:
    """Bring the file to the newest revision, and return what a person should know of it."""
    revision = revision_of(path) if is_there(path) else None
    if revision == NEWEST_REVISION:
        return ()
    # Alembic takes long to import and is needed only here.
    from halfclick.store.upgrade import create, upgrade

    if revision is None:
        create(path)
        return ()
    return upgrade(path, now=clock())


def _require_whole(engine: sa.Engine, path: Path) -> None:
    """Raise StoreDamaged where tables or columns of the newest revision are missing."""
    query = sa.text(
        "SELECT t.name, c.name FROM sqlite_master AS t JOIN pragma_table_info(t.name) AS c"
    )
    with engine.connect() as connection:
        there = {(table, column) for table, column in connection.execute(query)}
    for table in METADATA.tables.values():
        if any((table.name, column.name) not in there for column in table.columns):
            raise StoreDamaged("store.half_migrated", path=str(path))


def _to_read(path: Path, there: bool, person_name: str, device_name: str) -> Store:
    if not there:
        raise StoreUnwritable("store.none_to_read", path=str(path))
    if revision_of(path, read_only=True) != NEWEST_REVISION:
        raise StoreUnwritable("store.older_to_read", path=str(path))
    engine = engine_of(path, read_only=True)
    try:
        _require_whole(engine, path)
        person, device = _known(engine, person_name, device_name)
    except BaseException:
        engine.dispose()
        raise
    return Store(
        path=path,
        engine=engine,
        held=None,
        # Nothing is written, so a name that the journal does not know is told to nobody.
        person=person or Person(id=uuid4(), name=person_name or _login()),
        device=device or Device(id=uuid4(), name=device_name),
    )


def _introduced(
    engine: sa.Engine, now: datetime, person_name: str, device_name: str
) -> tuple[Person, Device]:
    """Return who writes and on which device: rows of the journal, made where they are missing."""
    person, device = _known(engine, person_name, device_name)
    if person and device:
        return person, device
    person = person or Person(id=uuid4(), name=person_name or _login())
    device = device or Device(id=uuid4(), name=device_name)
    with writing_on(engine) as connection, connection.begin():
        w = Writer(connection, person.id, device.id, now)
        w.add(person)
        w.add(device)
    return person, device


def _known(
    engine: sa.Engine, person_name: str, device_name: str
) -> tuple[Person | None, Device | None]:
    with engine.connect() as connection:
        r = Reader(connection)
        persons = r.all(Person)
        device = _device(r, device_name)
    # A journal is one person's until it is shared: the first is meant where no name is given.
    named = [person for person in persons if person.name == person_name]
    person = next(iter(named or persons), None)
    return person, device


def _device(r: Reader, machine: str) -> Device | None:
    """Return the device that a machine is in this journal; None where it is new to it."""
    machines = [one for one in r.all(Preference) if one.key.startswith(MACHINE)]
    renamed = {one.key.removeprefix(MACHINE): UUID(one.value) for one in machines}
    if machine in renamed:
        return r.find(Device, renamed[machine])
    # A name that another machine's device was given since is not this machine's own.
    named = [one for one in r.all(Device, name=machine) if one.id not in renamed.values()]
    return next(iter(named), None)


def _login() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):  # a system without accounts
        return "me"
