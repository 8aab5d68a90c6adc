"""A brew by the clock as it is expected: level to the rim, weight, what runs, slurry."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from halfclick.service.expected import Picture, Strip
from halfclick.wording import Wording, clock
from halfclick_desktop.look import Tokens
from halfclick_desktop.widgets.painting import begun

LEFT = 92
RIGHT = 12
STRIP = 64
STRIPS = 4
BETWEEN = 10
FOOT = 20
TEXT = 15
BAND_ALPHA = 46
STALE_ALPHA = 22
TICKS = (30, 60, 120, 300, 600, 1200)
TICK_PX = 64
FINE = 3  # decimals of a strength, a fraction


class BrewPicture(QWidget):
    """Paints strips over one clock; each a line in its band, named at its left."""

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._picture: Picture | None = None
        self._is_stale = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(words("expected.picture"))

    def sizeHint(self) -> QSize:
        return QSize(360, STRIPS * STRIP + (STRIPS - 1) * BETWEEN + FOOT)

    def minimumSizeHint(self) -> QSize:
        return QSize(240, self.sizeHint().height())

    def show_picture(self, picture: Picture | None) -> None:
        """Show a picture; nothing where there is none."""
        self._picture, self._is_stale = picture, False
        said = self._words.sentence(picture.summary) if picture else ""
        self.setAccessibleDescription(said)
        self.update()

    def show_stale(self, *, stale: bool) -> None:
        """Paint it more quietly where it is of an older plan."""
        self._is_stale = stale
        self.update()

    def is_stale(self) -> bool:
        """Return whether it is painted as that of an older plan."""
        return self._is_stale

    def paintEvent(self, event: QPaintEvent) -> None:
        picture = self._picture
        if picture is None:
            return
        painter, tokens = begun(self)
        for place, strip in enumerate(picture.strips):
            box = QRectF(LEFT, place * (STRIP + BETWEEN), self.width() - LEFT - RIGHT, STRIP)
            self._paint_strip(painter, tokens, strip, picture, box)
        self._paint_clock(painter, tokens, picture)
        painter.end()

    def _paint_strip(
        self, painter: QPainter, tokens: Tokens, strip: Strip, picture: Picture, box: QRectF
    ) -> None:
        painter.setPen(QPen(QColor(tokens.line), 1))
        painter.drawLine(box.bottomLeft(), box.bottomRight())
        painter.drawLine(box.topLeft(), box.bottomLeft())
        ink = QColor(tokens.quiet if self._is_stale else tokens.ink)
        wash = QColor(ink)
        wash.setAlpha(STALE_ALPHA if self._is_stale else BAND_ALPHA)
        high = self._points(strip, strip.high, picture, box)
        low = self._points(strip, strip.low, picture, box)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(wash)
        painter.drawPolygon(QPolygonF([*high, *reversed(low)]))
        painter.setPen(QPen(ink, 1.6))
        painter.drawPolyline(QPolygonF(self._points(strip, strip.middle, picture, box)))
        if strip.limit is not None:
            self._paint_limit(painter, tokens, strip, strip.limit, box)
        self._paint_names(painter, tokens, strip, box)

    def _paint_limit(
        self, painter: QPainter, tokens: Tokens, strip: Strip, limit: float, box: QRectF
    ) -> None:
        y = _y(strip, limit, box)
        painter.setPen(QPen(QColor(tokens.caution), 1.4, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
        painter.setPen(QColor(tokens.caution))
        label = QRectF(box.left(), y + 1, box.width() - 4, TEXT)
        painter.drawText(label, Qt.AlignmentFlag.AlignRight, self._words("expected.rim"))

    def _paint_names(self, painter: QPainter, tokens: Tokens, strip: Strip, box: QRectF) -> None:
        right = Qt.AlignmentFlag.AlignRight
        column = QRectF(0, box.top(), LEFT - 6, TEXT)
        painter.setPen(QColor(tokens.quiet))
        painter.drawText(column, right, self._measure(strip, strip.top))
        column.moveTop(box.bottom() - TEXT + 2)
        painter.drawText(column, right, self._measure(strip, strip.bottom))
        column.moveTop(box.center().y() - TEXT / 2)
        painter.setPen(QColor(tokens.ink))
        painter.drawText(column, right, self._words(f"expected.strip_{strip.name}"))

    def _paint_clock(self, painter: QPainter, tokens: Tokens, picture: Picture) -> None:
        box = QRectF(LEFT, 0, self.width() - LEFT - RIGHT, self.height() - FOOT)
        last_s = picture.clock_s[-1]
        painter.setPen(QPen(QColor(tokens.quiet), 1))
        for start_s in picture.pours_s:
            x = box.left() + box.width() * start_s / last_s
            painter.drawLine(QPointF(x, box.bottom() - 1), QPointF(x, box.bottom() + 4))
        every_s = _every_s(last_s, box.width())
        for count in range(int(last_s // every_s) + 1):
            x = box.left() + box.width() * count * every_s / last_s
            place = QRectF(x - 30, box.bottom() + 5, 60, TEXT)
            if place.right() <= self.width() + 10:
                painter.drawText(place, Qt.AlignmentFlag.AlignHCenter, clock(count * every_s))

    def _measure(self, strip: Strip, value: float) -> str:
        if strip.unit == "mm":
            return self._words("expected.mm", value=float(round(value)))
        if strip.unit == "strength":
            return self._words.quantity(strip.unit, round(value, FINE))
        return self._words.quantity(strip.unit, float(round(value)))

    def _points(
        self, strip: Strip, values: tuple[float, ...], picture: Picture, box: QRectF
    ) -> list[QPointF]:
        last_s = picture.clock_s[-1]
        return [
            QPointF(box.left() + box.width() * time_s / last_s, _y(strip, value, box))
            for time_s, value in zip(
                picture.clock_s[: strip.ends], values[: strip.ends], strict=True
            )
        ]


def _y(strip: Strip, value: float, box: QRectF) -> float:
    share = (value - strip.bottom) / (strip.top - strip.bottom)
    return box.bottom() - share * box.height()


def _every_s(last_s: float, width: float) -> float:
    """Return after how many seconds the clock is printed again, so that its times have room."""
    most = max(width / TICK_PX, 1.0)
    return next((float(every) for every in TICKS if last_s / every <= most), float(TICKS[-1]))
