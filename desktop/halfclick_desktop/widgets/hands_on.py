"""A page that gives the keys on to the place where a person begins on it."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QWidget


class HandsOn(QWidget):
    """Gives the keys on to one of its widgets.

    As the page's focus proxy that widget would keep Tab from what lies above it: Qt takes a proxy
    for the page itself and goes on behind it.
    """

    _first: QWidget | None = None

    def begin_at(self, first: QWidget) -> None:
        """Say which widget has the keys when the page gets them."""
        self._first = first

    def setFocus(self, *reason: Qt.FocusReason) -> None:
        """Give the keys on at once: a window behind another tells no widget that it has them."""
        super().setFocus(*reason)
        if self._first is not None:
            self._first.setFocus(*reason)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self._first is not None:
            self._first.setFocus()
