"""One question with one typed answer: Return gives it, Escape leaves it."""

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout

from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.keys import is_return


class Ask(QFrame):
    """Hidden until it asks; says who is to take the answer together with it."""

    answered = Signal(str, object)  # the text, and what takes it
    left = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._takes: Callable[[str], None] | None = None
        self.setProperty("role", "notice")
        self._question = QLabel()
        self._question.setProperty("role", "heading")
        self._line = QLineEdit()
        self._line.setMinimumWidth(96)
        self._line.setMaximumWidth(160)
        self._keys = QLabel()
        self._keys.setProperty("role", "quiet")
        self._error = QLabel()
        self._error.setProperty("role", "caution")
        self._error.setWordWrap(True)
        row = QHBoxLayout()
        row.setSpacing(GROUPS)
        row.addWidget(self._question)
        row.addWidget(self._line)
        row.addWidget(self._keys, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(GROUPS, INSIDE, GROUPS, INSIDE)
        column.addLayout(row)
        column.addWidget(self._error)
        self.hide()

    def ask(
        self,
        code: str,
        takes: Callable[[str], None],
        *,
        skip: bool = False,
        empty: str = "",
        **values: object,
    ) -> None:
        """Ask a question by its catalogue code.

        Args:
            code: the question.
            takes: what takes the answer.
            skip: whether nothing is an answer too, for what was not weighed.
            empty: catalogue code of what nothing means, where it means something else.
            values: what the question needs.
        """
        self._takes = takes
        question = self._words(code, **values)
        self._question.setText(question)
        self._line.setAccessibleName(question)
        self._line.clear()
        self._error.hide()
        self._keys.setText(self._words(empty or ("ask.keys_skip" if skip else "ask.keys")))
        self.show()
        self._line.setFocus()

    def show_error(self, sentence: str) -> None:
        """Show what is wrong with the answer; the question stays."""
        self._error.setText(sentence)
        self._error.show()
        self._line.selectAll()

    def was_asked_anew(self, takes: object) -> bool:
        """Return whether another question was asked since."""
        return self.isVisible() and self._takes is not None and self._takes != takes

    def leave(self) -> None:
        """Hide without an answer."""
        self._takes = None
        self.hide()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event) and self._takes is not None:
            self.answered.emit(self._line.text().strip(), self._takes)
        elif event.key() == Qt.Key.Key_Escape:
            self.leave()
            self.left.emit()
        else:
            super().keyPressEvent(event)
