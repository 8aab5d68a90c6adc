"""A row that goes on in the next line where it has no room: for keys that stand side by side."""

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

from halfclick_desktop.look import INSIDE


class Flow(QLayout):
    """Lays widgets out from the left at their own size, line after line.

    Args:
        spread: the widget that takes what room is left in its line.
    """

    def __init__(self, *widgets: QWidget, spread: QWidget | None = None) -> None:
        super().__init__()
        self._items: list[QLayoutItem] = []
        self._spread = spread
        self._broken: dict[int, list[list[QLayoutItem]]] = {}  # the lines, by the width asked for
        self.setSpacing(INSIDE)
        self.setContentsMargins(0, 0, 0, 0)
        for widget in widgets:
            self.addWidget(widget)

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)

    def invalidate(self) -> None:
        self._broken.clear()
        super().invalidate()

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        lines = self._lines(width)
        return sum(_height(line) for line in lines) + self.spacing() * max(0, len(lines) - 1)

    def minimumSize(self) -> QSize:
        shown = [item for item in self._items if not item.isEmpty()]
        width = max((item.minimumSize().width() for item in shown), default=0)
        return QSize(width, _height(shown))

    def sizeHint(self) -> QSize:
        shown = [item for item in self._items if not item.isEmpty()]
        return QSize(self._width(shown), _height(shown))

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        top = rect.top()
        for line in self._lines(rect.width()):
            self._place(line, rect, top)
            top += _height(line) + self.spacing()

    def _place(self, line: list[QLayoutItem], rect: QRect, top: int) -> None:
        left, high = rect.left(), _height(line)
        spare = rect.width() - self._width(line)
        for item in line:
            size = item.sizeHint()
            if item.widget() is self._spread:
                size.setWidth(size.width() + max(0, spare))
            size.setWidth(min(size.width(), rect.width()))
            room = QRect(QPoint(left, top + (high - size.height()) // 2), size)
            item.setGeometry(room)
            left += size.width() + self.spacing()

    def _lines(self, width: int) -> list[list[QLayoutItem]]:
        """Return the items of each line; asked for again and again between two changes."""
        if width not in self._broken:
            self._broken[width] = self._break(width)
        return self._broken[width]

    def _break(self, width: int) -> list[list[QLayoutItem]]:
        lines: list[list[QLayoutItem]] = []
        for item in self._items:
            if item.isEmpty():
                continue
            if lines and self._width([*lines[-1], item]) <= width:
                lines[-1].append(item)
            else:
                lines.append([item])
        return lines

    def _width(self, line: list[QLayoutItem]) -> int:
        gaps = self.spacing() * max(0, len(line) - 1)
        return sum(item.sizeHint().width() for item in line) + gaps


def _height(line: list[QLayoutItem]) -> int:
    return max((item.sizeHint().height() for item in line), default=0)
