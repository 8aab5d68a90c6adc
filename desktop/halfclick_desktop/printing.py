"""Sheets on paper: HTML laid out by Qt, the same on a printer, in a PDF and in the preview."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QRectF, QSizeF, Qt, QUrl
from PySide6.QtGui import (
    QAbstractTextDocumentLayout,
    QColor,
    QFont,
    QImage,
    QPageLayout,
    QPageSize,
    QPaintDevice,
    QPainter,
    QPalette,
    QPdfWriter,
    QTextDocument,
)

from halfclick.store.exchange.aside import file_aside
from halfclick.wording import Wording

MARGIN_MM = 18.0
PDF_DPI = 300
MM_PER_INCH = 25.4
BODY_PT = 10.5
FOOT_PT = 8
# The foot takes this much of the page's height off the text.
FOOT_MM = 9.0

PAPERS = {"a4": QPageSize.PageSizeId.A4, "letter": QPageSize.PageSizeId.Letter}


@dataclass(frozen=True, slots=True)
class Sheet:
    """What is printed: a title that names the file too, the body as HTML, and a foot.

    `pictures` are those that the body shows, by the names it has for them.
    """

    title: str
    html: str
    foot: str
    pictures: Mapping[str, QImage] = field(default_factory=dict)


def page_layout(paper: str) -> QPageLayout:
    """Return a paper upright with our margins."""
    margins = QMarginsF(MARGIN_MM, MARGIN_MM, MARGIN_MM, MARGIN_MM)
    return QPageLayout(
        QPageSize(PAPERS[paper]),
        QPageLayout.Orientation.Portrait,
        margins,
        QPageLayout.Unit.Millimeter,
    )


def write_pdf(sheet: Sheet, path: Path, paper: str, words: Wording) -> None:
    """Write a sheet as PDF, aside and then in place.

    Raises:
        StoreUnwritable: the file cannot be written; what was there stays.
    """
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(PDF_DPI)
    writer.setPageLayout(page_layout(paper))
    writer.setTitle(sheet.title)
    writer.setCreator("Halfclick")
    painter = QPainter(writer)
    paint(sheet, writer, painter, words, new_page=writer.newPage)
    painter.end()
    buffer.close()
    with file_aside(path) as stream:
        stream.write(buffer.data().data())


def paint(
    sheet: Sheet,
    device: QPaintDevice,
    painter: QPainter,
    words: Wording,
    *,
    new_page: Callable[[], object],
) -> None:
    """Paint every page of a sheet onto a device whose area is the inside of its margins."""
    area = QSizeF(device.width(), device.height())
    document = _document(sheet, device, area)
    count = document.pageCount()
    for number in range(count):
        if number:
            new_page()
        _paint_page(document, painter, area, number)
        _paint_foot(sheet, painter, area, words("print.page", number=number + 1, total=count))


def preview(sheet: Sheet, paper: str, dpi: int, words: Wording) -> list[QImage]:
    """Return every page of a sheet as a picture."""
    layout = page_layout(paper)
    whole = layout.fullRectPixels(dpi)
    inside = layout.paintRectPixels(dpi)
    scale = QImage(inside.size(), QImage.Format.Format_RGB32)
    _set_dpi(scale, dpi)
    area = QSizeF(inside.size())
    document = _document(sheet, scale, area)
    pages: list[QImage] = []
    for number in range(document.pageCount()):
        page = QImage(whole.size(), QImage.Format.Format_RGB32)
        _set_dpi(page, dpi)
        page.fill(Qt.GlobalColor.white)
        painter = QPainter(page)
        painter.translate(inside.topLeft())
        _paint_page(document, painter, area, number)
        told = words("print.page", number=number + 1, total=document.pageCount())
        _paint_foot(sheet, painter, area, told)
        painter.end()
        pages.append(page)
    return pages


def _set_dpi(image: QImage, dpi: int) -> None:
    dots_per_m = round(dpi * 1000 / MM_PER_INCH)
    image.setDotsPerMeterX(dots_per_m)
    image.setDotsPerMeterY(dots_per_m)


def _document(sheet: Sheet, device: QPaintDevice, area: QSizeF) -> QTextDocument:
    document = QTextDocument()
    document.setDocumentMargin(0)
    font = QFont()
    font.setPointSizeF(BODY_PT)
    document.setDefaultFont(font)
    document.documentLayout().setPaintDevice(device)
    for name, picture in sheet.pictures.items():
        document.addResource(QTextDocument.ResourceType.ImageResource, QUrl(name), picture)
    document.setHtml(sheet.html)
    foot = FOOT_MM / MM_PER_INCH * device.logicalDpiY()
    document.setPageSize(QSizeF(area.width(), area.height() - foot))
    return document


def _paint_page(document: QTextDocument, painter: QPainter, area: QSizeF, number: int) -> None:
    height = document.pageSize().height()
    context = QAbstractTextDocumentLayout.PaintContext()
    # On paper it is black on white, whatever the screen's colours are.
    context.palette.setColor(QPalette.ColorRole.Text, QColor(Qt.GlobalColor.black))
    context.clip = QRectF(0, number * height, area.width(), height)
    painter.save()
    painter.translate(0, -number * height)
    painter.setClipRect(context.clip)
    document.documentLayout().draw(painter, context)
    painter.restore()


def _paint_foot(sheet: Sheet, painter: QPainter, area: QSizeF, page: str) -> None:
    painter.save()
    font = QFont()
    font.setPointSizeF(FOOT_PT)
    painter.setFont(font)
    painter.setPen(QColor(0x44, 0x44, 0x44))
    line = QRectF(0, 0, area.width(), area.height())
    bottom = Qt.AlignmentFlag.AlignBottom
    painter.drawText(line, bottom | Qt.AlignmentFlag.AlignLeft, sheet.foot)
    painter.drawText(line, bottom | Qt.AlignmentFlag.AlignRight, page)
    painter.restore()
