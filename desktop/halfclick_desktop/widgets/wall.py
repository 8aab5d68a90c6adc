"""Panels in rows, as many beside one another as there is room for."""

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from halfclick_desktop.look import GROUPS


class Wall(QWidget):
    """Hangs panels in the order they are put up.

    Args:
        most: how many stand in a row at most.
    """

    def __init__(self, most: int) -> None:
        super().__init__()
        self._most = self._across = most
        self._panels: list[QWidget] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(GROUPS)
        self._share()

    def put(self, panel: QWidget) -> None:
        """Put one more panel up."""
        self._grid.addWidget(panel, *divmod(len(self._panels), self._across))
        self._panels.append(panel)

    def minimumSizeHint(self) -> QSize:
        return QSize(self._widest_px(), super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        fit = (self.width() + GROUPS) // (self._widest_px() + GROUPS)
        across = max(1, min(fit, self._most))
        if across != self._across:
            self._across = across
            for place, panel in enumerate(self._panels):
                self._grid.removeWidget(panel)
                self._grid.addWidget(panel, *divmod(place, across))
            self._share()

    def _share(self) -> None:
        for column in range(self._most):
            self._grid.setColumnStretch(column, int(column < self._across))

    def _widest_px(self) -> int:
        return max((panel.minimumSizeHint().width() for panel in self._panels), default=1)
