"""The demo: an invented person's journal, made anew each day in a folder of its own."""

import os
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from random import Random
from uuid import uuid4

from halfclick.service.demo_player import Hand, Player
from halfclick.service.scenario import Scenario, load_scenario
from halfclick.store.faults import translated
from halfclick.store.opening import open_store
from halfclick.store.place import demo_path


def demo_journal(*, clock: Callable[[], datetime], folder: Path | None = None) -> Path:
    """Return today's demo journal, made where it is not there yet; those of other days go.

    Raises:
        StoreError: it cannot be written.
    """
    now = clock()
    path = demo_path(now, folder)
    place = path.parent
    with translated(path):
        if path.exists():
            return path
        place.mkdir(parents=True, exist_ok=True)
        for old in place.glob("demo-*.db*"):
            with suppress(OSError):  # still open in a window: it goes another day
                old.unlink()
        aside = place / f"made-{os.getpid()}-{uuid4().hex}.db"
        try:
            build_demo(aside, now=now)
            with aside.open("rb+") as made:
                os.fsync(made.fileno())
            aside.replace(path)
        finally:
            for left_over in place.glob(f"{aside.name}*"):
                left_over.unlink(missing_ok=True)
    return path


def build_demo(path: Path, *, now: datetime, scenario: Scenario | None = None) -> None:
    """Write the demo journal to a new file, as if it ended on this day.

    Raises:
        StoreError: it cannot be written.
    """
    told = scenario or load_scenario()
    hand = Hand(_morning(now, told.begins_days_ago))
    store = open_store(
        path, clock=hand, person_name=told.person, device_name=told.device, lasting=False
    )
    try:
        Player(store=store, told=told, hand=hand, chance=Random(told.seed)).play()
    finally:
        store.close()


def _morning(now: datetime, days_ago: int) -> datetime:
    day = now.astimezone(UTC).date() - timedelta(days=days_ago)
    return datetime.combine(day, time(7), tzinfo=UTC)
