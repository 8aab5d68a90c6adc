"""One question at a time to the job runner, of which only the newest is answered."""

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from halfclick.errors import CoreError
from halfclick_desktop.work import Jobs


class Latest(QObject):
    """Asks the job runner for one page; an answer that another question overtook is dropped.

    Args:
        jobs: the background runner.
        parent: the page that asks.
        reckons: whether what is asked for computes for long, and so goes on a thread of its own.
    """

    done = Signal(object)  # what the newest question's function returned
    failed = Signal(object)  # the CoreError it raised

    def __init__(self, jobs: Jobs, parent: QObject, *, reckons: bool = False) -> None:
        super().__init__(parent)
        self._run_by = jobs.reckon if reckons else jobs.run
        self._under_way = False
        self._next: Callable[[], object] | None = None
        self._wanted = False

    def ask(self, work: Callable[[], object]) -> None:
        """Ask for a function to be run; what was asked before is no longer wanted."""
        self._wanted = True
        if self._under_way:
            self._next = work  # questions between the one under way and this are never run
        else:
            self._run(work)

    def drop(self) -> None:
        """Want no answer any more."""
        self._wanted = False
        self._next = None

    def waits(self) -> bool:
        """Return whether an answer is still to come."""
        return self._wanted

    def _run(self, work: Callable[[], object]) -> None:
        self._under_way = True
        job = self._run_by(work)
        job.done.connect(self._answered)
        job.failed.connect(self._refused)

    def _answered(self, value: object) -> None:
        if self._is_newest():
            self.done.emit(value)

    def _refused(self, error: CoreError) -> None:
        if self._is_newest():
            self.failed.emit(error)

    def _is_newest(self) -> bool:
        """Return whether the answer that came is the one wanted; else ask what is."""
        self._under_way = False
        work, self._next = self._next, None
        if work is not None:
            self._run(work)
            return False
        wanted, self._wanted = self._wanted, False
        return wanted
