"""What SQLite and the system refuse, as errors that a person can mend."""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import sqlalchemy as sa

from halfclick.errors import StoreBusy, StoreDamaged, StoreError, StoreUnwritable

_BY_NAME: dict[str, tuple[type[StoreError], str]] = {
    "SQLITE_FULL": (StoreUnwritable, "store.full"),
    "SQLITE_READONLY": (StoreUnwritable, "store.read_only"),
    "SQLITE_CANTOPEN": (StoreUnwritable, "store.cannot_open"),
    "SQLITE_PERM": (StoreUnwritable, "store.cannot_open"),
    "SQLITE_IOERR": (StoreUnwritable, "store.disk_fault"),
    "SQLITE_BUSY": (StoreBusy, "store.busy_now"),
    "SQLITE_LOCKED": (StoreBusy, "store.busy_now"),
    "SQLITE_CORRUPT": (StoreDamaged, "store.damaged"),
    "SQLITE_NOTADB": (StoreDamaged, "store.damaged"),
}
_BY_NUMBER = {
    errno.ENOSPC: "store.full",
    errno.EDQUOT: "store.full",
    errno.EROFS: "store.read_only",
    errno.EACCES: "store.read_only",
    errno.EPERM: "store.read_only",
    errno.EISDIR: "store.cannot_open",
    errno.ENOTDIR: "store.cannot_open",
    errno.EEXIST: "store.cannot_open",
}


def mended(error: BaseException, path: Path) -> StoreError | None:
    """Return the error a person can mend that stands for a fault; None where it is our mistake."""
    cause = error.orig if isinstance(error, sa.exc.DBAPIError) else error
    if isinstance(cause, OSError):
        code = _BY_NUMBER.get(cause.errno or 0, "store.disk_fault")
        return StoreUnwritable(code, path=str(path))
    name = getattr(cause, "sqlite_errorname", "") or ""
    for prefix, (kind, code) in _BY_NAME.items():
        if name.startswith(prefix):
            return kind(code, path=str(path))
    return None


@contextmanager
def translated(path: Path) -> Iterator[None]:
    """Raise faults of the disk or the file inside the block as StoreErrors."""
    try:
        yield
    except (sa.exc.DBAPIError, sqlite3.Error, OSError) as error:
        known = mended(error, path)
        if known is None:
            raise
        raise known from error
