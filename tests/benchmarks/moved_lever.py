"""From key to paint: how long a plan takes to show what a moved lever changes.

Run: PYTHONPATH=core:desktop:resources python tests/benchmarks/moved_lever.py [rounds]

The demo's coffee with the most brews is planned, its forecast is waited for, and one lever after
the other is typed. Printed are the median and the worst time from the key that ends the typing to
the painted page with the bands moved, the processor time that the main thread itself spent in it
(other work on the machine makes the first longer and not this), and how long the whole forecast
takes to follow.
"""

import os
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

from PySide6.QtCore import QEventLoop, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from halfclick.model.recipe import Lever
from halfclick.service.coffees import shelf
from halfclick.service.plan import next_plan
from halfclick.wording import open_wording
from halfclick_desktop.app import Program
from halfclick_desktop.local import Local
from halfclick_desktop.look import Theme

BOUND_MS = 50.0
ROUNDS = 5
MOVES = (
    (Lever.RATIO, ("15", "17", "15.5", "16.5", "18")),
    (Lever.TEMPERATURE, ("91", "93", "90", "94", "92")),
    (Lever.POUR_RATE, ("4", "6", "7", "4.5", "5.5")),
    (Lever.POURS, ("2", "4", "1", "5", "2")),
    (Lever.BLOOM, ("2", "2.5", "3.5", "2.2", "2.8")),
)


def waited(done: object, most_ms: int = 60_000) -> None:
    loop, watch, most = QEventLoop(), QTimer(), QTimer()
    watch.timeout.connect(lambda: loop.quit() if done() else None)
    most.setSingleShot(True)
    most.timeout.connect(loop.quit)
    watch.start(5)
    most.start(most_ms)
    loop.exec()


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication([])
    with tempfile.TemporaryDirectory() as folder:
        local = Local(Path(folder))
        program = Program(app, words=open_wording(), local=local, demo=True, theme=Theme.LIGHT)
        loop = QEventLoop()
        program.ready.connect(loop.quit)
        program.start()
        loop.exec()
        store, today = program.store, program.desk.today()
        row = max(shelf(store, today), key=lambda one: one.brews)
        program.ways._open_plan(next_plan(store, row.bag.id, today=today))
        program.window.activateWindow()
        QTest.qWaitForWindowActive(program.window)
        page = program._pages("plan")
        panel = page._expected
        waited(lambda: panel.expected() is not None)
        print(f"load {os.getloadavg()[0]:.1f}; ms")
        print("median and worst from key to paint, own time, the whole forecast")
        for lever, texts in MOVES:
            print(f"  {lever.value:12}", *_moved(page, panel, lever, texts[:rounds]))
        program.close()


def _moved(page: object, panel: object, lever: Lever, texts: tuple[str, ...]) -> tuple[str, ...]:
    page._unlock(lever)
    line = page._rows[lever]._line
    took_ms, own_ms, whole_ms = [], [], []
    for text in texts:
        line.setFocus()
        line.selectAll()
        QTest.keyClicks(line, text)
        begun, own = time.perf_counter(), time.thread_time()
        QTest.keyClick(line, Qt.Key.Key_Tab)
        page.repaint()
        while "glance" not in panel.state() and panel.expected() is None:
            QApplication.processEvents()
        page.repaint()
        took_ms.append(1000.0 * (time.perf_counter() - begun))
        own_ms.append(1000.0 * (time.thread_time() - own))
        waited(lambda: panel.expected() is not None)
        whole_ms.append(1000.0 * (time.perf_counter() - begun))
    within = "within" if median(own_ms) < BOUND_MS else "OVER"
    return (
        f"{median(took_ms):6.1f} {max(took_ms):6.1f}",
        f"{median(own_ms):6.1f} {within} {BOUND_MS:.0f}",
        f"{median(whole_ms):6.0f}",
    )


if __name__ == "__main__":
    main()
