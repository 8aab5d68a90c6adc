"""The rail at the left: the pages as words, each with its key."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QLabel, QPushButton, QVBoxLayout

from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE, tokens_of

WIDTH_PX = 184
NARROW_PX = 136


class Rail(QFrame):
    """Shows which pages there are and which one is open; says which one is asked for."""

    page_asked = Signal(str)

    def __init__(self, words: Wording, pages: Sequence[str]) -> None:
        super().__init__()
        self.setProperty("role", "rail")
        self.setFixedWidth(WIDTH_PX)
        self._buttons: dict[str, RailButton] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(INSIDE, GROUPS, INSIDE, GROUPS)
        column.setSpacing(INSIDE // 2)
        name = QLabel(words("shell.name"))
        name.setProperty("role", "heading")
        name.setContentsMargins(INSIDE, 0, 0, INSIDE)
        column.addWidget(name)
        for number, page in enumerate(pages, start=1):
            button = RailButton(words(f"rail.{page}"), f"Ctrl+{number}")
            button.setAccessibleName(words(f"rail.{page}"))
            button.clicked.connect(partial(self.page_asked.emit, page))
            column.addWidget(button)
            self._buttons[page] = button
        column.addStretch(1)

    def take_keys(self) -> None:
        """Answer to the keys from now on; loading what that needs would delay the first paint."""
        for button in self._buttons.values():
            button.take_key()

    def show_narrow(self, narrow: bool) -> None:
        """Take less of a window that has little width."""
        least = max(button.least_px() for button in self._buttons.values()) + 2 * INSIDE
        self.setFixedWidth(max(NARROW_PX, least) if narrow else WIDTH_PX)

    def show_current(self, page: str) -> None:
        """Show which page is open; none of them where it is not on the rail."""
        for name, button in self._buttons.items():
            button.setChecked(name == page)

    def show_usable(self, usable: bool) -> None:
        """Show whether pages can be asked for yet."""
        for button in self._buttons.values():
            button.setEnabled(usable)

    def button(self, page: str) -> QPushButton:
        """Return the button of a page."""
        return self._buttons[page]

    def buttons(self) -> list[QPushButton]:
        """Return the buttons of every page, from the top down."""
        return list(self._buttons.values())


class RailButton(QPushButton):
    """A page's word, with its key in quiet at the right."""

    def __init__(self, word: str, key: str) -> None:
        super().__init__(word)
        self._key = key
        self.setProperty("role", "rail")
        self.setCheckable(True)

    def take_key(self) -> None:
        """Answer to the key from now on."""
        # Loaded here: it would delay the first paint.
        from PySide6.QtGui import QKeySequence

        self.setShortcut(QKeySequence(self._key))

    def sizeHint(self) -> QSize:
        hint = super().sizeHint()
        return hint.expandedTo(QSize(0, 36))

    def least_px(self) -> int:
        """Return the width of the word, as bold as it gets, and of its key."""
        font = self.font()
        font.setBold(True)
        word = QFontMetrics(font).horizontalAdvance(self.text())
        return word + QFontMetrics(self._small()).horizontalAdvance(self._key) + 4 * INSIDE

    def _small(self) -> QFont:
        font = self.font()
        font.setBold(False)
        font.setPixelSize(11)
        return font

    def nextCheckState(self) -> None:
        """Leave it as it is: the window says which page is open."""

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setFont(self._small())
        painter.setPen(QColor(tokens_of(self.palette()).quiet))
        metrics = painter.fontMetrics()
        left = self.width() - INSIDE - metrics.horizontalAdvance(self._key)
        base = (self.height() + metrics.ascent() - metrics.descent()) // 2
        painter.drawText(left, base, self._key)
        painter.end()
