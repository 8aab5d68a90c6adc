"""Pictures read with care: decoded within limits, off the main thread."""

from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QSize, Qt
from PySide6.QtGui import QImage, QImageReader

# More than any camera of a phone takes, and far less than memory: a small file can claim any size.
MOST_PIXELS = 120_000_000


def decodes(content: bytes, kind: str) -> bool:
    """Return whether bytes are a whole picture of a format: "png", "jpeg" or "webp"."""
    data = QByteArray(content)
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    reader = QImageReader(buffer, QByteArray(kind.encode()))
    return _is_sensible(reader.size()) and not reader.read().isNull()


def thumbnail(place: Path, size_px: int) -> QImage | None:
    """Return a picture no larger than a square, upright; None where it cannot be read."""
    reader = QImageReader(str(place))
    reader.setAutoTransform(True)
    size = reader.size()
    if not _is_sensible(size):
        return None
    reader.setScaledSize(size.scaled(QSize(size_px, size_px), Qt.AspectRatioMode.KeepAspectRatio))
    image = reader.read()
    return None if image.isNull() else image


def _is_sensible(size: QSize) -> bool:
    return size.isValid() and 0 < size.width() * size.height() <= MOST_PIXELS
