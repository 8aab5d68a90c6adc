"""Where the journal lies and how it is moved, and the copies that lie beside it."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QListWidget, QPushButton

from halfclick.service.copies import JournalCopy
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS
from halfclick_desktop.widgets.field import ChoiceField
from halfclick_desktop.widgets.panel import Panel

COUNTS = (3, 5, 10, 20, 50)
LINES_SHOWN = 4


class JournalPanel(Panel):
    """Shows where the journal lies, and how to move it."""

    folder_asked = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__(words("settings.journal"))
        self._words = words
        self._place = _sentence()
        self._move = _sentence(words("settings.move"))
        self._move.setProperty("role", "label")
        self._folder = QPushButton(words("settings.open_folder"))
        self._folder.clicked.connect(self.folder_asked)
        self.body.setSpacing(GROUPS)
        for one in (self._place, _left(self._folder), self._move):
            self.add(one)

    def show_place(self, path: Path) -> None:
        """Show where it lies."""
        self._place.setText(self._words("settings.place", path=_breakable(path)))
        self._place.setAccessibleName(self._words("settings.place", path=str(path)))


class CopiesPanel(Panel):
    """Lists the copies, says how many are kept, and asks for one now."""

    copy_asked = Signal()
    kept_edited = Signal(int)

    def __init__(self, words: Wording) -> None:
        super().__init__(words("copies.title"))
        self._words = words
        self._said = _sentence()
        self._list = QListWidget()
        self._list.setAccessibleName(words("copies.title"))
        self._copy = QPushButton(words("settings.copy_now"))
        self._copy.clicked.connect(self.copy_asked)
        self._kept = ChoiceField(words, "copies.kept", hint="copies.kept_hint")
        self._kept.edited.connect(self._say)
        self.body.setSpacing(GROUPS)
        for one in (self._said, self._list, _left(self._copy), self._kept):
            self.add(one)

    def show_copies(self, found: Sequence[JournalCopy], kept: int) -> None:
        """Show the copies, newest first, and how many are kept; no edit."""
        words = self._words
        code = "settings.copies" if found else "settings.no_copies"
        self._said.setText(words(code, count=len(found)) if found else words(code))
        with QSignalBlocker(self._list):
            self._list.clear()
            self._list.addItems([self._line(one) for one in found])
            self._list.setCurrentRow(0)
        self._list.setVisible(bool(found))
        height = self._list.sizeHintForRow(0) if found else 0
        self._list.setFixedHeight(height * min(len(found), LINES_SHOWN) + GROUPS)
        counts = sorted({*COUNTS, kept})
        self._kept.show_choices([(words("copies.count", count=count), count) for count in counts])
        self._kept.show_value(kept)

    def _line(self, one: JournalCopy) -> str:
        at = one.made_at.astimezone()
        code = "copies.line_asked" if one.asked else "copies.line_unasked"
        return self._words(code, on=at.date(), at=f"{at:%H:%M}")

    def _say(self) -> None:
        count = self._kept.value()
        if isinstance(count, int):
            self.kept_edited.emit(count)


def _sentence(text: str = "") -> QLabel:
    label = QLabel(text)
    label.setWordWrap(True)
    return label


def _left(button: QPushButton) -> QHBoxLayout:
    row = QHBoxLayout()
    row.addWidget(button)
    row.addStretch(1)
    return row


def _breakable(path: Path) -> str:
    """Return a path that a line may be broken in after each folder."""
    return str(path).replace("/", "/\N{ZERO WIDTH SPACE}").replace("\\", "\\\N{ZERO WIDTH SPACE}")
