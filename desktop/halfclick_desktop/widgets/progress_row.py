"""A line that shows how far long work has come, with Stop."""

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QPushButton, QWidget

from halfclick.store.exchange.progress import Progress
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS

LOOK_EVERY_MS = 100
STEPS = 1000


class ProgressRow(QWidget):
    """Hidden until something is under way."""

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._progress: Progress | None = None
        self._text = QLabel()
        self._bar = QProgressBar()
        self._bar.setRange(0, STEPS)
        self._bar.setTextVisible(False)
        self._stop = QPushButton(words("exchange.stop"))
        self._stop.clicked.connect(self._ask_to_stop)
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_EVERY_MS)
        self._timer.timeout.connect(self._look)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GROUPS)
        row.addWidget(self._text)
        row.addWidget(self._bar, 1)
        row.addWidget(self._stop)
        self.hide()

    def begin(self, text: str) -> Progress:
        """Show that work begins; return what it tells its progress to."""
        self._progress = Progress()
        self._text.setText(text)
        self._bar.setAccessibleName(text)
        self._bar.setValue(0)
        self._stop.setEnabled(True)
        self._timer.start()
        self.show()
        return self._progress

    def end(self) -> None:
        """Hide again."""
        self._timer.stop()
        self._progress = None
        self.hide()

    def is_busy(self) -> bool:
        """Return whether work is under way."""
        return self._progress is not None

    def _look(self) -> None:
        if self._progress is not None:
            self._bar.setValue(round(self._progress.share * STEPS))

    def _ask_to_stop(self) -> None:
        if self._progress is not None:
            self._progress.stop()
            self._stop.setEnabled(False)
