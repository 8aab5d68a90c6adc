"""The row of slips: one key each, and a button for who would rather click."""

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from halfclick.model.under_way import GuideEventKind
from halfclick.wording import Wording
from halfclick_desktop.look import INSIDE

KEYS = {
    "d": GuideEventKind.UNTARED_DOSE,
    "o": GuideEventKind.OVERSHOOT,
    "c": GuideEventKind.LATE_CLOCK,
    "s": GuideEventKind.STALLED,
    "l": GuideEventKind.LIFTED,
    "u": GuideEventKind.TAKEN_BACK,
}


class SlipRow(QWidget):
    """Says which slip was pressed; those that cannot be now are dimmed."""

    asked = Signal(object)  # GuideEventKind

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._buttons: dict[GuideEventKind, QPushButton] = {}
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(INSIDE)
        for key, kind in KEYS.items():
            button = QPushButton(f"{words(f'slip_row.{kind.value}')}  {key.upper()}")
            # Space belongs to the page: a button that had the focus would take it.
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            button.clicked.connect(partial(self.asked.emit, kind))
            row.addWidget(button)
            self._buttons[kind] = button
        row.addStretch(1)

    def press(self, text: str) -> bool:
        """Take a typed letter for its slip; return whether it was one that can be."""
        kind = KEYS.get(text.lower())
        if kind is None or not self._buttons[kind].isEnabled():
            return False
        self.asked.emit(kind)
        return True

    def show_can(self, can: frozenset[GuideEventKind]) -> None:
        """Show which slips can be noted now."""
        for kind, button in self._buttons.items():
            button.setEnabled(kind in can)
