"""Counts down until cups are cool enough to taste; it tells the time left and stops nobody."""

from collections.abc import Callable
from datetime import datetime, timedelta

from PySide6.QtCore import QObject, QTimer, Signal

from halfclick.wording import Wording, clock

TICK_MS = 500


class ServingTimer(QObject):
    """Runs by the program's clock from when the cups were poured."""

    told = Signal(str)

    def __init__(self, words: Wording, now: Callable[[], datetime], parent: QObject) -> None:
        super().__init__(parent)
        self._words = words
        self._now = now
        self._until: datetime | None = None
        self._ticks = QTimer(self)
        self._ticks.setInterval(TICK_MS)
        self._ticks.timeout.connect(self.tick)

    def start(self, wait_s: float) -> None:
        """Begin to count down."""
        self._until = self._now() + timedelta(seconds=wait_s)
        self._ticks.start()
        self.tick()

    def stop(self) -> None:
        """Count no more, and say nothing."""
        self._until = None
        self._ticks.stop()
        self.told.emit("")

    def tick(self) -> None:
        """Tell how long it still takes."""
        if self._until is None:
            return
        left_s = (self._until - self._now()).total_seconds()
        if left_s > 0:
            self.told.emit(self._words("trial_timer.left", left=clock(left_s)))
            return
        self._ticks.stop()
        self.told.emit(self._words("trial_timer.ready"))
