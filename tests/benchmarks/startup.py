"""How long until the first paint and the first page, as ratios to a bare window in the same run.

Run: python tests/benchmarks/startup.py [rounds]. Offscreen and warm; medians of alternating runs.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

BARE = """
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QLabel, QMainWindow
import os
class Window(QMainWindow):
    def paintEvent(self, event):
        super().paintEvent(event)
        QTimer.singleShot(0, lambda: os._exit(0))
app = QApplication([])
window = Window()
window.setCentralWidget(QLabel("a"))
window.show()
app.exec()
"""


def main() -> None:
    """Print medians and ratios."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 11
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_STATE_HOME"] = folder
        journal = Path(folder) / "journal.db"
        fill(journal)
        program = [sys.executable, "-m", "halfclick_desktop", "--journal", str(journal)]
        commands = {
            "bare window": [sys.executable, "-c", BARE],
            "first paint": [*program, "--until", "first-paint"],
            "first page with data": [*program, "--until", "first-page"],
            "every page ready": [*program, "--until", "ready"],
        }
        seconds: dict[str, list[float]] = {name: [] for name in commands}
        for number in range(rounds + 1):
            for name, command in commands.items():
                started = time.perf_counter()
                subprocess.run(command, check=True, stderr=subprocess.DEVNULL)
                if number:  # the first round warms the caches
                    seconds[name].append(time.perf_counter() - started)
    bare = statistics.median(seconds["bare window"])
    for name, measured in seconds.items():
        median = statistics.median(measured)
        print(f"{name:22} {median * 1000:6.0f} ms   {median / bare:5.2f} x bare window")


def fill(journal: Path) -> None:
    """Make a journal with a kit and three coffees."""
    from halfclick.service.coffees import CoffeeEntry, add_coffee
    from halfclick.service.kitchens import KitchenEntry, set_up_kitchen
    from halfclick.store.opening import open_store

    def clock() -> datetime:
        return datetime.now(UTC)

    store = open_store(journal, clock=clock)
    set_up_kitchen(store, KitchenEntry(), clock=clock)
    for name in ("Fell Beck", "Ash Gill", "Tarn Hollow"):
        add_coffee(store, CoffeeEntry(name=name, weight_g=250.0), clock=clock)
    store.close()


if __name__ == "__main__":
    main()
