"""How every picture begins, and how it shows that keys go to it."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from halfclick_desktop.look import CORNER, LABEL_PX, Tokens, tokens_of


def begun(picture: QWidget) -> tuple[QPainter, Tokens]:
    """Return a painter on a picture, smooth and in small letters, and its colours."""
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    font = picture.font()
    font.setPixelSize(LABEL_PX)
    painter.setFont(font)
    return painter, tokens_of(picture.palette())


def frame_focus(painter: QPainter, picture: QWidget, tokens: Tokens) -> None:
    """Frame a picture that has the keys."""
    if picture.hasFocus():
        painter.setPen(QPen(QColor(tokens.link), 2))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        frame = QRectF(picture.rect()).adjusted(1, 1, -1, -1)
        painter.drawRoundedRect(frame, CORNER, CORNER)
