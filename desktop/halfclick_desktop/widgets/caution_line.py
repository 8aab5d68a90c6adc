"""A caution with its source, and a key to put it away."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout

from halfclick.service.cautions import ToldCaution
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.label import styled


class CautionLine(QFrame):
    """Hidden until it has a caution to show; Ctrl+D puts it away."""

    put_away = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self.setProperty("role", "notice")
        self._title = styled("caution")
        self._text = styled("body")
        self._source = styled("label")
        self._seen = QPushButton(words("caution.put_away"))
        self._seen.clicked.connect(self.put_away)
        shortcut = QShortcut(QKeySequence("Ctrl+D"), self)
        shortcut.activated.connect(self._seen.click)
        column = QVBoxLayout()
        column.setSpacing(INSIDE // 2)
        for label in (self._title, self._text, self._source):
            column.addWidget(label)
        row = QHBoxLayout(self)
        row.setContentsMargins(GROUPS, INSIDE, INSIDE, INSIDE)
        row.setSpacing(INSIDE)
        row.addLayout(column, 1)
        row.addWidget(self._seen)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.hide()

    def show_told(self, told: ToldCaution | None) -> None:
        """Show a caution; none hides the line."""
        self.setVisible(told is not None)
        if told is None:
            return
        words = self._words
        name = words(f"caution.name_{told.caution.value}")
        self._title.setText(words("caution.title", name=name))
        self._text.setText(words.sentence(told.message))
        self._source.setText(words("caution.source", text=words.sentence(told.source)))
        self.setAccessibleName(self._title.text())
        self._seen.setAccessibleDescription(self._text.text())

    def text(self) -> str:
        """Return the caution shown; empty where none is."""
        return "" if self.isHidden() else self._text.text()
