"""One row of the taste page, answered by a key; the next row takes the focus by itself."""

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel

from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS
from halfclick_desktop.widgets.key_row import KeyRow

LABEL_PX = 104  # so that the answers of all rows stand in one column


class MarkRow(KeyRow):
    """A question whose answers are single keys; Backspace clears, Down goes on.

    Args:
        words: the wording.
        label: catalogue code of what is asked.
        keys: what a key answers.
        shown: how an answer is printed, by value.
        hint: catalogue code of the keys in words.
    """

    edited = Signal()

    def __init__(
        self,
        words: Wording,
        label: str,
        keys: Mapping[str, object],
        shown: Mapping[object, str],
        *,
        hint: str = "",
    ) -> None:
        super().__init__()
        self._words = words
        self._keys = keys
        self._shown = shown
        self._value: object = None
        self._by_hand = False
        self._label = QLabel(words(label))
        self._label.setMinimumWidth(LABEL_PX)
        self._answer = QLabel()
        self._answer.setProperty("role", "heading")
        self._answer.setMinimumWidth(80)
        self._keys_hint = words(hint) if hint else ""
        self._hint = QLabel(self._keys_hint)
        self._hint.setProperty("role", "label")
        row = QHBoxLayout(self)
        row.setContentsMargins(GROUPS, 4, GROUPS, 4)
        row.setSpacing(GROUPS)
        row.addWidget(self._label)
        row.addWidget(self._answer)
        row.addWidget(self._hint, 1)
        self._tell()

    def value(self) -> object:
        """Return the answer; None where there is none."""
        return self._value

    def by_hand(self) -> bool:
        """Return whether the answer, or that there is none, is the person's own."""
        return self._by_hand

    def show_value(self, value: object) -> None:
        """Show an answer as the person's own; no edit."""
        self._by_hand = value is not None
        self._show(value, self._keys_hint)

    def suggest(self, value: object, note: str) -> None:
        """Show an answer that the person's words suggest, with where it is from; no edit.

        What was typed in this row, even that it was cleared, stands.
        """
        if not self._by_hand:
            self._show(value, self._keys_hint if value is None else note)

    def _show(self, value: object, hint: str) -> None:
        self._value = value
        self._hint.setText(hint)
        self._tell()

    def answer_text(self) -> str:
        """Return the answer as it is shown."""
        return self._answer.text()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.text().lower()
        if key and key in self._keys:
            self._type(self._keys[key])
            self.edited.emit()
            self.passed.emit()
        elif event.key() in (Qt.Key.Key_Backspace, Qt.Key.Key_Delete):
            self._type(None)
            self.edited.emit()
        else:
            super().keyPressEvent(event)

    def _type(self, value: object) -> None:
        self.show_value(value)
        self._by_hand = True

    def _tell(self) -> None:
        text = self._shown.get(self._value, "") if self._value is not None else ""
        self._answer.setText(text)
        name = self._label.text()
        self.setAccessibleName(f"{name}, {text}" if text else name)
        self.setAccessibleDescription(self._hint.text())
