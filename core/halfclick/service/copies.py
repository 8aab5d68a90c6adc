"""The copies of the journal that lie beside it: made, listed, and the oldest let go."""

import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

from halfclick.errors import BadInput
from halfclick.model.preference import Preference
from halfclick.service.done import Done, Touched
from halfclick.store.faults import translated
from halfclick.store.journal import Store
from halfclick.store.looking import check

KEPT = "copies.kept"
KEPT_AT_FIRST = 10
FEWEST, MOST = 1, 1000
ASKED = "asked"


@dataclass(frozen=True, slots=True, kw_only=True)
class JournalCopy:
    """A copy of the journal: where it lies, when it was made, and whether a person asked for it."""

    path: Path
    made_at: datetime
    asked: bool


def copies(store: Store) -> tuple[JournalCopy, ...]:
    """Return the copies of this journal that lie in `backups` beside it, newest first."""
    folder = store.path.parent / "backups"
    named = re.compile(re.escape(store.path.stem) + r"-(\d{8}-\d{6})-before-(\w+)\.db")
    found = []
    for path in folder.glob("*.db") if folder.is_dir() else ():
        match = named.fullmatch(path.name)
        # A name that looks like one but tells no time was given by somebody else.
        with suppress(ValueError):
            if match and path.is_file():
                made_at = datetime.strptime(match[1], "%Y%m%d-%H%M%S").replace(tzinfo=UTC)
                found.append(JournalCopy(path=path, made_at=made_at, asked=match[2] == ASKED))
    return tuple(sorted(found, key=lambda one: (one.made_at, one.path.name), reverse=True))


def copy_now(store: Store, *, clock: Callable[[], datetime]) -> Path:
    """Copy the journal as it is now, and check the copy.

    Raises:
        StoreError: the copy could not be written, or does not read back.
    """
    # Brings in the migration library, which takes long and is needed only here.
    from halfclick.store.upgrade import backed_up

    with translated(store.path):
        return backed_up(store.path, before=ASKED, now=clock())


def copies_kept(store: Store) -> int:
    """Return how many of the copies that were made unasked are kept."""
    with store.reading() as r:
        chosen = r.all(Preference, key=KEPT)
    value = chosen[-1].value if chosen else ""
    return int(value) if value.isdecimal() and int(value) >= FEWEST else KEPT_AT_FIRST


def keep_copies(store: Store, count: int, *, clock: Callable[[], datetime]) -> Done[int]:
    """Say how many of the copies made unasked are kept.

    Raises:
        BadInput: none, or more than anybody needs.
    """
    if not FEWEST <= count <= MOST:
        raise BadInput("copies.bad_count", given=count, low=FEWEST, high=MOST)
    with store.writing(clock()) as w:
        w.add(Preference(id=uuid4(), key=KEPT, value=str(count)))
    return Done(count, Touched.SETTINGS)


def tidy_copies(store: Store) -> tuple[Path, ...]:
    """Remove the oldest copies made unasked beyond those kept, and return which they were.

    Copies that a person asked for stay. The newest copy is checked first, and where it does not
    read back nothing is removed.

    Raises:
        StoreError: the newest copy is not sound, or an old one could not be removed.
    """
    every = copies(store)
    old = [one.path for one in every if not one.asked][copies_kept(store) :]
    if not old or store.read_only:
        return ()
    newest = every[0].path
    with translated(newest):
        check(newest)
        for path in old:
            path.unlink(missing_ok=True)
    return tuple(old)
