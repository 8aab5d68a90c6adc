"""Look after a journal's file: check it whole, and put a copy of it back in its place."""

import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import msgspec
import sqlalchemy as sa

from halfclick.errors import BadInput, StoreDamaged, StoreError, StoreUnwritable
from halfclick.store.engine import engine_of
from halfclick.store.faults import translated
from halfclick.store.lock import hold
from halfclick.store.looking import NEWEST_REVISION, check, is_there, revision_of
from halfclick.store.rows import TABLES, from_row


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What a whole check found: the revision, and how many records of each kind were read.

    An older journal is checked by SQLite alone: its records are read once it was brought up
    to date, and `records` is empty until then.
    """

    path: Path
    revision: str
    records: dict[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What a restore did: where the journal came from, and where the one before it was kept."""

    path: Path
    source: Path
    kept: Path | None
    records: dict[str, int]


def check_journal(path: Path) -> Checked:
    """Check a journal whole: integrity, foreign keys, and every record read; nothing is written.

    Raises:
        StoreError: there is none, it is damaged, newer or something else.
    """
    path = path.absolute()
    with translated(path):
        if not is_there(path):
            raise StoreUnwritable("store.none_to_read", path=str(path))
        revision = revision_of(path, read_only=True)
        check(path)
        _require_keys(path)
        records = _read_all(path) if revision == NEWEST_REVISION else {}
    return Checked(path=path, revision=revision, records=records)


def restore(path: Path, source: Path, *, now: datetime) -> Restored:
    """Put a copy of a journal in the journal's place, and keep the one that is there.

    The copy is checked first; where it is not sound, nothing is touched.

    Raises:
        BadInput: the copy is the journal itself.
        StoreError: the copy is missing or not sound, or the journal is held, newer or foreign.
    """
    path, source = path.absolute(), source.absolute()
    if path.exists() and source.exists() and path.samefile(source):
        raise BadInput("store.restore_itself", path=str(path))
    records = check_journal(source).records
    with translated(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        held = hold(path)
        try:
            kept = _kept(path, now) if is_there(path) else None
            _put(source, path)
        finally:
            held.release()
    return Restored(path=path, source=source, kept=kept, records=records)


def _require_keys(path: Path) -> None:
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as connection:
        if connection.execute("PRAGMA foreign_key_check").fetchone() is not None:
            raise StoreDamaged("store.damaged", path=str(path))


def _read_all(path: Path) -> dict[str, int]:
    """Read every record, deleted and corrected ones too; return how many of each kind."""
    engine = engine_of(path, read_only=True)
    counts: dict[str, int] = {}
    try:
        with engine.connect() as connection:
            for kind, table in TABLES.items():
                counts[table.name] = 0
                for row in connection.execute(sa.select(table)):
                    _require_readable(kind, table.name, dict(row._mapping), path)
                    counts[table.name] += 1
    except sa.exc.OperationalError as error:
        if "no such" in str(error.orig):
            raise StoreDamaged("store.half_migrated", path=str(path)) from error
        raise
    finally:
        engine.dispose()
    return counts


def _require_readable(kind: type, name: str, row: dict[str, object], path: Path) -> None:
    try:
        from_row(kind, row)
    except (msgspec.ValidationError, BadInput, ValueError) as error:
        values = {"kind": name, "id": str(row.get("id")), "path": str(path)}
        raise StoreDamaged("store.unreadable_record", **values) from error


def _kept(path: Path, now: datetime) -> Path:
    """Keep the journal that is there: through SQLite, or byte for byte where it is damaged."""
    from halfclick.store.upgrade import backed_up  # brings Alembic in, which takes long

    try:
        _play_back(path)
        return backed_up(path, before="restore", now=now)
    except (StoreDamaged, sqlite3.DatabaseError) as error:
        if isinstance(error, sqlite3.OperationalError):
            raise  # full, locked: not a matter of the file itself
    folder = path.parent / "backups"
    folder.mkdir(exist_ok=True)
    target = folder / f"{path.stem}-{now:%Y%m%d-%H%M%S}-damaged.db"
    shutil.copy2(path, target)
    left_over = Path(f"{path}-journal")
    if left_over.exists():
        shutil.copy2(left_over, f"{target}-journal")
    return target


def _play_back(path: Path) -> None:
    """Let SQLite put right what a killed program left, so that no old rollback meets a new file."""
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=rw", uri=True)) as connection:
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()


def _put(source: Path, path: Path) -> None:
    """Write the copy aside, check it, and put it in place whole."""
    aside = Path(f"{path}.restoring")
    aside.unlink(missing_ok=True)
    try:
        with (
            closing(sqlite3.connect(f"{source.as_uri()}?mode=ro", uri=True)) as origin,
            closing(sqlite3.connect(aside)) as copy,
        ):
            origin.backup(copy)
        check(aside)
        # The journal that was there is kept already, its rollback with it.
        Path(f"{path}-journal").unlink(missing_ok=True)
        aside.replace(path)
    except (StoreError, sqlite3.Error, OSError):
        aside.unlink(missing_ok=True)
        raise
