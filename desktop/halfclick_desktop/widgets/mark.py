"""The mark: a dial's tick, half filled for what is changed, hollow for held, full for kept."""

from enum import StrEnum

from PySide6.QtCore import QByteArray, QEvent, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QWidget

from halfclick.wording import Wording
from halfclick_desktop.look import ICONS, Tokens, tokens_of

SIZE_PX = 18


class MarkKind(StrEnum):
    """What a mark says of the thing beside it; the shape comes first, the colour second."""

    CHANGED = "changed"
    HELD = "held"
    KEPT = "kept"


_FILES = {MarkKind.CHANGED: "half.svg", MarkKind.HELD: "hollow.svg", MarkKind.KEPT: "full.svg"}


class ChangeMark(QWidget):
    """Shows whether the thing beside it is changed, held or kept."""

    def __init__(
        self, words: Wording, kind: MarkKind = MarkKind.HELD, size_px: int = SIZE_PX
    ) -> None:
        super().__init__()
        self._words = words
        self._size_px = size_px
        # The drawing and for what it was made: it is read and built once, not at each painting.
        self._drawn: tuple[tuple[MarkKind, Tokens], QSvgRenderer] | None = None
        self.setFixedSize(QSize(size_px, size_px))
        self._kind = kind
        self._say()

    def kind(self) -> MarkKind:
        """Return what the mark says."""
        return self._kind

    def show_kind(self, kind: MarkKind | str) -> None:
        """Show another kind of mark."""
        if self._kind is not MarkKind(kind):
            self._kind = MarkKind(kind)
            self._say()

    def _say(self) -> None:
        self.setAccessibleName(self._words(f"mark.{self._kind.value}"))
        self.update()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._drawing().render(painter, QRectF(self.rect()))
        painter.end()

    def _drawing(self) -> QSvgRenderer:
        wanted = self._kind, tokens_of(self.palette())
        if self._drawn is None or self._drawn[0] != wanted:
            self._drawn = wanted, _renderer(*wanted)
        return self._drawn[1]


def mark_pixmap(kind: MarkKind, tokens: Tokens, size_px: int, scale: float = 1.0) -> QPixmap:
    """Return the mark as a picture, for lists and icons."""
    pixmap = QPixmap(round(size_px * scale), round(size_px * scale))
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    _renderer(kind, tokens).render(painter)
    painter.end()
    pixmap.setDevicePixelRatio(scale)
    return pixmap


def _renderer(kind: MarkKind, tokens: Tokens) -> QSvgRenderer:
    inks = {
        MarkKind.CHANGED: tokens.change,
        MarkKind.HELD: tokens.quiet,
        MarkKind.KEPT: tokens.kept,
    }
    drawing = (ICONS / _FILES[kind]).read_text("utf-8")
    tinted = drawing.replace("currentColor", inks[kind])
    return QSvgRenderer(QByteArray(tinted.encode()))
