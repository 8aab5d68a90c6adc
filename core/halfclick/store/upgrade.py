"""Bring an older journal, or none, to the newest revision: back up, migrate, check."""

import os
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

import sqlalchemy as sa
from alembic import command
from alembic.config import Config

from halfclick.errors import StoreDamaged
from halfclick.store.engine import engine_of, writing_on
from halfclick.store.faults import mended
from halfclick.store.looking import APPLICATION_ID, NEWEST_REVISION, check
from halfclick.wording import Message

SCRIPTS = "halfclick.store:migrations"


def create(path: Path) -> None:
    """Make a journal through its revisions, aside, and put it in place whole."""
    aside = Path(f"{path}.new")
    for left_over in (aside, Path(f"{aside}-journal")):
        left_over.unlink(missing_ok=True)
    migrate(aside, scripts=SCRIPTS, newest=NEWEST_REVISION)
    aside.replace(path)
    _keep_name(path.parent)


def upgrade(
    path: Path, *, now: datetime, scripts: str = SCRIPTS, newest: str = NEWEST_REVISION
) -> tuple[Message, ...]:
    """Back an older journal up, then migrate it; a failure leaves the old file.

    Args:
        path: the journal's file.
        now: names the backup.
        scripts: where the revisions lie.
        newest: the last of them.

    Returns:
        What a person should know: where the backup went.
    """
    kept = backed_up(path, before=newest, now=now)
    migrate(path, scripts=scripts, newest=newest)
    return (Message("store.backed_up", {"path": str(kept)}),)


def migrate(path: Path, *, scripts: str, newest: str) -> None:
    """Run the missing revisions in one transaction, and check what came of it.

    Raises:
        StoreDamaged: the tables are not those of the revision it claims, or rows name rows that
            are not there; the file is as it was.
    """
    # Rebuilding a table under foreign keys would delete the rows that name it.
    engine = engine_of(path, foreign_keys=False)
    config = Config()
    config.set_main_option("script_location", scripts)
    try:
        with writing_on(engine) as connection, connection.begin():
            config.attributes["connection"] = connection
            try:
                command.upgrade(config, "head")
            except (sa.exc.OperationalError, sa.exc.IntegrityError) as error:
                # Full, locked and the like keep their own sentences.
                if mended(error, path) is not None:
                    raise
                raise StoreDamaged("store.half_migrated", path=str(path)) from error
            if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
                raise StoreDamaged("store.damaged", path=str(path))
            connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.exec_driver_sql(f"PRAGMA user_version = {int(newest)}")
    finally:
        engine.dispose()
    check(path)


def backed_up(path: Path, *, before: str, now: datetime) -> Path:
    """Copy a journal through SQLite's own call into `backups` beside it, and check the copy.

    Raises:
        StoreDamaged: the copy does not read back.
    """
    folder = path.parent / "backups"
    folder.mkdir(exist_ok=True)
    target = folder / f"{path.stem}-{now:%Y%m%d-%H%M%S}-before-{before}.db"
    try:
        with (
            closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as source,
            closing(sqlite3.connect(target)) as copy,
        ):
            source.backup(copy)
        check(target)
    except BaseException:
        target.unlink(missing_ok=True)
        raise
    return target


def _keep_name(folder: Path) -> None:
    """Have the system keep a folder's new names on the disk, where it can be asked to."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
