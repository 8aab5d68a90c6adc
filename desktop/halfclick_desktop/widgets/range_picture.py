"""Where a water lies in published ranges, drawn as bars: a band, a target and the water."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from halfclick_desktop.look import LABEL_PX, Tokens, tokens_of

ROW = 22
TITLE = 24
LABEL_SHARE = 0.23
SAID_SHARE = 0.41
BAND = 8.0
POINT = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One figure: its range, its target and its value on an axis up to `most`."""

    label: str
    band: tuple[float, float] | None
    target: float | None
    value: float | None
    most: float
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """The figures of one source."""

    title: str
    bars: tuple[Bar, ...]


class RangePicture(QWidget):
    """Paints a bar a figure; what lies where is written beside each too."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._groups: tuple[Bars, ...] = ()
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_groups(self, groups: Sequence[Bars]) -> None:
        """Show other bars."""
        self._groups = tuple(groups)
        said = [f"{bar.label}: {bar.said}" for group in groups for bar in group.bars]
        self.setAccessibleDescription("; ".join(said))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        rows = sum(len(group.bars) for group in self._groups)
        return QSize(520, TITLE * len(self._groups) + ROW * rows + 4)

    def minimumSizeHint(self) -> QSize:
        return QSize(420, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        tokens = tokens_of(self.palette())
        y = 0.0
        for group in self._groups:
            self._text(
                painter, tokens.quiet, QRectF(0, y, self.width(), TITLE), group.title, LABEL_PX
            )
            y += TITLE
            for bar in group.bars:
                self._paint_bar(painter, tokens, y, bar)
                y += ROW
        painter.end()

    def _paint_bar(self, painter: QPainter, tokens: Tokens, top: float, bar: Bar) -> None:
        left, width = self.width() * LABEL_SHARE, self.width() * (1 - LABEL_SHARE - SAID_SHARE)
        right, middle = left + width, top + ROW / 2
        self._text(painter, tokens.ink, QRectF(0, top, left - 8, ROW), bar.label)
        box = QRectF(right + 16, top, self.width() - right - 16, ROW)
        self._text(painter, tokens.ink, box, bar.said)

        def at(value: float) -> float:
            return left + width * min(max(value / bar.most, 0.0), 1.0)

        painter.setPen(QPen(QColor(tokens.line), 1))
        painter.drawLine(QPointF(left, middle), QPointF(right, middle))
        if bar.band is not None:
            low, high = (at(end) for end in bar.band)
            painter.setPen(QPen(QColor(tokens.quiet), 1))
            painter.setBrush(QColor(tokens.line))
            painter.drawRect(QRectF(low, middle - BAND / 2, high - low, BAND))
        if bar.target is not None:
            painter.setPen(QPen(QColor(tokens.quiet), 2))
            x = at(bar.target)
            painter.drawLine(QPointF(x, middle - BAND), QPointF(x, middle + BAND))
        if bar.value is not None:
            self._paint_value(painter, tokens, QPointF(at(bar.value), middle))

    def _paint_value(self, painter: QPainter, tokens: Tokens, at: QPointF) -> None:
        x, y = at.x(), at.y()
        painter.setPen(QPen(QColor(tokens.sheet), 1))
        painter.setBrush(QColor(tokens.ink))
        corners = [(0, -POINT), (POINT, 0), (0, POINT), (-POINT, 0)]
        painter.drawPolygon(QPolygonF([QPointF(x + dx, y + dy) for dx, dy in corners]))

    def _text(
        self, painter: QPainter, colour: str, box: QRectF, text: str, pixels: int = 0
    ) -> None:
        font = self.font()
        if pixels:
            font.setPixelSize(pixels)
        painter.setFont(font)
        painter.setPen(QColor(colour))
        shown = painter.fontMetrics().elidedText(
            text, Qt.TextElideMode.ElideRight, int(box.width())
        )
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, shown)
