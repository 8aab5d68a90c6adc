"""One program a journal: the lock beside its file, and a note of who holds it."""

import os
import platform
from dataclasses import dataclass
from pathlib import Path

from filelock import BaseFileLock, FileLock, Timeout

from halfclick.errors import StoreBusy


@dataclass(frozen=True, slots=True)
class Held:
    """A journal's lock, held; the system lets go of it too when this program ends, however."""

    lock: BaseFileLock
    note: Path

    def release(self) -> None:
        """Let go of the lock."""
        self.note.unlink(missing_ok=True)
        self.lock.release()


def hold(path: Path) -> Held:
    """Hold the lock of the journal at a path.

    Raises:
        StoreBusy: another program holds it; the error says which.
    """
    # A lock belongs to the program, not to the thread that opened the journal.
    lock = FileLock(f"{path}.lock", thread_local=False)
    # Beside the lock and not in it: where locks are mandatory, nobody else can read a held file.
    note = Path(f"{path}.holder")
    try:
        lock.acquire(timeout=0)
    except Timeout:
        raise StoreBusy("store.held", path=str(path), **_holder(note)) from None
    try:
        note.write_text(f"{os.getpid()} {platform.node()}\n", "utf-8")
    except OSError:
        lock.release()
        raise
    return Held(lock, note)


def _holder(note: Path) -> dict[str, str]:
    try:
        pid, _, host = note.read_text("utf-8").strip().partition(" ")
    except OSError:
        pid = host = ""
    return {"pid": pid or "?", "host": host or "?"}
