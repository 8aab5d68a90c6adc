"""A trial's pictures for paper: the d' with its interval, and the evidence pair by pair."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage, QPalette
from PySide6.QtWidgets import QWidget

from halfclick_desktop.desk import Desk
from halfclick_desktop.look import LIGHT
from halfclick_desktop.trial_paths import paths_of
from halfclick_desktop.trial_result_page import Result, interval_drawn
from halfclick_desktop.widgets.evidence_picture import EvidencePicture
from halfclick_desktop.widgets.interval_picture import IntervalPicture

# As wide as the text of a page at the screen's 96 dots an inch, and so many dots each for paper.
WIDTH_PX, DOTS = 640, 4


def pictures_on_paper(desk: Desk, result: Result) -> dict[str, QImage]:
    """Return the pictures of a result by name, in their order, dark on white."""
    pictures: dict[str, QImage] = {}
    drawn = interval_drawn(desk, result)
    if drawn is not None:
        interval = IntervalPicture()
        interval.show_interval(*drawn)
        pictures["interval"] = _on_white(interval)
    if result.run is not None:
        evidence = EvidencePicture(desk.words("trial_page.evidence"))
        evidence.show_paths(paths_of(desk.words, result.view, result.run))
        pictures["evidence"] = _on_white(evidence)
    return pictures


def _on_white(widget: QWidget) -> QImage:
    """Return a widget as it looks on white paper, whatever the theme of the window is."""
    palette = QPalette(widget.palette())
    palette.setColor(QPalette.ColorRole.Window, QColor(LIGHT.sheet))
    palette.setColor(QPalette.ColorRole.WindowText, QColor(LIGHT.ink))
    widget.setStyleSheet(f"background: {LIGHT.sheet}; color: {LIGHT.ink};")
    widget.setPalette(palette)
    widget.resize(WIDTH_PX, widget.sizeHint().height())
    image = QImage(widget.size() * DOTS, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(DOTS)
    image.fill(Qt.GlobalColor.white)
    widget.render(image, QPoint())
    return image
