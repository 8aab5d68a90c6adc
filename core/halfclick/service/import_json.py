"""Bring a whole journal in from one document: looked at first, then all of it or nothing."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from halfclick.service.done import Done, Touched
from halfclick.store.exchange.journal_json import Lines, read_journal
from halfclick.store.exchange.merge import Tally, compared, merge
from halfclick.store.exchange.progress import Progress
from halfclick.store.journal import Store


@dataclass(frozen=True, slots=True, kw_only=True)
class Incoming:
    """A document that was read and can be brought in, and what that would do."""

    path: Path
    lines: Lines
    tallies: tuple[Tally, ...]

    @property
    def adds(self) -> bool:
        """Whether the journal would change."""
        return any(tally.new or tally.changed for tally in self.tallies)


def look_at_journal(store: Store, path: Path, *, progress: Progress) -> Incoming:
    """Read a document and compare it with the journal; nothing is written.

    Raises:
        BadInput: the file is no journal of ours, or something in it cannot be.
        Stopped: the person asked to stop.
    """
    lines = read_journal(path, progress=progress)
    with store.reading() as r:
        tallies = compared(r.connection, lines, progress=progress)
    return Incoming(path=path, lines=lines, tallies=tallies)


def bring_in_journal(
    store: Store, incoming: Incoming, *, clock: Callable[[], datetime], progress: Progress
) -> Done[tuple[Tally, ...]]:
    """Write what is new or later, all or nothing; twice is once.

    Raises:
        StoreError: the journal cannot be written; nothing was kept.
        Stopped: the person asked to stop; nothing was kept.
    """
    with store.writing(clock()) as w:
        tallies = merge(w.connection, incoming.lines, progress=progress)
    return Done(tallies, ~Touched.NOTHING)
