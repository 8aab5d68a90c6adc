"""Take the journal out: whole as one document, or as tables for a spreadsheet."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from halfclick.store.exchange.journal_json import write_journal
from halfclick.store.exchange.progress import Progress
from halfclick.store.journal import Store


def export_json(
    store: Store, path: Path, *, clock: Callable[[], datetime], progress: Progress
) -> int:
    """Write the whole journal to one file; return how many records it holds.

    Raises:
        StoreError: the journal cannot be read, or the file not written; what was there stays.
        Stopped: the person asked to stop.
    """
    with store.reading() as r:
        return write_journal(r.connection, path, now=clock(), progress=progress)
