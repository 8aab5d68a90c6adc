"""One line that says what was done, with Undo where it can be taken back."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy

from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE


class Notice(QFrame):
    """Hidden until it has something to say; Ctrl+Z is its Undo."""

    undo_asked = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self.setProperty("role", "notice")
        self._text = QLabel()
        self._text.setWordWrap(True)
        self._undo = QPushButton(words("notice.undo"))
        self._undo.clicked.connect(self._ask)
        self._close = QPushButton(words("notice.close"))
        self._close.clicked.connect(self.hide)
        self._takes_key = False
        row = QHBoxLayout(self)
        row.setContentsMargins(GROUPS, INSIDE, INSIDE, INSIDE)
        row.setSpacing(INSIDE)
        row.addWidget(self._text, 1)
        row.addWidget(self._undo)
        row.addWidget(self._close)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.hide()

    def say(self, text: str, *, undo: bool = False) -> None:
        """Show a sentence, with an Undo button where it can be taken back."""
        self._text.setText(text)
        self._undo.setVisible(undo)
        self._undo.setEnabled(undo)
        if undo and not self._takes_key:
            self._take_key()
        self.setAccessibleName(text)
        self.show()

    def text(self) -> str:
        """Return the sentence shown."""
        return self._text.text()

    def _take_key(self) -> None:
        # Loaded when there is something to undo: it would delay the first paint.
        from PySide6.QtGui import QKeySequence, QShortcut

        shortcut = QShortcut(QKeySequence(QKeySequence.StandardKey.Undo), self)
        shortcut.activated.connect(self._undo.click)
        self._takes_key = True

    def _ask(self) -> None:
        self.hide()
        self.undo_asked.emit()
