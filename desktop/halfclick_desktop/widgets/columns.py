"""Columns side by side, or one below the other where the window is too narrow for them."""

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QScrollArea, QWidget

from halfclick_desktop.look import GROUPS
from halfclick_desktop.widgets.panel import Scrolled

LEAST_PX = 180  # what is seen of them at least, high
_BESIDE, _BELOW = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom


class Columns(QScrollArea):
    """Side by side each column scrolls by itself; one below the other, all scroll as one.

    Args:
        columns: each with its share of the width.
        spacing: between them.
        as_one: whether they scroll as one side by side too.
        first: the column that stands on top where they stand one below the other.
    """

    def __init__(
        self,
        *columns: tuple[QWidget, int],
        spacing: int = GROUPS,
        as_one: bool = False,
        first: QWidget | None = None,
    ) -> None:
        super().__init__()
        self._shares = columns
        self._columns = [column for column, _ in columns]
        self._first = first or self._columns[0]
        inside = QWidget()
        self._line = _Line(inside, as_one=as_one)
        self._line.setContentsMargins(0, 0, 0, 0)
        self._line.setSpacing(spacing)
        for column, share in columns:
            self._line.addWidget(column, share)
        self.setWidget(inside)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.viewport().setAutoFillBackground(False)
        inside.setAutoFillBackground(False)

    def is_beside(self) -> bool:
        """Return whether the columns stand side by side."""
        return self._line.direction() == _BESIDE

    def bring(self, widget: QWidget) -> None:
        """Scroll until a widget of one of the columns is seen."""
        for column in self._columns:
            if isinstance(column, QScrollArea) and column.isAncestorOf(widget):
                column.ensureWidgetVisible(widget)
        self.ensureWidgetVisible(widget)

    def minimumSizeHint(self) -> QSize:
        widest = max(map(_least_px, self._shown()), default=0)
        return QSize(widest + self._bar_px(), LEAST_PX)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._turn()
        super().resizeEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self._turn()
            self.updateGeometry()
        return super().eventFilter(watched, event)

    def _put_first(self, first: QWidget) -> None:
        shares = dict(self._shares)
        for column in sorted(self._columns, key=lambda column: column is not first):
            self._line.removeWidget(column)
            self._line.addWidget(column, shares[column])

    def _shown(self) -> list[QWidget]:
        return [column for column in self._columns if not column.isHidden()]

    def _bar_px(self) -> int:
        return self.verticalScrollBar().sizeHint().width()

    def _turn(self) -> None:
        shown = self._shown()
        needed = sum(map(_least_px, shown)) + self._bar_px()
        needed += self._line.spacing() * (len(shown) - 1)
        way = _BESIDE if self.width() >= needed else _BELOW
        if way == self._line.direction():
            return
        self._line.setDirection(way)
        if self._first is not self._columns[0]:
            self._put_first(self._first if way == _BELOW else self._columns[0])
        for column in self._columns:
            if isinstance(column, Scrolled):
                column.show_whole(way == _BELOW)


def _least_px(column: QWidget) -> int:
    return max(column.minimumSizeHint().width(), column.minimumWidth())


class _Line(QBoxLayout):
    """Asks for no height of its own while its columns scroll by themselves."""

    def __init__(self, inside: QWidget, *, as_one: bool) -> None:
        super().__init__(_BESIDE, inside)
        self._as_one = as_one

    def hasHeightForWidth(self) -> bool:
        grows = self._as_one or self.direction() == _BELOW
        return grows and super().hasHeightForWidth()
