"""The one background runner: functions off the main thread, their answers back by signal."""

import gc
import sys
from collections import deque
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from itertools import count
from queue import SimpleQueue
from threading import Thread

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QGuiApplication

from halfclick.errors import CoreError
from halfclick_desktop.letting_go import let_go

# How long a thread may compute before it must let another go on, s. Painting calls Qt thousands
# of times and waits that long after each call while a job computes: Python's own 5 ms add up to
# tenths of a second (measured; our own choice).
TURN_S = 0.0005
# How often unused cycles are looked for where no job is under way, ms (our own choice).
TIDY_MS = 3000


class Job(QObject):
    """One piece of work under way; connect to its signals right after it was asked for.

    It is held by the main thread alone: of an object of Qt's that two threads let go of at once,
    PySide may free on the one what Qt destroys on the other.
    """

    done = Signal(object)  # what the function returned
    failed = Signal(object)  # the CoreError it raised

    def bring_back(self, value: object, error: Exception | None) -> None:
        """Say what came of it."""
        let_go(self)
        if error is None:
            self.done.emit(value)
        elif isinstance(error, CoreError):
            self.failed.emit(error)
        else:
            # Our own mistake: raised here, on the main thread, it reaches the crash dialog.
            raise error


@dataclass(slots=True)
class _Task:
    """What the threads know of a job: what to do, and which one it is."""

    work: Callable[[], object]
    number: int


class Jobs(QObject):
    """Runs functions off the main thread; they touch no widget.

    What reads the journal goes one after another on one thread. What is reckoned for seconds goes
    on another, so that nobody who looks a brew up waits for a forecast. Both begin once the window
    has laid out and painted what it has at hand: whoever paints beside a computing thread waits
    for it after every call to Qt.
    """

    _came = Signal(int, object, object)  # number, value, exception; crosses to the main thread

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        names = ("jobs", "reckoning")
        self._lanes = {name: _Lane(f"halfclick-{name}", self._carry) for name in names}
        self._jobs: dict[int, Job] = {}
        self._numbers = count()
        self._came.connect(self._bring_back)
        self._held: deque[tuple[str, _Task]] = deque()
        self._begin_soon = QTimer(self)
        self._begin_soon.setSingleShot(True)  # of no length: after what is laid out and painted
        self._begin_soon.timeout.connect(self._begin)
        self._under_way = 0
        self._is_full_look_owed = True
        # Python's own search for unused cycles starts anywhere: on a job's thread it would delete
        # what only the main thread may, and amid a painting it has ended the process. It stops
        # every thread, over 100 ms long among the records of a whole shelf.
        gc.disable()
        self._tidying = QTimer(self)
        self._tidying.timeout.connect(self._tidy)
        self._tidying.start(TIDY_MS)

    def run(self, work: Callable[[], object]) -> Job:
        """Ask for a function to be run; its answer comes by the job's signals."""
        return self._put("jobs", work)

    def reckon(self, work: Callable[[], object]) -> Job:
        """Ask for a function that computes for long; those asked for by `run` go on meanwhile."""
        return self._put("reckoning", work)

    def stop(self, timeout_s: float = 5.0) -> None:
        """Let the jobs that wait be done, then end the threads."""
        self._tidying.stop()
        self._begin()
        for lane in self._lanes.values():
            lane.stop(timeout_s)
        gc.enable()

    def _tidy(self) -> None:
        """Look for unused cycles while nothing else is done.

        Among what is new, which is little; among everything once another program has got the keys.
        """
        if self._under_way:
            return
        has_keys = QGuiApplication.focusWindow() is not None
        gc.collect(2 if self._is_full_look_owed and not has_keys else 0)
        self._is_full_look_owed = has_keys

    def _ended(self) -> None:
        self._under_way -= 1

    def _put(self, lane: str, work: Callable[[], object]) -> Job:
        job, number = Job(self), next(self._numbers)
        self._jobs[number] = job
        self._under_way += 1
        job.destroyed.connect(self._ended)
        self._held.append((lane, _Task(work, number)))
        self._begin_soon.start()
        return job

    def _begin(self) -> None:
        self._begin_soon.stop()
        while self._held:
            lane, task = self._held.popleft()
            self._lanes[lane].put(task)

    def _carry(self, number: int, value: object, error: Exception | None) -> None:
        """Send over what came of a job; called by the lanes' threads."""
        # The window may have been closed over long work: then nobody waits for the answer.
        with suppress(RuntimeError):
            self._came.emit(number, value, error)

    def _bring_back(self, number: int, value: object, error: Exception | None) -> None:
        self._jobs.pop(number).bring_back(value, error)


class _Lane:
    """A thread that does its tasks in the order they were asked for; begun with the first."""

    def __init__(self, name: str, carry: Callable[[int, object, Exception | None], None]) -> None:
        self._name = name
        self._carry = carry
        self._waiting: SimpleQueue[_Task | None] = SimpleQueue()
        self._thread: Thread | None = None

    def put(self, task: _Task) -> None:
        if self._thread is None:
            # A daemon, so that a function that never returns cannot keep the program from ending.
            self._thread = Thread(target=self._work_through, name=self._name, daemon=True)
            sys.setswitchinterval(TURN_S)
            self._thread.start()
        self._waiting.put(task)

    def stop(self, timeout_s: float) -> None:
        if self._thread is not None:
            self._waiting.put(None)
            self._thread.join(timeout_s)
            self._thread = None

    def _work_through(self) -> None:
        while (task := self._waiting.get()) is not None:
            try:
                value = task.work()
            except Exception as error:  # noqa: BLE001  # the one door: carried over, judged there
                self._carry(task.number, None, error)
            else:
                self._carry(task.number, value, None)
                del value
            del task  # what it holds is let go of now, and not when the next one comes
