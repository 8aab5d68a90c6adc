"""Bring an older journal, or none, to the newest revision: back up, migrate, check."""

import sqlite3
from datetime import datetime
from pathlib import Path

from alembic import command
from alembic.config import Config

from halfclick.errors import StoreDamaged
from halfclick.store.opening import APPLICATION_ID, NEWEST_REVISION, checked, engine_of
from halfclick.wording import Message


def upgrade(
    path: Path, revision: str | None, *, now: datetime, scripts: str = "halfclick.store:migrations"
) -> tuple[Message, ...]:
    """Migrate the journal at a path in one transaction; a failure leaves the old file.

    Args:
        path: the journal's file.
        revision: what it stands at; None for one still to be made.
        now: names the backup.
        scripts: where the revisions lie.

    Returns:
        What a person should know: where the backup went.
    """
    notices: tuple[Message, ...] = ()
    if revision is not None:
        kept = backed_up(path, before=NEWEST_REVISION, now=now)
        notices = (Message("store.backed_up", {"path": str(kept)}),)
    # Rebuilding a table under foreign keys would delete the rows that name it.
    engine = engine_of(path, foreign_keys=False)
    try:
        with engine.connect() as connection:
            connection.execution_options(halfclick_writes=True)
            with connection.begin():
                config = Config()
                config.set_main_option("script_location", scripts)
                config.attributes["connection"] = connection
                command.upgrade(config, "head")
                if connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
                    raise StoreDamaged("store.damaged", path=str(path))
                connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
                connection.exec_driver_sql(f"PRAGMA user_version = {int(NEWEST_REVISION)}")
    finally:
        engine.dispose()
    checked(path, whole=True)
    return notices


def backed_up(path: Path, *, before: str, now: datetime) -> Path:
    """Copy a journal through SQLite's own call into `backups` beside it, and check the copy.

    Raises:
        StoreDamaged: the copy does not read back.
    """
    folder = path.parent / "backups"
    folder.mkdir(exist_ok=True)
    target = folder / f"{path.stem}-{now:%Y%m%d-%H%M%S}-before-{before}.db"
    source = sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)
    copy = sqlite3.connect(target)
    try:
        source.backup(copy)
    finally:
        copy.close()
        source.close()
    checked(target, whole=True)
    return target
