"""The cups of a round as they stand before a person: a code each, from left to right."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from halfclick_desktop.letting_go import let_go
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.label import styled, typed


class CupCodes(QWidget):
    """Shows codes large, with a line under each: what is in it, or the key that names it."""

    def __init__(self) -> None:
        super().__init__()
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, INSIDE, 0, INSIDE)
        self._row.setSpacing(GROUPS)

    def show_cups(self, codes: Sequence[str], under: Sequence[str]) -> None:
        """Show other cups."""
        while (item := self._row.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                let_go(widget)
        for code, text in zip(codes, under, strict=True):
            cup = self._cup(code, text)
            self._row.addWidget(cup, 1)
            cup.show()
        told = [f"{code}: {text}" for code, text in zip(codes, under, strict=True)]
        self.setAccessibleName("; ".join(told))

    def _cup(self, code: str, text: str) -> QFrame:
        cup = QFrame(self)
        cup.setProperty("role", "sheet")
        column = QVBoxLayout(cup)
        column.setContentsMargins(GROUPS, GROUPS, GROUPS, GROUPS)
        column.setSpacing(INSIDE)
        number = styled("number", code, wrap=False)
        line = typed("quiet")
        line.setText(text)
        for label in (number, line):
            label.setAlignment(Qt.AlignmentFlag.AlignHCenter)
            column.addWidget(label)
        return cup
