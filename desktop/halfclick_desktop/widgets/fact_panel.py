"""A sheet that lists what was measured, adds to it, and takes one away again."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QListWidget, QPushButton

from halfclick.wording import Wording
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel

ROWS_SEEN = 5
LINE_PX = 2
SLACK_PX = 6


class FactPanel(Panel):
    """Facts one a line, the newest first; Delete takes one away.

    Args:
        words: the wording.
        title: catalogue code of the title.
        what: of the sentence under it.
        listed: of the list's name, which says what Delete does.
        add: of the button.
    """

    add_asked = Signal()
    removed = Signal(object)  # the fact's id

    def __init__(self, words: Wording, *, title: str, what: str, listed: str, add: str) -> None:
        super().__init__(words(title))
        self._ids: list[UUID] = []
        self.add(styled("quiet", words(what)))
        self._taught = styled("body")
        self._taught.hide()
        self.add(self._taught)
        self._list = _Listed(words(listed))
        self._list.removed.connect(self._remove)
        self.add(self._list)
        self.button = QPushButton(words(add))
        self.button.clicked.connect(self.add_asked)
        row = QHBoxLayout()
        row.addWidget(self.button)
        row.addStretch(1)
        self.add(row)

    def show_facts(self, facts: Sequence[tuple[UUID, str]]) -> None:
        """Show facts, each with what is said of it; no list where there are none."""
        self._ids = [one for one, _ in facts]
        self._list.clear()
        self._list.addItems([said for _, said in facts])
        self._list.fit()
        self._list.setVisible(bool(facts))

    def show_taught(self, text: str) -> None:
        """Say what the facts have taught; nothing where there is nothing to say."""
        self._taught.setText(text)
        self._taught.setVisible(bool(text))

    def taught(self) -> str:
        """Return what is said of them."""
        return self._taught.text()

    def lines(self) -> list[str]:
        """Return what is listed."""
        return [self._list.item(row).text() for row in range(self._list.count())]

    def _remove(self, row: int) -> None:
        self.removed.emit(self._ids[row])


class _Listed(QListWidget):
    """As high as its lines, up to a few; Delete asks for the chosen one to go."""

    removed = Signal(int)

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setToolTip(name)
        self.setWordWrap(True)
        self.setSpacing(LINE_PX)
        self.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.hide()

    def fit(self) -> None:
        """Be as high as the lines, up to a few."""
        policy = Qt.ScrollBarPolicy
        few = self.count() <= ROWS_SEEN
        self.setVerticalScrollBarPolicy(
            policy.ScrollBarAlwaysOff if few else policy.ScrollBarAsNeeded
        )
        self.doItemsLayout()  # a line that breaks is higher
        last = self.item(min(self.count(), ROWS_SEEN) - 1)
        if last is not None:
            foot_px = self.visualItemRect(last).bottom() - self.visualItemRect(self.item(0)).top()
            self.setFixedHeight(foot_px + 2 * (self.frameWidth() + self.spacing()) + SLACK_PX)

    def minimumSizeHint(self) -> QSize:
        return QSize(0, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit()  # narrower lines break and need more height

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self.currentRow() >= 0:
            self.removed.emit(self.currentRow())
        else:
            super().keyPressEvent(event)
