"""Copies of a journal as its upgrades leave them."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

from halfclick.store.journal import Store
from halfclick.store.upgrade import backed_up


def unasked_copies(store: Store, count: int) -> list[Path]:
    """Make so many copies, a day apart, and return them oldest first."""
    first = datetime(2026, 10, 1, 8, 0, tzinfo=UTC)
    return [
        backed_up(store.path, before="0003", now=first + timedelta(days=day))
        for day in range(count)
    ]
