"""One thing after another, each in a turn of the event loop of its own."""

from collections import deque
from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer


class InTurns(QObject):
    """Fills a page step by step: between two steps keys are taken and what is there is painted.

    Args:
        parent: the page that is filled.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._waiting: deque[Callable[[], object]] = deque()
        self._turn = QTimer(self)
        self._turn.setSingleShot(True)
        self._turn.timeout.connect(self._do_next)

    def do(self, *steps: Callable[[], object]) -> None:
        """Do these things, from the next turn on; what waits from before is not done any more."""
        self._waiting = deque(steps)
        self._turn.start()

    def drop(self) -> None:
        """Do no more of what waits."""
        self._waiting.clear()

    def waits(self) -> bool:
        """Return whether something is still to be done."""
        return bool(self._waiting)

    def _do_next(self) -> None:
        if not self._waiting:
            return
        step = self._waiting.popleft()
        if self._waiting:
            self._turn.start()  # before the step: what fails in it keeps no other from being done
        step()
