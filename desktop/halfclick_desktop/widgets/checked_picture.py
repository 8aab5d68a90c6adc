"""Cup by cup: the band a liking was expected in, and the liking that was given, painted by hand."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy

from halfclick_desktop.look import Tokens
from halfclick_desktop.widgets.painting import begun, frame_focus
from halfclick_desktop.widgets.told_picture import ToldPicture

LOWEST, HIGHEST = 1.0, 9.0
GRID = (1.0, 3.0, 5.0, 7.0, 9.0)
LEFT, RIGHT, TOP, FOOT = 22.0, 8.0, 8.0, 20.0
BAR, POINT, MOST_APART = 14.0, 4.5, 48.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedCup:
    """One cup: its band, what was seen, whether the band was said before it, and it in words."""

    number: int
    low: float
    high: float
    seen: float
    said: bool
    words: str

    @property
    def is_inside(self) -> bool:
        """Whether the band held."""
        return self.low <= self.seen <= self.high


class CheckedPicture(ToldPicture):
    """Bands as bars, likings as points: full inside, a cross outside; Left and Right go through."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self._cups: Sequence[CheckedCup] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_cups(self, cups: Sequence[CheckedCup]) -> None:
        """Show cups, oldest first."""
        self._cups = cups
        self.tell(tuple(cup.words for cup in cups), len(cups) - 1)

    def sizeHint(self) -> QSize:
        return QSize(320, 170)

    def minimumSizeHint(self) -> QSize:
        return QSize(220, 170)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, tokens = begun(self)
        for liking in GRID:
            y = self._y(liking)
            painter.setPen(QPen(QColor(tokens.line), 1))
            painter.drawLine(QPointF(LEFT, y), QPointF(self.width() - RIGHT, y))
            painter.setPen(QColor(tokens.quiet))
            right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            painter.drawText(QRectF(0, y - 7, LEFT - 6, 14), right, f"{liking:.0f}")
        for place, cup in enumerate(self._cups):
            self._paint_cup(painter, tokens, place, cup)
        frame_focus(painter, self, tokens)
        painter.end()

    def _paint_cup(self, painter: QPainter, tokens: Tokens, place: int, cup: CheckedCup) -> None:
        x = self._x(place)
        chosen = self.hasFocus() and place == self._chosen
        wash = QColor(tokens.link)
        wash.setAlpha(60 if cup.said else 25)
        style = Qt.PenStyle.SolidLine if cup.said else Qt.PenStyle.DotLine
        painter.setPen(QPen(QColor(tokens.link), 2 if chosen else 1, style))
        painter.setBrush(wash)
        top, foot = self._y(cup.high), self._y(cup.low)
        painter.drawRect(QRectF(x - BAR / 2, top, BAR, max(foot - top, 2.0)))
        at = QPointF(x, self._y(cup.seen))
        painter.setPen(QPen(QColor(tokens.ink), 2))
        painter.setBrush(QColor(tokens.ink))
        if cup.is_inside:
            painter.drawEllipse(at, POINT, POINT)
        else:
            for way in (1, -1):
                off = QPointF(POINT, way * POINT)
                painter.drawLine(at - off, at + off)
        painter.setPen(QColor(tokens.ink if chosen else tokens.quiet))
        box = QRectF(x - 20, self.height() - FOOT + 3, 40, FOOT - 4)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(cup.number))

    def _x(self, place: int) -> float:
        width = self.width() - LEFT - RIGHT
        apart = min(width / max(len(self._cups), 1), MOST_APART)
        return LEFT + (place + 0.5) * apart

    def _y(self, liking: float) -> float:
        share = (min(max(liking, LOWEST), HIGHEST) - LOWEST) / (HIGHEST - LOWEST)
        return self.height() - FOOT - share * (self.height() - FOOT - TOP)
