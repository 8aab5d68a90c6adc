"""Files written aside and put in place whole: what was there before stays until then."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO
from uuid import uuid4

from halfclick.errors import StoreUnwritable


@contextmanager
def file_aside(path: Path) -> Iterator[IO[bytes]]:
    """Open a stream whose content lies at a path once the block ends well, and not before.

    Raises:
        StoreUnwritable: the place cannot be written; what was at the path stays.
    """
    partial = path.with_name(f".{path.name}.{uuid4().hex[:8]}")
    try:
        with partial.open("xb") as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        partial.replace(path)
    except OSError as error:
        raise StoreUnwritable("exchange.cannot_write", path=str(path)) from error
    finally:
        partial.unlink(missing_ok=True)


@contextmanager
def folder_aside(path: Path) -> Iterator[Path]:
    """Give a folder to fill; it lies at a new path once the block ends well, and not before.

    Raises:
        StoreUnwritable: the place cannot be written, or something lies there already.
    """
    partial = path.with_name(f".{path.name}.{uuid4().hex[:8]}")
    try:
        partial.mkdir(parents=True)
        yield partial
        if path.exists():
            raise FileExistsError(path)
        partial.rename(path)
    except OSError as error:
        raise StoreUnwritable("exchange.cannot_write", path=str(path)) from error
    finally:
        shutil.rmtree(partial, ignore_errors=True)
