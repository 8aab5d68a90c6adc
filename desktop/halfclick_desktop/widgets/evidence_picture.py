"""Evidence pair by pair against its bar, on a scale of ratios; a dashed line for "smaller"."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log10

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from halfclick.wording import number
from halfclick_desktop.look import INSIDE, Tokens
from halfclick_desktop.widgets.painting import begun, frame_focus
from halfclick_desktop.widgets.told_picture import ToldPicture

LEFT, RIGHT, TOP, FOOT = 52.0, 92.0, 40.0, 34.0
LEAST, MOST = 0.01, 1000.0
SIZE = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Paths:
    """What is drawn: evidence after each pair, that of "smaller", the bar, and words for each."""

    evidence: Sequence[float]
    smaller: Sequence[float]
    bar: float
    planned: int
    across: str
    up: str
    bar_name: str
    evidence_name: str
    smaller_name: str
    told: tuple[str, ...]  # one a pair


NOTHING = Paths(
    evidence=(),
    smaller=(),
    bar=20.0,
    planned=1,
    across="",
    up="",
    bar_name="",
    evidence_name="",
    smaller_name="",
    told=(),
)


class EvidencePicture(ToldPicture):
    """Paints the paths, pair by pair told in words.

    Args:
        name: for a screen reader, what the picture shows.
    """

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self._paths = NOTHING
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_paths(self, paths: Paths) -> None:
        """Show other paths."""
        self._paths = paths
        self.tell(paths.told, len(paths.told) - 1)

    def sizeHint(self) -> QSize:
        return QSize(460, 230)

    def minimumSizeHint(self) -> QSize:
        return QSize(320, 190)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, tokens = begun(self)
        self._paint_head(painter, tokens)
        self._paint_axes(painter, tokens)
        self._paint_bar(painter, tokens)
        paths = self._paths
        self._paint_path(painter, tokens, paths.smaller, paths.smaller_name, dashed=True)
        self._paint_path(painter, tokens, paths.evidence, paths.evidence_name, dashed=False)
        painter.end()

    def _paint_head(self, painter: QPainter, tokens: Tokens) -> None:
        box = QRectF(INSIDE, 3, self.width() - 2 * INSIDE, TOP - 6)
        frame_focus(painter, self, tokens)
        painter.setPen(QColor(tokens.ink if self.hasFocus() else tokens.quiet))
        text = self.told() if self.hasFocus() else self._paths.up
        painter.drawText(box, Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignVCenter, text)

    def _paint_axes(self, painter: QPainter, tokens: Tokens) -> None:
        low, high = self._range()
        tick = low
        while tick <= high * 1.001:
            y = self._y(tick)
            painter.setPen(QPen(QColor(tokens.quiet if tick == 1 else tokens.line), 1))
            painter.drawLine(QPointF(LEFT, y), QPointF(self.width() - RIGHT, y))
            painter.setPen(QColor(tokens.quiet))
            box = QRectF(0, y - 8, LEFT - 8, 16)
            end = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(box, end, number(tick, 2))
            tick = round(tick * 10, 6)
        bottom = self.height() - FOOT
        painter.setPen(QColor(tokens.quiet))
        step = max(1, round(self._last() / 12))
        for pair in range(0, self._last() + 1, step):
            x = self._x(pair)
            painter.drawLine(QPointF(x, bottom), QPointF(x, bottom + 4))
            box = QRectF(x - 20, bottom + 3, 40, 14)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(pair))
        under = QRectF(LEFT, self.height() - 17, self.width() - LEFT - RIGHT, 16)
        painter.drawText(under, Qt.AlignmentFlag.AlignCenter, self._paths.across)

    def _paint_bar(self, painter: QPainter, tokens: Tokens) -> None:
        y = self._y(self._paths.bar)
        right = self.width() - RIGHT
        painter.setPen(QPen(QColor(tokens.kept), 2))
        painter.drawLine(QPointF(LEFT, y), QPointF(right, y))
        box = QRectF(right + 6, y - 8, RIGHT - 6, 16)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, self._paths.bar_name)

    def _paint_path(
        self, painter: QPainter, tokens: Tokens, path: Sequence[float], name: str, *, dashed: bool
    ) -> None:
        points = [QPointF(self._x(0), self._y(1.0))]
        points += [QPointF(self._x(at), self._y(one)) for at, one in enumerate(path, start=1)]
        colour = QColor(tokens.quiet if dashed else tokens.ink)
        pen = QPen(colour, 1.5 if dashed else 2)
        if dashed:
            pen.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(pen)
        painter.drawPolyline(QPolygonF(points))
        if not path:
            return
        if not dashed:
            self._paint_points(painter, tokens, points)
        painter.setPen(colour)
        end = points[-1]
        lift = 16 if self._near_other(path, dashed=dashed) else 0
        box = QRectF(end.x() + 8, end.y() - 8 - lift, RIGHT, 16)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, name)

    def _paint_points(self, painter: QPainter, tokens: Tokens, points: list[QPointF]) -> None:
        painter.setBrush(QColor(tokens.sheet))
        for place, point in enumerate(points[1:]):
            chosen = self.hasFocus() and place == self._chosen
            painter.setPen(QPen(QColor(tokens.link if chosen else tokens.ink), 2))
            size = SIZE + (2 if chosen else 0)
            painter.drawEllipse(point, size, size)

    def _near_other(self, path: Sequence[float], *, dashed: bool) -> bool:
        """Return whether two names at the ends would lie on each other; the solid one moves up."""
        paths = self._paths
        if dashed or not paths.smaller:
            return False
        return abs(self._y(path[-1]) - self._y(paths.smaller[-1])) < 16

    def _range(self) -> tuple[float, float]:
        values = [*self._paths.evidence, *self._paths.smaller, 0.1, self._paths.bar * 1.5]
        low = max(min(values), LEAST)
        high = min(max(values), MOST)
        return 10.0 ** _down(log10(low)), 10.0 ** -_down(-log10(high))

    def _last(self) -> int:
        return max(self._paths.planned, len(self._paths.evidence), 1)

    def _x(self, pair: float) -> float:
        return LEFT + (self.width() - LEFT - RIGHT) * pair / self._last()

    def _y(self, value: float) -> float:
        low, high = self._range()
        share = (log10(min(max(value, low), high)) - log10(low)) / (log10(high) - log10(low))
        bottom = self.height() - FOOT
        return bottom - share * (bottom - TOP)


def _down(value: float) -> int:
    """Return the whole number below a value, within what binary writing blurs."""
    return int((value + 1e-9) // 1)
