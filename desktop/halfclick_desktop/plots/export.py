"""A plot as a file: what is shown as PNG or SVG, its data as CSV."""

import csv
import io
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QRect, QRectF, QSize
from PySide6.QtGui import QImage, QImageWriter, QPainter
from PySide6.QtSvg import QSvgGenerator
from PySide6.QtWidgets import QGraphicsView

from halfclick.wording import Wording

FORMATS = ("png", "svg", "csv")
PNG_SCALE = 2.0


def exported(plot: QGraphicsView, rows: Sequence[Sequence[str]], kind: str) -> bytes:
    """Return a plot in a format; rows, the first of them the columns' names, are for "csv".

    Raises:
        ValueError: there is no such format.
    """
    if kind == "png":
        return _png(plot)
    if kind == "svg":
        return _svg(plot)
    if kind == "csv":
        return csv_of(rows)
    raise ValueError(f"no such format: {kind}")


def export_to(
    place: Path, kind: str, plot: QGraphicsView, rows: Sequence[Sequence[str]], words: Wording
) -> str:
    """Write what is shown to a file, whole or not at all; return the sentence that says so."""
    if kind not in FORMATS:
        return words("history_page.no_format", kind=kind)
    try:
        write_whole(place, exported(plot, rows, kind))
    except OSError as error:
        return words("history_page.not_written", place=str(place), why=str(error))
    return words("history_page.exported", place=str(place))


def write_whole(place: Path, content: bytes) -> None:
    """Write a file aside, then put it in its place, so that none is ever half written.

    Raises:
        OSError: it cannot be written.
    """
    aside = place.with_name(f".{place.name}.part")
    try:
        aside.write_bytes(content)
        aside.replace(place)
    except OSError:
        aside.unlink(missing_ok=True)
        raise


def _png(plot: QGraphicsView) -> bytes:
    picture = QImage(plot.size() * PNG_SCALE, QImage.Format.Format_RGB32)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    plot.render(painter, QRectF(picture.rect()))
    painter.end()
    content = QByteArray()
    buffer = QBuffer(content)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    QImageWriter(buffer, QByteArray(b"png")).write(picture)
    return bytes(content.data())


def _svg(plot: QGraphicsView) -> bytes:
    content = QByteArray()
    buffer = QBuffer(content)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    size: QSize = plot.size()
    generator = QSvgGenerator()
    generator.setOutputDevice(buffer)
    generator.setSize(size)
    generator.setViewBox(QRect(0, 0, size.width(), size.height()))
    generator.setTitle(plot.accessibleName())
    painter = QPainter(generator)
    plot.render(painter, QRectF(0, 0, size.width(), size.height()))
    painter.end()
    return bytes(content.data())


def csv_of(rows: Sequence[Sequence[str]]) -> bytes:
    """Return rows as CSV in UTF-8."""
    text = io.StringIO(newline="")
    csv.writer(text).writerows([_safe(cell) for cell in row] for row in rows)
    # With the mark that has spreadsheets read it as UTF-8.
    return text.getvalue().encode("utf-8-sig")


def _safe(cell: str) -> str:
    """Return a text that no spreadsheet takes for a formula (common practice: a quote before)."""
    return f"'{cell}" if cell[:1] in {"=", "+", "-", "@", "\t", "\r"} else cell
