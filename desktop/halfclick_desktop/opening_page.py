"""The page before the journal is open: what is being done, or why it cannot be opened."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, THOUGHTS
from halfclick_desktop.widgets.keys import is_return, press_main

TEXT_PX = 640


class OpeningPage(QWidget):
    """Shows one sentence; after a refusal, what to do about it and Try again."""

    try_again_asked = Signal()
    folder_asked = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._table: QWidget | None = None
        self._title = QLabel(words("opening.title"))
        self._title.setProperty("role", "heading")
        self._text = QLabel()
        self._text.setWordWrap(True)
        self._text.setMaximumWidth(TEXT_PX)
        self._again = QPushButton(words("opening.try_again"))
        self._again.setProperty("role", "main")
        self._again.clicked.connect(self._ask_again)
        self._folder = QPushButton(words("opening.open_folder"))
        self._folder.clicked.connect(self.folder_asked)
        self._lay_out()
        self._show_buttons(shown=False)

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        buttons.setSpacing(GROUPS)
        buttons.addWidget(self._again)
        buttons.addWidget(self._folder)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        self._column = column
        column.setContentsMargins(THOUGHTS, THOUGHTS, THOUGHTS, THOUGHTS)
        column.setSpacing(GROUPS)
        column.addWidget(self._title)
        column.addWidget(self._text)
        column.addLayout(buttons)
        column.addStretch(1)

    def show_shelf(self, rows: Sequence[tuple[str, str | None, str | None, int]]) -> None:
        """Show the coffees at a glance: name, process, roast and cups, where the shelf will be."""
        # Loaded where there is something to show: an empty window is painted without a table.
        # So is Qt's own namespace: it is a fifth of the time to the first paint.
        from PySide6.QtCore import Qt

        from halfclick_desktop.widgets.shelf_table import ShelfTable, label_text

        table = ShelfTable(self._words)
        table.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        table.show_cells(
            [
                (name, label_text(self._words, process, roast), "", "", str(cups) if cups else "")
                for name, process, roast, cups in rows
            ]
        )
        self._title.setText(self._words("coffees_page.title"))
        self._text.hide()
        self._column.setContentsMargins(THOUGHTS, 24, THOUGHTS, THOUGHTS)
        self._column.insertWidget(1, table, 1)
        self._table = table

    def show_refusal(self, sentence: str) -> None:
        """Show why the journal was not opened."""
        if self._table is not None:
            self._table.hide()
        self._text.show()
        self._title.setText(self._words("opening.refused"))
        self._text.setText(sentence)
        self._show_buttons(shown=True)
        self._again.setFocus()

    def text(self) -> str:
        """Return the sentence shown."""
        return self._text.text()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event) and self._again.isVisible():
            press_main(self, self._again)
        else:
            super().keyPressEvent(event)

    def _ask_again(self) -> None:
        self._title.setText(self._words("opening.title"))
        self._text.setText("")
        self._show_buttons(shown=False)
        self.try_again_asked.emit()

    def _show_buttons(self, *, shown: bool) -> None:
        self._again.setVisible(shown)
        self._folder.setVisible(shown)
