"""A whole journal of nearly 50 MB brought in: by the command line, and in the window.

Run: PYTHONPATH=core:desktop:resources python tests/benchmarks/big_document.py [brews]

Of each: seconds, the processor's own, and the most memory held; in the window also how long the
main thread held it up at most, and how long "stop" takes to be obeyed wherever it is pressed.
"""

import os
import resource
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from journal import START, build

from halfclick.store.exchange.journal_json import write_journal
from halfclick.store.exchange.progress import Progress
from halfclick.store.exchange.snapshot import snapshot
from halfclick.store.opening import open_store

BREWS = 22_000  # just below the 50 MB that are read
STOPPED_AFTER = (0.2, 0.5, 0.8)  # of the time that looking takes
MAKE, WINDOW = "--make", "--window"


def main() -> None:
    """Make the document, then bring it in both ways."""
    if MAKE in sys.argv:
        write(Path(sys.argv[2]), int(sys.argv[3]))
        return
    if WINDOW in sys.argv:
        in_window(Path(sys.argv[2]), Path(sys.argv[3]))
        return
    brews = int(sys.argv[1]) if len(sys.argv) > 1 else BREWS
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        # Each in a process of its own, which starts with the memory of a small one.
        report("made", __file__, MAKE, name, str(brews))
        document, new = str(folder / "journal.json"), str(folder / "new.db")
        command = ("-m", "halfclick", "import", document, "--journal", new)
        report("brought in", *command)
        report("looked at again", *command, "--look")
        report("in the window", __file__, WINDOW, document, str(folder / "other.db"))


def write(folder: Path, brews: int) -> None:
    """Build a journal and write it as one document."""
    document = folder / "journal.json"
    store = open_store(
        folder / "journal.db", clock=lambda: START, person_name="Ada", device_name="bench"
    )
    build(store, brews)
    with snapshot(store) as r:
        write_journal(r.connection, document, now=datetime.now(UTC), progress=Progress())
    store.close()
    print(f"{brews} brews, {document.stat().st_size / 1e6:.1f} MB")


def report(what: str, *argv: str) -> None:
    """Run a process, and print what it took."""
    began = time.perf_counter()
    child = subprocess.Popen([sys.executable, *argv], stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    said = child.stdout.read().strip()
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    took_s, own_s = time.perf_counter() - began, used.ru_utime + used.ru_stime
    print(
        f"{what}: {took_s:.1f} s, {own_s:.1f} s of its own, {used.ru_maxrss / 1024:.0f} MB at most,"
        f" exit code {child.returncode}\n    " + "\n    ".join(said.splitlines())
    )


def in_window(document: Path, journal: Path) -> None:
    """Preview a document, stop the preview here and there, then write it."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtCore import QEventLoop
    from PySide6.QtWidgets import QApplication
    from standing_still import Watch

    from halfclick.wording import open_wording
    from halfclick_desktop.bring_in_page import BringInPage
    from halfclick_desktop.desk import Desk, utc_now
    from halfclick_desktop.work import Jobs

    app = QApplication([])
    store = open_store(journal, clock=utc_now, person_name="Ada", device_name="bench")
    page = BringInPage(Desk(store=store, clock=utc_now, words=open_wording(), jobs=Jobs(app)))
    page.show()
    watch = Watch()

    def until_done(asks: object, stop_after_s: float | None = None) -> tuple[float, float]:
        """Return how long a piece of work takes, or how long a stop of it does; and the turn."""
        watch.begin()
        began = time.perf_counter()
        asks()  # type: ignore[operator]
        while page._progress.is_busy():
            if stop_after_s is not None and time.perf_counter() - began >= stop_after_s:
                page._progress._stop.click()
                began, stop_after_s = time.perf_counter(), None
            app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        return time.perf_counter() - began, watch.longest_ms()

    look = partial(page.open_journal, document)
    took_s, turn_ms = until_done(look)
    print(f"preview after {took_s:.1f} s, longest turn {turn_ms:.0f} ms: {page._told.text()}")
    for share in STOPPED_AFTER:
        obeyed_s, turn_ms = until_done(look, share * took_s)
        print(f"stopped at {share:.0%}: after {obeyed_s:.2f} s, {page._notice.text()}")
    until_done(look)
    obeyed_s, _ = until_done(page._write_journal, 2.0)
    print(f"writing stopped: after {obeyed_s:.2f} s, {page._notice.text()}")
    took_s, turn_ms = until_done(page._write_journal)
    print(f"written after {took_s:.1f} s, longest turn {turn_ms:.0f} ms: {page._notice.text()}")
    print(f"most memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")
    sys.stdout.flush()
    os._exit(0)


if __name__ == "__main__":
    main()
