"""Strength over extraction: cups by their verdict, where the next is expected, an old reference."""

from collections.abc import Iterator

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from halfclick.service.plane import (
    CLASSIC_EXTRACTION,
    CLASSIC_STRENGTH,
    LikedZone,
    Line,
    Plane,
    PlanePoint,
)
from halfclick.wording import Wording
from halfclick_desktop.look import LABEL_PX, Tokens, tokens_of
from halfclick_desktop.text import percent

LEFT, RIGHT, TOP, FOOT = 64.0, 24.0, 32.0, 48.0
POINT = 5.0
# What is always in view, fractions; more where cups or the next one lie farther out.
LEAST_EXTRACTION = (0.16, 0.24)
LEAST_STRENGTH = (0.0105, 0.0155)
TICKS = ((0.01, 0.02, 0.05), (0.001, 0.002, 0.005))
MOST_TICKS = 8


class PlanePlot(QWidget):
    """Paints a plane; the summary is its description for a screen reader."""

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._plane = Plane(points=())
        self._classic = True
        self._x = self._y = (0.0, 1.0)
        self.setMinimumSize(320, 260)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(words("plane.name"))
        self.show_plane(self._plane, "")

    def sizeHint(self) -> QSize:
        return QSize(640, 300)

    def show_plane(self, plane: Plane, summary: str) -> None:
        """Show cups and the next one's bands."""
        self._plane = plane
        self.setAccessibleDescription(summary)
        self._fit()

    def show_classic(self, shown: bool) -> None:
        """Show or hide the old reference."""
        self._classic = shown
        self._fit()

    def _fit(self) -> None:
        plane = self._plane
        extractions = [point.extraction for point in plane.points]
        strengths = [point.strength for point in plane.points]
        if plane.extraction and plane.strength:
            extractions += [plane.extraction[0], plane.extraction[2]]
            strengths += [plane.strength[0], plane.strength[2]]
        if plane.zone:
            across, up = plane.zone.extent
            extractions, strengths = [*extractions, *across], [*strengths, *up]
        self._x = _around(extractions, LEAST_EXTRACTION)
        self._y = _around(strengths, LEAST_STRENGTH)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        tokens = tokens_of(self.palette())
        painter.fillRect(self.rect(), QColor(tokens.sheet))
        font = painter.font()
        font.setPixelSize(LABEL_PX)
        painter.setFont(font)
        self._paint_axes(painter, tokens)
        if self._classic:
            self._paint_classic(painter, tokens)
        self._paint_zone(painter, tokens)
        self._paint_next(painter, tokens)
        for point in self._plane.points:
            self._paint_point(painter, tokens, point)
        painter.end()

    def _paint_axes(self, painter: QPainter, tokens: Tokens) -> None:
        frame, align = self._frame(), Qt.AlignmentFlag
        for value in _ticks(self._x, TICKS[0]):
            x = self._at(value, self._y[0]).x()
            painter.setPen(QPen(QColor(tokens.line), 1))
            painter.drawLine(QPointF(x, frame.top()), QPointF(x, frame.bottom()))
            painter.setPen(QColor(tokens.quiet))
            box = QRectF(x - 30, frame.bottom() + 4, 60, 16)
            painter.drawText(box, align.AlignCenter, percent(value))
        for value in _ticks(self._y, TICKS[1]):
            y = self._at(self._x[0], value).y()
            painter.setPen(QPen(QColor(tokens.line), 1))
            painter.drawLine(QPointF(frame.left(), y), QPointF(frame.right(), y))
            painter.setPen(QColor(tokens.quiet))
            box = QRectF(0, y - 8, LEFT - 8, 16)
            painter.drawText(box, align.AlignRight | align.AlignVCenter, percent(value, 1))
        painter.setPen(QColor(tokens.ink))
        foot = QRectF(frame.left(), self.height() - 22, frame.width(), 18)
        painter.drawText(foot, align.AlignRight, self._words("plane.extraction"))
        painter.drawText(QRectF(8, 8, frame.width(), 18), 0, self._words("plane.strength"))

    def _paint_classic(self, painter: QPainter, tokens: Tokens) -> None:
        box = self._box(CLASSIC_EXTRACTION, CLASSIC_STRENGTH)
        painter.setPen(QPen(QColor(tokens.quiet), 1, Qt.PenStyle.DashLine))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(box)
        painter.drawText(box.bottomLeft() + QPointF(4, 14), self._words("plane.classic_label"))

    def _paint_zone(self, painter: QPainter, tokens: Tokens) -> None:
        zone = self._plane.zone
        if zone is None:
            return
        styles = {"perhaps": Qt.PenStyle.DashLine, "likely": Qt.PenStyle.SolidLine}
        for name, style in styles.items():
            pieces: tuple[Line, ...] = getattr(zone, name)
            painter.setPen(QPen(QColor(tokens.link), 1.8 if name == "likely" else 1.2, style))
            path = _joined([(self._at(*one), self._at(*other)) for one, other in pieces])
            painter.setBrush(_wash(tokens.link))
            painter.drawPath(path)
            if not path.isEmpty():
                top = path.boundingRect()
                painter.setPen(QColor(tokens.link))
                at = QRectF(top.center().x() - 90, top.top() + 3, 180, 16)
                painter.drawText(at, Qt.AlignmentFlag.AlignCenter, self._words(f"plane.{name}"))
        self._paint_last(painter, tokens, zone)

    def _paint_last(self, painter: QPainter, tokens: Tokens, zone: LikedZone) -> None:
        """Paint where the last cup is believed to lie: a cross as wide as its bands."""
        extraction, strength = zone.last
        painter.setPen(QPen(QColor(tokens.ink), 1.4))
        painter.drawLine(self._at(extraction[0], strength[1]), self._at(extraction[2], strength[1]))
        painter.drawLine(self._at(extraction[1], strength[0]), self._at(extraction[1], strength[2]))
        at = self._at(extraction[1], strength[0]) + QPointF(-14, 14)
        painter.drawText(at, self._words("plane.last_label", number=zone.last_number))

    def _paint_next(self, painter: QPainter, tokens: Tokens) -> None:
        plane = self._plane
        if not plane.extraction or not plane.strength:
            return
        box = self._box(
            (plane.extraction[0], plane.extraction[2]), (plane.strength[0], plane.strength[2])
        )
        wash = QColor(tokens.ink)
        wash.setAlpha(20)
        painter.setPen(QPen(QColor(tokens.ink), 1.6))
        painter.setBrush(wash)
        painter.drawEllipse(box)
        painter.drawText(
            QPointF(box.center().x() - 30, box.top() - 6), self._words("plane.next_label")
        )

    def _paint_point(self, painter: QPainter, tokens: Tokens, point: PlanePoint) -> None:
        at = self._at(point.extraction, point.strength)
        colour = QColor(tokens.kept if point.is_good else tokens.ink)
        painter.setPen(QPen(colour, 1.6))
        painter.setBrush(colour if point.is_good else QColor(tokens.sheet))
        if point.is_good:  # a diamond, as in the history
            r = POINT * 1.3
            corners = [QPointF(0, -r), QPointF(r, 0), QPointF(0, r), QPointF(-r, 0)]
            painter.drawPolygon([at + corner for corner in corners])
        else:
            painter.drawEllipse(at, POINT, POINT)
        painter.setPen(QColor(tokens.ink))
        painter.drawText(self._beside(at, str(point.number), painter), str(point.number))

    def _beside(self, at: QPointF, text: str, painter: QPainter) -> QPointF:
        """Return where a text begins: right of its point, or left where another point lies."""
        wide = painter.fontMetrics().horizontalAdvance(text)
        taken = QRectF(at.x() + 9 - POINT, at.y() - POINT - 4, wide + 2 * POINT, 2 * POINT + 8)
        others = [self._at(one.extraction, one.strength) for one in self._plane.points]
        if any(taken.contains(other) for other in others if other != at):
            return at + QPointF(-9 - wide, 4)
        return at + QPointF(9, 4)

    def _frame(self) -> QRectF:
        return QRectF(LEFT, TOP, self.width() - LEFT - RIGHT, self.height() - TOP - FOOT)

    def _at(self, extraction: float, strength: float) -> QPointF:
        frame = self._frame()
        across = (extraction - self._x[0]) / (self._x[1] - self._x[0])
        up = (strength - self._y[0]) / (self._y[1] - self._y[0])
        return QPointF(frame.left() + across * frame.width(), frame.bottom() - up * frame.height())

    def _box(self, extraction: tuple[float, float], strength: tuple[float, float]) -> QRectF:
        return QRectF(self._at(extraction[0], strength[1]), self._at(extraction[1], strength[0]))


