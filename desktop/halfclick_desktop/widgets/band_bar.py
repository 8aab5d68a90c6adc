"""A small picture of a band against an earlier one: how much narrower it became."""

from math import log

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from halfclick.model.forecast import Band
from halfclick_desktop.look import tokens_of

WIDTH, HEIGHT = 220, 22
MARGIN = 6.0
EARLIER_PX, NOW_PX = 14.0, 8.0


class BandBar(QWidget):
    """Paints the earlier band as an outline and the present one filled in it, by ratios.

    The words beside it say the same, so it tells a screen reader nothing of its own.
    """

    def __init__(self, before: Band, now: Band) -> None:
        super().__init__()
        self._before, self._now = before, now
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(WIDTH, HEIGHT)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        tokens = tokens_of(self.palette())
        middle = self.height() / 2
        painter.setPen(QPen(QColor(tokens.line), 1))
        painter.drawLine(QPointF(0, middle), QPointF(self.width(), middle))
        painter.setPen(QPen(QColor(tokens.quiet), 1))
        painter.setBrush(QColor(tokens.sheet))
        painter.drawRoundedRect(self._box(self._before, EARLIER_PX), 3, 3)
        painter.setPen(QPen(QColor(tokens.ink), 1))
        painter.setBrush(QColor(tokens.ink))
        painter.drawRoundedRect(self._box(self._now, NOW_PX), 2, 2)
        x = self._x(self._now[1])
        painter.setPen(QPen(QColor(tokens.ink), 2))
        painter.drawLine(QPointF(x, middle - 10), QPointF(x, middle + 10))
        painter.end()

    def _box(self, band: Band, high_px: float) -> QRectF:
        left, right = self._x(band[0]), self._x(band[2])
        return QRectF(left, (self.height() - high_px) / 2, max(right - left, 2.0), high_px)

    def _x(self, value: float) -> float:
        low = log(min(self._before[0], self._now[0]))
        high = log(max(self._before[2], self._now[2]))
        share = (log(value) - low) / max(high - low, 1e-9)
        return MARGIN + share * (self.width() - 2 * MARGIN)
