"""Expected liking along each lever, small pictures side by side, painted by hand."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from halfclick_desktop.look import LABEL_PX, Tokens
from halfclick_desktop.widgets.painting import begun, frame_focus

LOWEST, HIGHEST = 1.0, 9.0
GRID = (1.0, 3.0, 5.0, 7.0, 9.0)
LEFT, RIGHT, TOP, FOOT = 22.0, 8.0, 24.0, 20.0
MARK = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """One lever: points of value, low, middle and high; where the last cup was, and the best."""

    title: str
    points: tuple[tuple[float, float, float, float], ...]
    now: float
    best: float
    ends: tuple[str, str]
    said: str


class LikingCurve(QWidget):
    """Paints one lever; its sentence is what a screen reader says."""

    def __init__(self, curve: Curve) -> None:
        super().__init__()
        self._curve = curve
        self.setAccessibleName(curve.title)
        self.setAccessibleDescription(curve.said)
        self.setToolTip(curve.said)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def said(self) -> str:
        """Return the picture in a sentence."""
        return self._curve.said

    def sizeHint(self) -> QSize:
        return QSize(280, 170)

    def minimumSizeHint(self) -> QSize:
        return QSize(170, 170)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, tokens = begun(self)
        self._paint_axes(painter, tokens)
        self._paint_band(painter, tokens)
        self._paint_marks(painter, tokens)
        frame_focus(painter, self, tokens)
        painter.end()

    def _paint_axes(self, painter: QPainter, tokens: Tokens) -> None:
        width, height = float(self.width()), float(self.height())
        _write(painter, tokens.ink, QRectF(LEFT, 2, width - LEFT, TOP - 6), self._curve.title)
        for liking in GRID:
            y = self._y(liking)
            painter.setPen(QPen(QColor(tokens.line), 1))
            painter.drawLine(QPointF(LEFT, y), QPointF(width - RIGHT, y))
            _write(
                painter, tokens.quiet, QRectF(0, y - 7, LEFT - 6, 14), f"{liking:.0f}", right=True
            )
        foot = QRectF(LEFT, height - FOOT + 3, width - LEFT - RIGHT, FOOT - 4)
        _write(painter, tokens.quiet, foot, self._curve.ends[0])
        _write(painter, tokens.quiet, foot, self._curve.ends[1], right=True)

    def _paint_band(self, painter: QPainter, tokens: Tokens) -> None:
        points = self._curve.points
        upper = [QPointF(self._x(one[0]), self._y(one[3])) for one in points]
        lower = [QPointF(self._x(one[0]), self._y(one[1])) for one in reversed(points)]
        wash = QColor(tokens.link)
        wash.setAlpha(45)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(wash)
        painter.drawPolygon(QPolygonF(upper + lower))
        painter.setPen(QPen(QColor(tokens.ink), 1.6))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline([QPointF(self._x(one[0]), self._y(one[2])) for one in points])

    def _paint_marks(self, painter: QPainter, tokens: Tokens) -> None:
        now, best = self._x(self._curve.now), self._curve.best
        painter.setPen(QPen(QColor(tokens.ink), 2))
        base = self._y(LOWEST)
        painter.drawLine(QPointF(now, base - 8), QPointF(now, base))
        middle = next(one[2] for one in self._curve.points if one[0] == best)
        at = QPointF(self._x(best), self._y(middle))
        painter.setPen(QPen(QColor(tokens.ink), 1.4))
        painter.setBrush(QColor(tokens.sheet))
        painter.drawEllipse(at, MARK, MARK)

    def _x(self, value: float) -> float:
        low, high = self._curve.points[0][0], self._curve.points[-1][0]
        share = (value - low) / max(high - low, 1e-9)
        return LEFT + share * (self.width() - LEFT - RIGHT)

    def _y(self, liking: float) -> float:
        share = (min(max(liking, LOWEST), HIGHEST) - LOWEST) / (HIGHEST - LOWEST)
        return self.height() - FOOT - share * (self.height() - FOOT - TOP)


def _write(painter: QPainter, colour: str, box: QRectF, text: str, *, right: bool = False) -> None:
    font = painter.font()
    font.setPixelSize(LABEL_PX)
    painter.setFont(font)
    painter.setPen(QColor(colour))
    side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
    painter.drawText(box, side | Qt.AlignmentFlag.AlignVCenter, text)


def curves_of(found: Sequence[Curve]) -> list[LikingCurve]:
    """Return a picture a lever."""
    return [LikingCurve(curve) for curve in found]
