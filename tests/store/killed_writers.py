"""Fork writers on one journal, kill each with -9 at a random moment, and look for lost rows.

python tests/store/killed_writers.py FOLDER KILLS SEED; exits with a sentence where a row is lost.
"""

import os
import random
import runpy
import select
import signal
import sqlite3
import sys
import time
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

# Imported before any fork, so that a writer starts in milliseconds; Alembic for the first one.
import alembic.command
import sqlalchemy.dialects.sqlite.pysqlite  # noqa: F401 (loaded by name when an engine is made)

from halfclick.model.brew import Brew
from halfclick.model.tasting import Tasting
from halfclick.model.under_way import GuideEvent, GuideEventKind, UnderWay
from halfclick.store import upgrade  # noqa: F401
from halfclick.store.looking import check
from halfclick.store.opening import open_store

assert alembic.command

SAMPLES = runpy.run_path(str(Path(__file__).parent / "conftest.py"))
SAMPLE_BREW_ID = SAMPLES["named"](41)
SAMPLE_BREWS = ", ".join(f"'{SAMPLES['named'](number).hex}'" for number in (41, 42))
EVENTS = 3  # of each brew under way, kept one by one, as the guide does
WORDS = 8  # a writer is let say fewer than so many words after its first
LIFE_S = 0.01  # and lives up to so long after the last of them
BIRTH_S = 0.05  # one in eight is killed while it opens or makes the journal


def now() -> datetime:
    """Return the time, aware."""
    return datetime.now(UTC)


def write_for_ever(path: Path, told: int) -> None:
    """Write brews, and tell each identity only after its block was kept."""
    store = open_store(path, clock=now, person_name="Ada", device_name="laptop")
    with store.writing(now()) as w:
        for record in SAMPLES["every_record"]():
            w.add(record)
    first, under_way, tasting = (
        next(each for each in SAMPLES["every_record"]() if isinstance(each, kind))
        for kind in (Brew, UnderWay, Tasting)
    )
    os.write(told, b"open\n")
    while True:
        begun = replace(under_way, id=uuid4(), begun_at=now())
        with store.writing(now()) as w:
            w.add(begun)
        os.write(told, f"under_way {begun.id.hex}\n".encode())
        for number in range(1, EVENTS + 1):
            event = GuideEvent(
                id=uuid4(),
                under_way_id=begun.id,
                number=number,
                at=now(),
                kind=GuideEventKind.POUR_STARTED,
                value=float(number),
            )
            with store.writing(now()) as w:
                w.add(event)
            os.write(told, f"guide_event {event.id.hex}\n".encode())
        brew = replace(first, id=uuid4(), note="x" * random.randrange(2000))
        with store.writing(now()) as w:  # one block: all three or none
            w.add(brew)
            w.add(replace(tasting, id=uuid4(), brew_id=brew.id))
            w.change(replace(begun, closed_at=now()))
        os.write(told, f"brew {brew.id.hex}\n".encode())


def one_life(path: Path, chance: random.Random) -> list[str]:
    """Let a writer live for a random while, kill it, and return what it acknowledged."""
    hear, tell = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(hear)
        random.seed(os.getpid())
        try:
            write_for_ever(path, tell)
        finally:
            os._exit(1)  # a writer that ends by itself has failed
    os.close(tell)
    heard = b""
    if chance.randrange(8) == 0:
        time.sleep(chance.uniform(0, BIRTH_S))
    else:
        words = 1 + chance.randrange(WORDS)
        while heard.count(b"\n") < words and (more := hear_more(hear)):
            heard += more
        time.sleep(chance.uniform(0, LIFE_S))
    os.kill(pid, signal.SIGKILL)
    _, status = os.waitpid(pid, 0)
    if not os.WIFSIGNALED(status):
        raise SystemExit("a writer failed before it was killed")
    while more := os.read(hear, 65536):
        heard += more
    os.close(hear)
    return [line for line in heard.decode().splitlines() if line != "open"]


def hear_more(hear: int) -> bytes:
    """Return what a writer says next; nothing where it has been silent for half a minute."""
    ready, _, _ = select.select([hear], [], [], 30)
    return os.read(hear, 65536) if ready else b""


def looked_through(path: Path, acknowledged: set[str]) -> None:
    """Open the journal as the program would, and raise where something is lost or torn."""
    open_store(path, clock=now, person_name="Ada", device_name="laptop").close()
    with closing(sqlite3.connect(path)) as connection:
        kept = {
            f"{table} {row[0]}"
            for table in ("under_way", "guide_event", "brew")
            for row in connection.execute(f"SELECT id FROM {table}")
        }
        # A block wrote a brew, its tasting and the end of what was under way, or none of them.
        # The samples' own tastings are of one of the samples' brews.
        blocks = {
            connection.execute(f"SELECT count(*) FROM {rows}").fetchone()[0]
            for rows in (
                "under_way WHERE closed_at IS NOT NULL",
                f"tasting WHERE brew_id NOT IN ({SAMPLE_BREWS})",
                f"brew WHERE parent_id IS NULL AND id <> '{SAMPLE_BREW_ID.hex}'",
            )
        }
    lost = acknowledged - kept
    if lost or len(blocks) != 1:
        raise SystemExit(f"lost {lost}; blocks {blocks}")


def is_hot(rollback: Path) -> bool:
    """Return whether a writer died between its first changed page and its commit.

    A rollback journal whose header is still blank protects nothing yet (SQLite's file locking
    document, section 4).
    """
    return rollback.exists() and rollback.read_bytes()[:1] not in (b"", b"\0")


def main() -> None:
    """Kill so many writers, most on one journal, some on journals that are being made."""
    folder, kills, seed = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    chance = random.Random(seed)
    path = folder / "journal.db"
    acknowledged: set[str] = set()
    hot = 0
    for number in range(kills):
        if number % 8 == 0:
            one_life(folder / f"new {number}.db", random.Random(chance.random()))
            open_store(folder / f"new {number}.db", clock=now).close()
        acknowledged.update(one_life(path, chance))
        hot += is_hot(Path(f"{path}-journal"))
        looked_through(path, acknowledged)
    check(path)
    store = open_store(path, clock=now, person_name="Ada", device_name="laptop")
    with store.reading() as r:
        for kind in (Brew, Tasting, UnderWay, GuideEvent):
            r.all(kind, corrected=True)  # every row is a whole record
    store.close()
    sys.stdout.write(f"{kills} kills, {len(acknowledged)} acknowledged, {hot} mid-write\n")


if __name__ == "__main__":
    main()
