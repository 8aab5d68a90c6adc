"""A d' with its interval on one line, and the bound that was chosen before."""

from math import ceil, inf, isinf

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from halfclick.wording import number
from halfclick_desktop.look import Tokens
from halfclick_desktop.widgets.painting import begun

MARGIN = 24.0
LEAST_TOP = 3.0
# Beyond this a d' is not drawn, and so much is left for the arrow of one that nothing bounds.
FARTHEST, OPEN = 6.0, 0.5
BAND, POINT = 10.0, 7.0


class IntervalPicture(QWidget):
    """Paints the interval as a bar, the estimate as a point and the bound as a line."""

    def __init__(self) -> None:
        super().__init__()
        self._low, self._high, self._middle = 0.0, 0.0, 0.0
        self._bound: float | None = None
        self._bound_name = self._axis = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_interval(
        self,
        told: str,
        axis: str,
        within: tuple[float, float],
        middle: float,
        bound: tuple[float, str] | None,
    ) -> None:
        """Show an interval.

        Args:
            told: the same in words, for a screen reader.
            axis: what stands under the line.
            within: the limits; the upper one may be infinite.
            middle: the estimate.
            bound: where the bound lies, and its name; None where there is none.
        """
        self._low, self._high = within
        self._middle, self._axis = middle, axis
        self._bound, self._bound_name = bound or (None, "")
        self.setAccessibleName(told)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(420, 96)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, tokens = begun(self)
        self._paint_axis(painter, tokens)
        self._paint_bound(painter, tokens)
        self._paint_interval(painter, tokens)
        painter.end()

    def _paint_axis(self, painter: QPainter, tokens: Tokens) -> None:
        y = 40.0
        painter.setPen(QPen(QColor(tokens.line), 1))
        painter.drawLine(QPointF(MARGIN, y), QPointF(self.width() - MARGIN, y))
        painter.setPen(QColor(tokens.quiet))
        for tick in range(ceil(self._bottom()), int(self._top()) + 1):
            x = self._x(tick)
            painter.drawLine(QPointF(x, y + 10), QPointF(x, y + 14))
            box = QRectF(x - 20, y + 15, 40, 14)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, number(tick, 0))
        under = QRectF(MARGIN, y + 32, self.width() - 2 * MARGIN, 16)
        painter.drawText(under, Qt.AlignmentFlag.AlignCenter, self._axis)

    def _paint_bound(self, painter: QPainter, tokens: Tokens) -> None:
        if self._bound is None:
            return
        x = self._x(self._bound)
        painter.setPen(QPen(QColor(tokens.quiet), 2, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(x, 18), QPointF(x, 54))
        painter.setPen(QColor(tokens.quiet))
        box = QRectF(x - 100, 0, 200, 16)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self._bound_name)

    def _paint_interval(self, painter: QPainter, tokens: Tokens) -> None:
        left, right = self._x(self._inside(self._low)), self._x(self._inside(self._high))
        painter.setPen(QPen(QColor(tokens.ink), 1))
        painter.setBrush(QColor(tokens.line))
        painter.drawRect(QRectF(left, 40 - BAND / 2, max(right - left, 2.0), BAND))
        # An arrow where nothing bounds it.
        for end, at, way in ((self._high, right, 10), (self._low, left, -10)):
            if isinf(end):
                corners = [QPointF(at, 33), QPointF(at + way, 40), QPointF(at, 47)]
                painter.drawPolygon(QPolygonF(corners))
        painter.setBrush(QColor(tokens.ink))
        x = self._x(self._inside(self._middle))
        corners = [
            QPointF(x, 40 - POINT),
            QPointF(x + POINT, 40),
            QPointF(x, 40 + POINT),
            QPointF(x - POINT, 40),
        ]
        painter.drawPolygon(QPolygonF(corners))

    def _inside(self, value: float) -> float:
        return min(max(value, self._bottom()), self._top())

    def _top(self) -> float:
        ends = [self._middle, self._bound or 0.0, self._high, LEAST_TOP]
        more = OPEN if self._high == inf else 0.0
        return max(min(end, FARTHEST) for end in ends if end != inf) + more

    def _bottom(self) -> float:
        ends = [self._middle, self._low, 0.0]
        more = OPEN if self._low == -inf else 0.0
        return min(max(end, -FARTHEST) for end in ends if end != -inf) - more

    def _x(self, value: float) -> float:
        low = self._bottom()
        return MARGIN + (self.width() - 2 * MARGIN) * (value - low) / (self._top() - low)
