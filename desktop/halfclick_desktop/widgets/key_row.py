"""A row that takes the keys as a whole, shows that it has them, and passes them up and down."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QFrame


class KeyRow(QFrame):
    """Down is the next row's turn and Up the one's before; other keys are the row's own."""

    passed = Signal()
    gone_back = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setProperty("role", "row")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Down:
            self.passed.emit()
        elif event.key() == Qt.Key.Key_Up:
            self.gone_back.emit()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._repolish(focused=True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._repolish(focused=False)

    def _repolish(self, *, focused: bool) -> None:
        self.setProperty("focused", focused)
        self.style().unpolish(self)
        self.style().polish(self)
