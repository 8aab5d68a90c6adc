"""How long the window stands still as each page opens: 20,000 brews beside an empty journal.

Run: PYTHONPATH=core:desktop:resources python tests/benchmarks/standing_still.py [brews] [rounds]

A timer of 2 ms runs; the longest time between two of its ticks is how long the window stood
still. Of several openings the median and the worst are printed, then the longest time that the
program itself held it, likewise: the time between two ticks less what the main thread waited for
a processor that others had (Linux tells; elsewhere nothing is taken off). What it waits for its
own jobs is in it. Last the processor time that the main thread spent in the longest turn of its
event loop, as a median and at the first opening, and in all turns. "nothing" opens no page, and
shows what the machine alone does. The bound is held against the medians of what the program held
and of the longest turn.
"""

import os
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from statistics import median
from uuid import UUID

from journal import A_COFFEE, BREWS, START, build
from PySide6.QtCore import QAbstractEventDispatcher, QEventLoop, QTimer
from PySide6.QtWidgets import QApplication

from halfclick.model.brew import Brew
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitchenEntry, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.store.opening import open_store
from halfclick.wording import open_wording
from halfclick_desktop.app import Program
from halfclick_desktop.local import Local
from halfclick_desktop.look import Theme

BOUND_MS = 50.0
ROUNDS = 5
WATCHED_MS = 1200
PLAIN = ("search", "kit", "rules", "settings", "take_out", "bring_in")


@dataclass
class Stood:
    """What several openings of one page took, ms."""

    gaps_ms: list[float] = field(default_factory=list)
    held_ms: list[float] = field(default_factory=list)
    turns_ms: list[float] = field(default_factory=list)
    main_ms: list[float] = field(default_factory=list)


class Watch:
    """Keeps the longest time between two ticks of a timer, and the longest turn's own time."""

    def __init__(self) -> None:
        self._timer = QTimer()
        self._timer.timeout.connect(self._tick)
        self._last = self._worst = self._delayed = self._held = 0.0
        self._turned = self._longest = 0.0
        self._timer.start(2)
        QAbstractEventDispatcher.instance().awake.connect(self._turn)

    def of(self, does: Callable[[], object]) -> tuple[float, float, float, float]:
        """Return the worst gap and hold, and the main thread's longest turn and whole time, ms."""
        wait(200)
        self._last, self._worst = time.perf_counter(), 0.0
        self._delayed, self._held = waited_for_processor_s(), 0.0
        self.begin()
        began = self._turned
        does()
        self._turn()
        wait(WATCHED_MS)
        spent_ms = (time.thread_time() - began) * 1000
        return self._worst * 1000, self._held * 1000, self.longest_ms(), spent_ms

    def begin(self) -> None:
        """Forget the turns before."""
        self._turned, self._longest = time.thread_time(), 0.0

    def longest_ms(self) -> float:
        """Return the main thread's own time in the longest turn since the beginning."""
        return self._longest * 1000

    def _tick(self) -> None:
        now, delayed = time.perf_counter(), waited_for_processor_s()
        gap = now - self._last
        self._worst = max(self._worst, gap)
        self._held = max(self._held, gap - (delayed - self._delayed))
        self._last, self._delayed = now, delayed

    def _turn(self) -> None:
        now = time.thread_time()
        self._longest = max(self._longest, now - self._turned)
        self._turned = now


def waited_for_processor_s() -> float:
    """Return for how long the main thread has been ready while others had the processors, s."""
    try:
        return int(Path("/proc/self/schedstat").read_text().split()[1]) / 1e9
    except OSError:
        return 0.0


