"""Take the journal out: whole as one document, or as tables for a spreadsheet."""

from collections.abc import Callable
from datetime import datetime, tzinfo
from itertools import chain, count
from pathlib import Path

from halfclick.service.cups_table import COLUMNS, Said, cup_rows
from halfclick.store.exchange.aside import folder_aside
from halfclick.store.exchange.csv_out import CsvForm, write_kinds, write_table
from halfclick.store.exchange.journal_json import write_journal
from halfclick.store.exchange.progress import Progress
from halfclick.store.exchange.snapshot import snapshot
from halfclick.store.journal import Store

CUPS = "cups.csv"


def export_json(
    store: Store, path: Path, *, clock: Callable[[], datetime], progress: Progress
) -> int:
    """Write the whole journal to one file; return how many records it holds.

    Raises:
        StoreError: the journal cannot be read, or the file not written; what was there stays.
        Stopped: the person asked to stop.
    """
    with snapshot(store) as r:
        return write_journal(r.connection, path, now=clock(), progress=progress)


def export_tables(
    store: Store,
    place: Path,
    form: CsvForm,
    said: Said,
    *,
    clock: Callable[[], datetime],
    progress: Progress,
    zone: tzinfo | None = None,
) -> Path:
    """Write one table a kind, and one of all cups, into a new folder; return the folder.

    Args:
        store: the journal.
        place: where the new folder is made.
        form: how the person's spreadsheet wants them.
        said: words messages.
        clock: tells the time, which names the folder.
        progress: how far it has come.
        zone: where the person's days begin; None for this machine's.

    Raises:
        StoreError: the journal cannot be read, or the place not written; no folder is left.
        Stopped: the person asked to stop; no folder is left.
    """
    folder = _free(place, f"halfclick {clock().astimezone(zone):%Y-%m-%d %H.%M.%S}")
    with snapshot(store) as r, folder_aside(folder) as partial:
        write_kinds(r.connection, partial, form, progress=progress)
        write_table(partial / CUPS, COLUMNS, cup_rows(r, said, zone), form, progress=progress)
    return folder


def _free(place: Path, name: str) -> Path:
    """Return a path in a place where nothing lies yet."""
    names = chain([name], (f"{name} {number}" for number in count(2)))
    return next(path for path in map(place.joinpath, names) if not path.exists())
