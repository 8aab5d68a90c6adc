"""The strip along a sheet's foot: settings over cups, the shape says the verdict."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from halfclick.model.tasting import Verdict
from halfclick.service.sheet import StripPoint
from halfclick.wording import Wording
from halfclick_desktop.look import LABEL_PX, Tokens
from halfclick_desktop.setting_labels import setting_labels
from halfclick_desktop.widgets.mark import MarkKind, mark_pixmap
from halfclick_desktop.widgets.painting import begun

LEFT = 56
MARGIN = 20
POINT = 6.0


class GrindStrip(QWidget):
    """Paints the settings of a coffee's cups, and the next one where it is known."""

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._points: tuple[StripPoint, ...] = ()
        self._next: tuple[int, str] | None = None
        self._next_kind = MarkKind.HELD
        self._start = float(LEFT)  # where the axis ends and the cups begin, px
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(words("grind_strip.name"))

    def sizeHint(self) -> QSize:
        return QSize(600, 120)

    def show_points(
        self,
        points: Sequence[StripPoint],
        following: tuple[int, str] | None,
        summary: str,
        kind: MarkKind = MarkKind.HELD,
    ) -> None:
        """Show cups oldest first, and the next one's steps and text and what is done to it."""
        self._points = tuple(point for point in points if point.steps is not None)
        self._next = following
        self._next_kind = kind
        self.setAccessibleDescription(summary)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, tokens = begun(self)
        if self._points or self._next:
            self._paint_all(painter, tokens)
        else:
            painter.setPen(QColor(tokens.quiet))
            text = self._words("grind_strip.empty")
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignVCenter, text)
        painter.end()

    def _paint_all(self, painter: QPainter, tokens: Tokens) -> None:
        texts = {point.steps or 0: point.setting_text for point in self._points}
        if self._next is not None:
            texts[self._next[0]] = self._next[1]
        used = [(point.steps or 0, point.setting_text) for point in self._points]
        labels = setting_labels([*used, self._next] if self._next else used, self._words)
        left = self._start = self._left(labels)
        for steps, text in labels.items():
            y = self._y(steps, texts)
            painter.setPen(QColor(tokens.quiet))
            box = QRectF(0, y - 8, left - 12, 16)
            painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, text)
            painter.setPen(QPen(QColor(tokens.line), 1))
            painter.drawLine(QPointF(left, y), QPointF(self.width() - MARGIN, y))
        for index, point in enumerate(self._points):
            if point.break_before is not None:
                self._paint_break(painter, tokens, index, point)
            self._paint_point(
                painter, tokens, QPointF(self._x(index), self._y(point.steps, texts)), point
            )
        if self._next is not None:
            pixmap = mark_pixmap(self._next_kind, tokens, 18, self.devicePixelRatioF())
            x, y = self._x(len(self._points)), self._y(self._next[0], texts)
            painter.drawPixmap(QPointF(x - 9, y - 9), pixmap)
            moved = self._next_kind is MarkKind.CHANGED
            painter.setPen(QColor(tokens.change if moved else tokens.quiet))
            painter.drawText(QPointF(x + 14, y + 4), self._words("grind_strip.next"))

    def _left(self, labels: dict[int, str]) -> float:
        font = self.font()
        font.setPixelSize(LABEL_PX)
        measure = QFontMetrics(font)
        widest = max((measure.horizontalAdvance(text) for text in labels.values()), default=0)
        return float(max(LEFT, widest + 16))

    def _paint_point(
        self, painter: QPainter, tokens: Tokens, at: QPointF, point: StripPoint
    ) -> None:
        if point.verdict is Verdict.KEEP:
            painter.setPen(QPen(QColor(tokens.kept), 1.6))
            painter.setBrush(QColor(tokens.kept))
            painter.save()
            painter.translate(at)
            painter.rotate(45)
            painter.drawRect(QRectF(-POINT * 0.8, -POINT * 0.8, POINT * 1.6, POINT * 1.6))
            painter.restore()
        else:
            painter.setPen(QPen(QColor(tokens.ink), 1.6))
            painter.setBrush(QColor(tokens.sheet))
            painter.drawEllipse(at, POINT, POINT)

    def _paint_break(
        self, painter: QPainter, tokens: Tokens, index: int, point: StripPoint
    ) -> None:
        x = (self._x(index) + self._x(index - 1)) / 2 if index else self._x(0) - 16
        painter.setPen(QPen(QColor(tokens.quiet), 1, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(x, 4), QPointF(x, self.height() - 4))
        if point.break_before is not None:
            word = self._words(f"history.break_{point.break_before.value}")
            painter.drawText(QPointF(x + 4, 14), word)

    def next_kind(self) -> MarkKind:
        """Return whether the next cup's setting is changed or held."""
        return self._next_kind

    def _x(self, index: int) -> float:
        count = len(self._points) + 1
        room = self.width() - self._start - MARGIN - 80
        return self._start + 24 + index * min(room / max(count - 1, 1), 72.0)

    def _y(self, steps: int | None, texts: dict[int, str]) -> float:
        low, high = min(texts), max(texts)
        share = 0.5 if low == high else ((steps or 0) - low) / (high - low)
        return self.height() - MARGIN - share * (self.height() - 2 * MARGIN)
