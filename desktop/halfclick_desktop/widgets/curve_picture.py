"""A published curve as marks, ours as a line over them, and below by how much ours misses."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, log10

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from halfclick.wording import number
from halfclick_desktop.look import Tokens
from halfclick_desktop.widgets.painting import begun, frame_focus
from halfclick_desktop.widgets.told_picture import ToldPicture

LEFT, RIGHT, TOP, FOOT = 44.0, 12.0, 40.0, 34.0
MISSES = 52.0  # height of the strip of misses
BETWEEN = 24.0  # from the curve to that strip
MARK = 3.5
TICKS = 4

Points = Sequence[tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What is drawn of one curve; `told` says each published point in words."""

    seen: Points
    line: Points
    misses: Points
    across: str  # what the axes are, with their units
    up: str
    published: str
    ours: str
    miss: str
    told: tuple[str, ...]


class CurvePicture(ToldPicture):
    """Paints a curve, point by point told in words.

    Args:
        name: for a screen reader, what the picture shows and how well ours fits.
        drawn: the curve.
    """

    def __init__(self, name: str, drawn: Drawn) -> None:
        super().__init__(name)
        self._drawn = drawn
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.tell(drawn.told, 0)

    def sizeHint(self) -> QSize:
        return QSize(320, 300)

    def minimumSizeHint(self) -> QSize:
        return QSize(260, 300)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, tokens = begun(self)
        drawn, width = self._drawn, self.width() - LEFT - RIGHT
        high = self.height() - TOP - FOOT - MISSES - BETWEEN
        upper = _Frame(QRectF(LEFT, TOP, width, high), [*drawn.seen, *drawn.line], floor_at=0.0)
        lower = _Frame(
            QRectF(LEFT, TOP + high + BETWEEN, width, MISSES), drawn.misses, around_nothing=True
        )
        lower.right = upper.right
        self._paint_head(painter, tokens)
        upper.paint(painter, tokens, across=False)
        lower.paint(painter, tokens, across=True)
        self._paint_curve(painter, tokens, upper)
        self._paint_misses(painter, tokens, lower)
        self._paint_names(painter, tokens, lower)
        painter.end()

    def _paint_head(self, painter: QPainter, tokens: Tokens) -> None:
        """Say what stands upwards, and what mark and line are; who has the keys, the point."""
        drawn = self._drawn
        first = QRectF(0, 0, self.width(), 16)
        second = QRectF(0, 18, self.width(), 16)
        frame_focus(painter, self, tokens)
        if self.hasFocus():
            box = QRectF(6, 3, self.width() - 12, 34)
            painter.setPen(QColor(tokens.ink))
            painter.drawText(box, Qt.TextFlag.TextWordWrap, self.told())
            return
        painter.setPen(QColor(tokens.quiet))
        painter.drawText(first, Qt.AlignmentFlag.AlignVCenter, drawn.up)
        metrics = painter.fontMetrics()
        x = 6.0
        _mark(painter, tokens, QPointF(x, second.center().y()), chosen=False)
        painter.setPen(QColor(tokens.ink))
        painter.drawText(
            second.adjusted(x + 8, 0, 0, 0), Qt.AlignmentFlag.AlignVCenter, drawn.published
        )
        x += 8 + metrics.horizontalAdvance(drawn.published) + 16
        y = second.center().y()
        painter.setPen(QPen(QColor(tokens.ink), 1.5))
        painter.drawLine(QPointF(x, y), QPointF(x + 18, y))
        painter.drawText(
            second.adjusted(x + 24, 0, 0, 0), Qt.AlignmentFlag.AlignVCenter, drawn.ours
        )

    def _paint_curve(self, painter: QPainter, tokens: Tokens, frame: "_Frame") -> None:
        painter.setPen(QPen(QColor(tokens.ink), 1.5))
        painter.drawPolyline(QPolygonF([frame.at(*point) for point in self._drawn.line]))
        for number_, point in enumerate(self._drawn.seen):
            chosen = self.hasFocus() and number_ == self._chosen
            _mark(painter, tokens, frame.at(*point), chosen=chosen)

    def _paint_misses(self, painter: QPainter, tokens: Tokens, frame: "_Frame") -> None:
        for number_, (x, miss) in enumerate(self._drawn.misses):
            chosen = self.hasFocus() and number_ == self._chosen
            painter.setPen(QPen(QColor(tokens.link if chosen else tokens.ink), 3 if chosen else 2))
            painter.drawLine(frame.at(x, 0.0), frame.at(x, miss))

    def _paint_names(self, painter: QPainter, tokens: Tokens, lower: "_Frame") -> None:
        painter.setPen(QColor(tokens.quiet))
        above = QRectF(LEFT + 4, lower.box.top() - 17, lower.box.width(), 16)
        painter.drawText(above, Qt.AlignmentFlag.AlignVCenter, self._drawn.miss)
        under = QRectF(LEFT, self.height() - 17, lower.box.width(), 16)
        painter.drawText(under, Qt.AlignmentFlag.AlignCenter, self._drawn.across)


