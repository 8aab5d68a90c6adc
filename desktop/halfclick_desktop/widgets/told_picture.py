"""A picture gone through by keys, point by point, each told in words."""

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QWidget


class ToldPicture(QWidget):
    """Left, Right, Home and End choose a point; a screen reader hears its words.

    Args:
        name: for a screen reader, what the picture shows.
    """

    def __init__(self, name: str) -> None:
        super().__init__()
        self._words_of: tuple[str, ...] = ()
        self._chosen = -1
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(name)

    def tell(self, words: tuple[str, ...], chosen: int) -> None:
        """Take the words of each point, and which is chosen; -1 where there is none."""
        self._words_of, self._chosen = words, chosen
        self._tell()

    def told(self) -> str:
        """Return the words of the point that is chosen; empty where there is none."""
        return self._words_of[self._chosen] if self._chosen >= 0 else ""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        last = len(self._words_of) - 1
        first = min(0, last)
        to = {
            Qt.Key.Key_Left.value: max(self._chosen - 1, first),
            Qt.Key.Key_Right.value: min(self._chosen + 1, last),
            Qt.Key.Key_Home.value: first,
            Qt.Key.Key_End.value: last,
        }.get(event.key())
        if to is None:
            super().keyPressEvent(event)
            return
        self._chosen = to
        self._tell()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self.update()

    def _tell(self) -> None:
        self.setAccessibleDescription(self.told())
        self.setToolTip(self.told())
        self.update()
