"""A sheet on the page: a titled panel that holds one thought."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QLayout, QScrollArea, QVBoxLayout, QWidget

from halfclick_desktop.look import GROUPS, INSIDE


class Panel(QFrame):
    """A sheet with a quiet title; what it holds goes into `body`."""

    def __init__(self, title: str = "", *, role: str = "sheet") -> None:
        super().__init__()
        self.setProperty("role", role)
        self.body = QVBoxLayout(self)
        self.body.setContentsMargins(GROUPS, GROUPS, GROUPS, GROUPS)
        self.body.setSpacing(INSIDE)
        self._title = QLabel(title)
        self._title.setProperty("role", "title")
        self._title.setVisible(bool(title))
        self.body.addWidget(self._title)
        self.setAccessibleName(title)

    def show_title(self, title: str) -> None:
        """Show another title."""
        self._title.setText(title)
        self._title.setVisible(bool(title))
        self.setAccessibleName(title)

    def add(self, content: QWidget | QLayout, stretch: int = 0) -> None:
        """Put a widget or a layout below what the panel holds already."""
        if isinstance(content, QWidget):
            self.body.addWidget(content, stretch)
        else:
            self.body.addLayout(content, stretch)


def scrolled(content: QWidget) -> QScrollArea:
    """Return a widget that scrolls up and down where the window is too low for it."""
    area = QScrollArea()
    area.setWidget(content)
    area.setWidgetResizable(True)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    # Its fields take the keys, and it scrolls to whichever has them.
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.viewport().setAutoFillBackground(False)
    content.setAutoFillBackground(False)
    return area