def main() -> None:
    """Measure both journals and print every page."""
    brews = int(sys.argv[1]) if len(sys.argv) > 1 else BREWS
    rounds = int(sys.argv[2]) if len(sys.argv) > 2 else ROUNDS
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication([])
    with tempfile.TemporaryDirectory() as folder:
        few = measured(app, Path(folder) / "few", 0, rounds)
        many = measured(app, Path(folder) / "many", brews, rounds)
    print(f"{brews} brews, {A_COFFEE} a coffee; baseline: one coffee, no brew; {rounds} rounds")
    heads = ("gap", "at worst", "held", "at worst", "own turn", "first", "all turns", "ratio")
    print("page".ljust(16), *(head.rjust(10) for head in heads))
    for name, stood in many.items():
        own_ms = median(stood.turns_ms)
        gaps = (median(stood.gaps_ms), max(stood.gaps_ms))
        of = (*gaps, median(stood.held_ms), max(stood.held_ms), own_ms, stood.turns_ms[0])
        base = f"{own_ms / median(few[name].turns_ms):10.2f}" if name in few else "-".rjust(10)
        print(name.ljust(16), *(f"{ms:10.1f}" for ms in (*of, median(stood.main_ms))), base)
    for told, kept in (("of its own", "turns_ms"), ("held", "held_ms")):
        above = [name for name, stood in many.items() if median(getattr(stood, kept)) > BOUND_MS]
        print(f"above {BOUND_MS:g} ms {told}: {', '.join(above) or 'none'}")
    sys.stdout.flush()
    os._exit(0)


def measured(app: QApplication, folder: Path, brews: int, rounds: int) -> dict[str, Stood]:
    """Start the program on a journal of so many brews and open every page, several times."""
    folder.mkdir()
    coffee_id, bag_id = filled(folder / "journal.db", brews)
    program = Program(
        app,
        words=open_wording(),
        local=Local(folder),
        journal=folder / "journal.db",
        theme=Theme.LIGHT,
    )
    ready = QEventLoop()
    program.ready.connect(ready.quit)
    program.start()
    ready.exec()
    found: dict[str, Stood] = {}
    watch = Watch()
    acts = acts_of(program, coffee_id, bag_id)
    program.window.activateWindow()  # else all unused cycles are looked for, as behind another
    acts["history"]()  # the first import of the plotting library is not what is measured
    wait(3000)
    for _ in range(rounds):
        for name, does in acts.items():
            program.window.open_page("take_out" if name != "take_out" else "kit")
            gap_ms, held_ms, turn_ms, main_ms = watch.of(does)
            stood = found.setdefault(name, Stood())
            stood.gaps_ms.append(gap_ms)
            stood.held_ms.append(held_ms)
            stood.turns_ms.append(turn_ms)
            stood.main_ms.append(main_ms)
    program.window.close()
    return found


def filled(path: Path, brews: int) -> tuple[UUID, UUID]:
    """Make a journal; return the identities of a coffee and of its bag."""
    store = open_store(path, clock=lambda: START, person_name="Ada", device_name="bench")
    if brews:
        coffees = build(store, brews)[1]
        chosen = coffees[len(coffees) // 2]
    else:
        from halfclick.model.coffee import Lot

        set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=lambda: START)
        bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=lambda: START).value
        with store.reading() as r:
            chosen = r.get(Lot, bag.lot_id).coffee_id, bag.id
    store.close()
    return chosen


def acts_of(program: Program, coffee_id: UUID, bag_id: UUID) -> dict[str, Callable[[], object]]:
    """Return how each page is opened, by its name."""
    window, ways, store = program.window, program.ways, program.store
    with store.reading() as r:
        brews = [brew.id for brew in r.all(Brew, bag_id=bag_id)]
    planned = next_plan(store, bag_id, today=program.desk.today())
    acts: dict[str, Callable[[], object]] = {
        "nothing": _nothing,
        "coffees": partial(window.open_page, "coffees"),
        "touched": partial(_touch, program),
        "sheet": partial(ways._open_sheet, coffee_id),
        "history": partial(ways._open_history, coffee_id),
        "plan": partial(ways._open_plan, planned),
        "log": partial(ways._open_log, bag_id),
        "brew at hand": partial(window.rail_asked.emit, "brew"),
    }
    if brews:
        acts["taste"] = partial(ways._taste, brews[-1])
        acts["cup"] = partial(ways._open_cup, brews[-1])
        acts["compare"] = partial(ways._compare, *brews[-2:])
    return acts | {name: partial(window.open_page, name) for name in PLAIN}


def _nothing() -> None:
    """Open no page."""


def _touch(program: Program) -> None:
    """Say that everything may have changed, with the shelf open."""
    program.window.open_page("coffees")
    program.window.reload(~Touched.NOTHING)


def wait(for_ms: int) -> None:
    """Let the window go on for a while."""
    loop = QEventLoop()
    QTimer.singleShot(for_ms, loop.quit)
    loop.exec()


if __name__ == "__main__":
    main()