class _Frame:
    """Where values lie in a box, with its hairlines and numbers."""

    def __init__(
        self,
        box: QRectF,
        points: Points,
        *,
        floor_at: float | None = None,
        around_nothing: bool = False,
    ) -> None:
        self.box = box
        self.right = max(x for x, _ in points) * 1.04
        heights = [y for _, y in points]
        top = max(map(abs, heights)) if around_nothing else max(heights)
        self.step = _step(top, 1 if around_nothing else TICKS)
        self.top = max(top * 1.1, self.step * 1.1) if around_nothing else top * 1.08
        self.bottom = -self.top if around_nothing else (floor_at or 0.0)

    def at(self, x: float, y: float) -> QPointF:
        """Return where a point lies."""
        box = self.box
        up = (y - self.bottom) / (self.top - self.bottom)
        return QPointF(box.left() + x / self.right * box.width(), box.bottom() - up * box.height())

    def paint(self, painter: QPainter, tokens: Tokens, *, across: bool) -> None:
        """Paint the hairlines with their numbers; those across only where asked for."""
        box = self.box
        first = round(self.bottom / self.step + 0.4999)
        last = floor(self.top / self.step)
        for tick in range(first, last + 1):
            y = self.at(0.0, tick * self.step).y()
            painter.setPen(QPen(QColor(tokens.quiet if tick == 0 else tokens.line), 1))
            painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
            painter.setPen(QColor(tokens.quiet))
            said = QRectF(0, y - 8, LEFT - 6, 16)
            end = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(said, end, number(tick * self.step))
        if across:
            self._paint_across(painter, tokens)

    def _paint_across(self, painter: QPainter, tokens: Tokens) -> None:
        step = _step(self.right, TICKS)
        for tick in range(floor(self.right / step) + 1):
            x = self.at(tick * step, 0.0).x()
            painter.setPen(QPen(QColor(tokens.quiet), 1))
            bottom = self.box.bottom()
            painter.drawLine(QPointF(x, bottom), QPointF(x, bottom + 4))
            said = QRectF(x - 30, bottom + 3, 60, 14)
            painter.drawText(said, Qt.AlignmentFlag.AlignCenter, number(tick * step))


def _step(most: float, ticks: int) -> float:
    """Return a round step that divides what lies up to `most` into about so many."""
    power = 10.0 ** floor(log10(most / ticks))
    return next(
        step * power for step in (1.0, 2.0, 2.5, 5.0, 10.0) if step * power * ticks >= most * 0.8
    )


def _mark(painter: QPainter, tokens: Tokens, at: QPointF, *, chosen: bool) -> None:
    painter.setPen(QPen(QColor(tokens.link if chosen else tokens.ink), 2.5 if chosen else 1.5))
    painter.setBrush(QColor(tokens.sheet))
    size = MARK + (2.0 if chosen else 0.0)
    painter.drawEllipse(at, size, size)
