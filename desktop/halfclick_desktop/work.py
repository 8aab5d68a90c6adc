"""The one background runner: a function off the main thread, its answer back by signal."""

import gc
import sys
from collections.abc import Callable
from contextlib import suppress
from queue import SimpleQueue
from threading import Thread

from PySide6.QtCore import QObject, Signal

from halfclick.errors import CoreError

# How long a thread may compute before it must let another go on, s. Painting calls Qt thousands
# of times and waits that long after each call while a job computes: Python's own 5 ms add up to
# tenths of a second (measured; our own choice).
TURN_S = 0.0005


class Job(QObject):
    """One piece of work under way; connect to its signals right after it was asked for."""

    done = Signal(object)  # what the function returned
    failed = Signal(object)  # the CoreError it raised
    _ended = Signal(object, object)  # value, exception; crosses over to the main thread

    def __init__(self, work: Callable[[], object], parent: QObject) -> None:
        super().__init__(parent)
        self._work = work
        self._ended.connect(self._bring_back)

    def run(self) -> None:
        """Do the work; called by the runner's own thread only."""
        try:
            value = self._work()
        except Exception as error:  # noqa: BLE001  # the one door: carried over, judged there
            self._carry(None, error)
        else:
            self._carry(value, None)

    def _carry(self, value: object, error: Exception | None) -> None:
        # The window may have been closed over long work: then nobody waits for the answer.
        with suppress(RuntimeError):
            self._ended.emit(value, error)

    def _bring_back(self, value: object, error: Exception | None) -> None:
        self.deleteLater()
        if error is None:
            self.done.emit(value)
        elif isinstance(error, CoreError):
            self.failed.emit(error)
        else:
            # Our own mistake: raised here, on the main thread, it reaches the crash dialog.
            raise error


class Jobs(QObject):
    """Runs functions one after another on a thread of its own; they touch no widget."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: SimpleQueue[Job | None] = SimpleQueue()
        self._thread: Thread | None = None

    def run(self, work: Callable[[], object]) -> Job:
        """Ask for a function to be run; its answer comes by the job's signals."""
        if self._thread is None:
            # A daemon, so that a function that never returns cannot keep the program from ending.
            self._thread = Thread(target=self._work_through, name="halfclick-jobs", daemon=True)
            sys.setswitchinterval(TURN_S)
            self._thread.start()
        job = Job(work, self)
        self._waiting.put(job)
        return job

    def stop(self, timeout_s: float = 5.0) -> None:
        """Let the jobs that wait be done, then end the thread."""
        if self._thread is not None:
            self._waiting.put(None)
            self._thread.join(timeout_s)
            self._thread = None

    def _work_through(self) -> None:
        while (job := self._waiting.get()) is not None:
            # Python's search for unused cycles stops every thread, over 100 ms long among the
            # records of a whole shelf; records hold no cycles, so it waits until the job is done.
            gc.disable()
            try:
                job.run()
            finally:
                gc.enable()
