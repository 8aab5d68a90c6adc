"""What a plan can be looked at for besides brewing it: another size, and its caffeine."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from halfclick.wording import Wording
from halfclick_desktop.look import INSIDE


class PlanKeys(QWidget):
    """Two buttons with their keys; caffeine only where the person wants to see it."""

    guests_asked = Signal()
    caffeine_asked = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._guests = QPushButton(words("guests_page.open"))
        self._guests.clicked.connect(self.guests_asked)
        self._caffeine = QPushButton(words("guests_page.caffeine"))
        self._caffeine.clicked.connect(self.caffeine_asked)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(INSIDE)
        for key, button in (("Ctrl+G", self._guests), ("Ctrl+K", self._caffeine)):
            row.addWidget(button)
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.activated.connect(button.click)

    def show_caffeine(self, shown: bool) -> None:
        """Show or hide the way to the pot's caffeine; hidden, its key does nothing."""
        self._caffeine.setVisible(shown)
        self._caffeine.setEnabled(shown)