def _wash(ink: str) -> QColor:
    wash = QColor(ink)
    wash.setAlpha(28)
    return wash


def _joined(pieces: list[tuple[QPointF, QPointF]]) -> QPainterPath:
    """Return pieces of a line as one path: each is followed by the piece that begins at its end."""
    ends: dict[tuple[int, int], list[int]] = {}
    for place, piece in enumerate(pieces):
        for end in piece:
            ends.setdefault(_rounded(end), []).append(place)
    path, left = QPainterPath(), set(range(len(pieces)))
    while left:
        place = left.pop()
        path.moveTo(pieces[place][0])
        at: QPointF | None = pieces[place][1]
        while at is not None:
            path.lineTo(at)
            following = next((one for one in ends[_rounded(at)] if one in left), None)
            if following is None:
                break
            left.discard(following)
            one, other = pieces[following]
            at = other if _rounded(one) == _rounded(at) else one
    return path


def _rounded(at: QPointF) -> tuple[int, int]:
    return round(at.x() * 64), round(at.y() * 64)


def _around(values: list[float], least: tuple[float, float]) -> tuple[float, float]:
    low, high = min([*values, least[0]]), max([*values, least[1]])
    return low - 0.05 * (high - low), high + 0.05 * (high - low)


def _ticks(ends: tuple[float, float], steps: tuple[float, ...]) -> Iterator[float]:
    low, high = ends
    step = next((one for one in steps if (high - low) / one <= MOST_TICKS), steps[-1])
    number = int(low / step) + 1
    while number * step < high:
        yield number * step
        number += 1
