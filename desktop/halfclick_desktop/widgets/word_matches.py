"""What was understood of a person's words, each word to be turned off, changed or answered."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from halfclick.model.tasting import Mark
from halfclick.taste.word_choices import MOST_ROWS, WordRow
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS
from halfclick_desktop.widgets.word_row import MatchRow

COLUMNS = 2


class WordMatches(QWidget):
    """Lists the words understood, two to a line; a question has a line of its own."""

    turned = Signal(str)  # the word
    moved = Signal(str, object)  # the word, and the Target it is to stand for
    answered = Signal(object, int)  # the Question, and which answer
    passed = Signal()  # the next row's turn
    gone_back = Signal()  # the row before's turn

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._shown = 0
        self._grid = QGridLayout()
        self._grid.setSpacing(4)
        self._hint = QLabel(words("word_matches.keys"))
        self._hint.setProperty("role", "label")
        self._hint.setWordWrap(True)
        # Made beforehand, so that Tab comes to them in reading order.
        self._rows = [MatchRow(words) for _ in range(MOST_ROWS)]
        for place, row in enumerate(self._rows):
            self._grid.addWidget(row, place, 0)
            row.turned.connect(self.turned)
            row.moved.connect(self.moved)
            row.answered.connect(self.answered)
            row.passed.connect(self._pass)
            row.gone_back.connect(self._go_back)
        column = QVBoxLayout(self)
        column.setContentsMargins(GROUPS, 0, 0, 0)
        column.setSpacing(4)
        column.addLayout(self._grid)
        column.addWidget(self._hint)
        for place in range(COLUMNS):
            self._grid.setColumnStretch(place, 1)
        self.show_rows((), {})

    def show_rows(self, rows: Sequence[WordRow], marks: Mapping[Mark, object]) -> None:
        """Show what was understood.

        Args:
            rows: the words, with what they stand for now.
            marks: those typed by hand; where that is another number, it stands.
        """
        self._shown = len(rows)
        line, place = 0, 0
        for widget, row in zip(self._rows, rows, strict=False):
            # Else Qt deletes the item that it had, and PySide goes on knowing it.
            self._grid.removeWidget(widget)
            if row.match.question is not None:
                line, place = (line + 1 if place else line), 0
                self._grid.addWidget(widget, line, 0, 1, COLUMNS)
                line += 1
            else:
                self._grid.addWidget(widget, line, place)
                line, place = (line + 1, 0) if place + 1 == COLUMNS else (line, place + 1)
            widget.show_row(row, marks)
            widget.show()
        for widget in self._rows[self._shown :]:
            widget.hide()
        self._hint.setVisible(bool(rows))
        self.setVisible(bool(rows))

    def rows(self) -> list[MatchRow]:
        """Return the rows that are shown."""
        return self._rows[: self._shown]

    def take_keys(self, *, last: bool = False) -> bool:
        """Give the keys to the first row, or the last; False where there is none."""
        if not self._shown:
            return False
        self._rows[self._shown - 1 if last else 0].setFocus()
        return True

    def _pass(self) -> None:
        self._step(1)

    def _go_back(self) -> None:
        self._step(-1)

    def _step(self, by: int) -> None:
        focused = self.window().focusWidget()
        place = next((n for n, row in enumerate(self._rows) if row is focused), 0) + by
        if place < 0:
            self.gone_back.emit()
        elif place >= self._shown:
            self.passed.emit()
        else:
            self._rows[place].setFocus()
