"""A journal as it stands at one moment, read at leisure: nobody who writes has to wait."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from halfclick.store.engine import engine_of
from halfclick.store.faults import translated
from halfclick.store.journal import Reader, Store


@contextmanager
def snapshot(store: Store) -> Iterator[Reader]:
    """Open a reading block on a copy that is thrown away afterwards.

    Raises:
        StoreError: the journal cannot be read, or there is no room for the copy.
    """
    with TemporaryDirectory(prefix="halfclick-", ignore_cleanup_errors=True) as folder:
        path = Path(folder) / "copy.db"
        with translated(store.path):
            _copy(store, path)
        engine = engine_of(path, read_only=True)
        try:
            with translated(path), engine.connect() as connection:
                yield Reader(connection)
        finally:
            engine.dispose()


def _copy(store: Store, path: Path) -> None:
    source = store.engine.raw_connection()
    try:
        with closing(sqlite3.connect(path)) as copy:
            driver = source.driver_connection
            if not isinstance(driver, sqlite3.Connection):
                raise TypeError("only a journal in one file can be copied so")
            driver.backup(copy)
    finally:
        source.close()
