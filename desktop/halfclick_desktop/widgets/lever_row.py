"""One lever of a plan: its mark, its value, and a lock that is opened on purpose."""

from collections.abc import Iterable

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QPushButton, QWidget

from halfclick.model.recipe import Lever
from halfclick.wording import Wording
from halfclick_desktop.look import INSIDE
from halfclick_desktop.widgets.mark import ChangeMark, MarkKind

# The levers in a unit of the person's choice, by the suffix of its base.
MEASURED = {Lever.TEMPERATURE: "c", Lever.POUR_RATE: "g_s"}


class LeverRow(QWidget):
    """Shows a lever's value; typed where it is free, read where it is locked."""

    edited = Signal(object, str)  # Lever, what was typed
    unlocked = Signal(object)  # Lever

    def __init__(self, words: Wording, lever: Lever) -> None:
        super().__init__()
        self._lever = lever
        self._words = words
        name = words(f"lever_row.{lever.value}")
        self._mark = ChangeMark(words, MarkKind.HELD)
        self._name = QLabel(name)
        self._line = QLineEdit()
        self._line.setAccessibleName(name)
        self._line.setFixedWidth(88)
        self._line.editingFinished.connect(self._say)
        self._unit = QLabel()
        self._unit.setProperty("role", "quiet")
        self._lock = QPushButton(words("lever_row.unlock"))
        self._lock.setAccessibleName(words("lever_row.unlock_named", lever=name))
        self._lock.clicked.connect(self._ask)
        policy = self._lock.sizePolicy()
        policy.setRetainSizeWhenHidden(True)
        self._lock.setSizePolicy(policy)
        self._error = QLabel()
        self._error.setProperty("role", "caution")
        self._error.setWordWrap(True)
        self._error.hide()
        self._unit.setText(self._unit_text())
        self.setFocusProxy(self._line)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(INSIDE)
        grid.setColumnStretch(5, 1)
        for column, widget in enumerate(
            (self._mark, self._name, self._line, self._unit, self._lock)
        ):
            grid.addWidget(widget, 0, column)
        grid.addWidget(self._error, 1, 1, 1, 4)

    def show_text(self, text: str, *, locked: bool, moved: bool) -> None:
        """Show a value, whether it may be typed, and whether it is what is tested."""
        with QSignalBlocker(self._line):
            self._line.setText(text)
            self._line.setModified(False)
        self._unit.setText(self._unit_text())
        self._line.setReadOnly(locked)
        self._line.setEnabled(not locked)
        self._lock.setVisible(locked)
        self._mark.show_kind(MarkKind.CHANGED if moved else MarkKind.HELD)
        self.show_error("")

    def show_error(self, sentence: str) -> None:
        """Show why what was typed cannot be; nothing where the sentence is empty."""
        self._error.setText(sentence)
        self._error.setVisible(bool(sentence))
        self._line.setAccessibleDescription(sentence)

    def columns(self) -> tuple[QWidget, ...]:
        """Return what stands beside the line and is as wide in every row."""
        return self._name, self._unit, self._lock

    def has_error(self) -> bool:
        """Return whether what was typed cannot be."""
        return bool(self._error.text())

    def text(self) -> str:
        """Return the value as it stands."""
        return self._line.text()

    def is_locked(self) -> bool:
        """Return whether the lever is held."""
        return not self._line.isEnabled()

    def _unit_text(self) -> str:
        unit = self._words.units.of(MEASURED.get(self._lever, ""))
        return unit.sign if unit else self._words(f"lever_row.{self._lever.value}_unit")

    def _say(self) -> None:
        if self._line.isModified():
            self._line.setModified(False)
            self.edited.emit(self._lever, self._line.text().strip())

    def _ask(self) -> None:
        self.unlocked.emit(self._lever)


def align(rows: Iterable[LeverRow]) -> None:
    """Give rows that stand one under another columns of one width."""
    for column in zip(*(row.columns() for row in rows), strict=True):
        for widget in column:
            widget.ensurePolished()
        width = max(widget.sizeHint().width() for widget in column)
        for widget in column:
            widget.setMinimumWidth(width)
