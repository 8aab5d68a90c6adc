"""Look at a journal's file without changing it: whose it is, how old, and whether it is sound."""

import sqlite3
from contextlib import closing
from pathlib import Path

from halfclick.errors import StoreDamaged, StoreForeign, StoreNewer

# "HFCK" as a big-endian number, in the SQLite header of every journal.
APPLICATION_ID = 0x4846434B

# Every revision a journal may stand at, oldest first.
REVISIONS = ("0001", "0002", "0003", "0004")
NEWEST_REVISION = REVISIONS[-1]

# SQLite's database file format, section 1.3: where the header keeps its fields.
_HEADER_SIZE = 100
_MAGIC = b"SQLite format 3\x00"
_USER_VERSION = slice(60, 64)
_APPLICATION_ID = slice(68, 72)


def is_there(path: Path) -> bool:
    """Return whether a journal was made at a path; an empty file is none yet.

    Raises:
        StoreForeign: something else lies there.
        StoreNewer: a newer release wrote it.
    """
    # Read as plain bytes: SQLite itself is kept away from a file that is not ours.
    if not path.exists() or (path.is_file() and path.stat().st_size == 0):
        return False
    with path.open("rb") as stream:
        header = stream.read(_HEADER_SIZE)
    number = int.from_bytes(header[_APPLICATION_ID], "big")
    if not header.startswith(_MAGIC) or number != APPLICATION_ID:
        raise StoreForeign("store.foreign", path=str(path))
    if int.from_bytes(header[_USER_VERSION], "big") > int(NEWEST_REVISION):
        raise StoreNewer("store.newer", path=str(path))
    return True


def revision_of(path: Path, *, read_only: bool = False) -> str:
    """Return the revision of a sound journal.

    Raises:
        StoreNewer: a release wrote it that knows more revisions than this one.
        StoreDamaged: SQLite finds it damaged, or it does not say its revision.
    """
    # Not read-only where we hold the lock: a program that was killed while it wrote leaves a
    # rollback journal, and only a connection that may write puts the file right again.
    mode = "ro" if read_only else "rw"
    with closing(sqlite3.connect(f"{path.as_uri()}?mode={mode}", uri=True)) as connection:
        if not _has_revision(connection):
            raise StoreDamaged("store.damaged", path=str(path))
        found = connection.execute("SELECT version_num FROM alembic_version").fetchall()
        if len(found) != 1:
            raise StoreDamaged("store.damaged", path=str(path))
        revision = str(found[0][0])
        if revision not in REVISIONS:
            raise StoreNewer("store.newer", path=str(path))
        _require_sound(connection, path, whole=revision != NEWEST_REVISION)
    return revision


def check(path: Path) -> None:
    """Have SQLite check a file whole, indexes against their tables too.

    Raises:
        StoreDamaged: it is not sound.
    """
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as connection:
        _require_sound(connection, path, whole=True)


def _has_revision(connection: sqlite3.Connection) -> bool:
    query = "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = 'alembic_version'"
    return bool(connection.execute(query).fetchone()[0])


def _require_sound(connection: sqlite3.Connection, path: Path, *, whole: bool) -> None:
    pragma = "integrity_check" if whole else "quick_check"
    if connection.execute(f"PRAGMA {pragma}(1)").fetchone()[0] != "ok":
        raise StoreDamaged("store.damaged", path=str(path))
