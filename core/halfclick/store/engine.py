"""The connection to a journal's file, with settings that are safe when the power goes."""

import sqlite3
from pathlib import Path
from typing import Any

import sqlalchemy as sa

BUSY_TIMEOUT_MS = 5000

# Connections that will write say so, and lock the file at once: a block that began by reading
# could otherwise be refused when it comes to write.
WRITES = "halfclick_writes"


def engine_of(
    path: Path, *, foreign_keys: bool = True, read_only: bool = False, lasting: bool = True
) -> sa.Engine:
    """Return an engine on a journal's file.

    Args:
        path: the file; it is made where there is none.
        foreign_keys: OFF only while tables are rebuilt.
        read_only: whether SQLite itself is to refuse every write.
        lasting: whether a change is on the disk before it is told to be done.
    """
    mode = "ro" if read_only else "rwc"

    def connected() -> sqlite3.Connection:
        connection = sqlite3.connect(
            f"{path.as_uri()}?mode={mode}", uri=True, check_same_thread=False
        )
        settle(connection, foreign_keys=foreign_keys)
        if not lasting:
            connection.execute("PRAGMA synchronous=OFF").close()
        return connection

    engine = sa.create_engine("sqlite://", creator=connected, poolclass=sa.QueuePool)
    sa.event.listen(engine, "begin", _begin)
    return engine


def writing_on(engine: sa.Engine) -> sa.Connection:
    """Return a connection whose transactions write."""
    return engine.connect().execution_options(**{WRITES: True})


def settle(connection: sqlite3.Connection, *, foreign_keys: bool = True) -> None:
    """Set what a connection to a journal needs.

    The rollback journal leaves one file at rest, and costs under a millisecond a commit.
    """
    # The driver's own transactions begin late and leave table definitions out; ours do not.
    connection.isolation_level = None
    for pragma in (
        f"busy_timeout={BUSY_TIMEOUT_MS}",
        "journal_mode=DELETE",
        "synchronous=EXTRA",
        f"foreign_keys={'ON' if foreign_keys else 'OFF'}",
        "trusted_schema=OFF",
    ):
        connection.execute(f"PRAGMA {pragma}").close()


def _begin(connection: sa.Connection) -> None:
    options: Any = connection.get_execution_options()
    connection.exec_driver_sql("BEGIN IMMEDIATE" if options.get(WRITES) else "BEGIN")
