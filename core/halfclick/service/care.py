"""Check a journal whole, and put a copy of it back: done on its file, with nobody holding it."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from halfclick.service.done import Done, Touched
from halfclick.store import care
from halfclick.store.care import Checked, Restored


def check_whole(path: Path) -> Checked:
    """Check a journal's file whole and read every record of it; nothing is written.

    Raises:
        StoreError: it is missing, damaged, newer or something else.
    """
    return care.check_journal(path)


def put_back(path: Path, source: Path, *, clock: Callable[[], datetime]) -> Done[Restored]:
    """Put a copy in the journal's place once it was checked; the one that is there is kept.

    Raises:
        BadInput: the copy is the journal itself.
        StoreError: the copy is not sound, or the journal may not be replaced; nothing is changed.
    """
    restored = care.restore(path, source, now=clock())
    return Done(restored, ~Touched.NOTHING)
