"""The rarer slips as a list for the keyboard: its letter, or Up, Down and Return."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem

from halfclick.model.under_way import GuideEventKind
from halfclick.wording import Wording
from halfclick_desktop.widgets.keys import is_return

MOVING = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Home, Qt.Key.Key_End)


class SlipList(QListWidget):
    """Hidden until it is opened; letters and Space go to the page as ever."""

    asked = Signal(object)  # GuideEventKind
    left = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._shown: tuple[tuple[str, GuideEventKind], ...] = ()
        self.setProperty("role", "slips")
        self.setAccessibleName(words("slip_list.name"))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.itemClicked.connect(self._choose)
        self.hide()

    def open_with(self, slips: Sequence[tuple[str, GuideEventKind]]) -> None:
        """Show slips with their keys and take the focus."""
        self.show_slips(slips)
        self.setCurrentRow(0)
        self.show()
        self.setFocus()

    def show_slips(self, slips: Sequence[tuple[str, GuideEventKind]]) -> None:
        """Show slips with their keys; the one that is chosen stays chosen."""
        if tuple(slips) == self._shown:
            return
        chosen = self.currentRow()
        self._shown = tuple(slips)
        self.clear()
        for key, kind in self._shown:
            self.addItem(f"{self._words(f'slip_list.{kind.value}')}   {key.upper()}")
        self.setCurrentRow(min(max(chosen, 0), self.count() - 1))
        rows_px = sum(self.sizeHintForRow(row) for row in range(self.count()))
        self.setFixedHeight(rows_px + 2 * self.frameWidth() + 4)

    def leave(self) -> None:
        """Hide without an answer."""
        self.hide()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event) and self.currentItem() is not None:
            self._choose(self.currentItem())
        elif event.key() == Qt.Key.Key_Escape:
            self.leave()
            self.left.emit()
        elif event.key() in MOVING:
            super().keyPressEvent(event)
        else:
            event.ignore()  # for the page

    def _choose(self, item: QListWidgetItem) -> None:
        kind = self._shown[self.row(item)][1]
        self.leave()
        self.asked.emit(kind)
