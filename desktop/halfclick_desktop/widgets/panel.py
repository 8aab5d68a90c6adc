"""A sheet on the page: a titled panel that holds one thought."""

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QLabel,
    QLayout,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from halfclick_desktop.look import GROUPS, INSIDE

ANY_WIDTH_PX = 16_777_215  # Qt's own word for a width without an end


class Panel(QFrame):
    """A sheet with a quiet title; what it holds goes into `body`."""

    def __init__(self, title: str = "", *, role: str = "sheet") -> None:
        super().__init__()
        self.setProperty("role", role)
        self.body = QVBoxLayout(self)
        self.body.setContentsMargins(GROUPS, GROUPS, GROUPS, GROUPS)
        self.body.setSpacing(INSIDE)
        self._title = QLabel(title)
        self._title.setProperty("role", "title")
        self.body.addWidget(self._title)  # first: what has no parent is shown as a window
        self._title.setVisible(bool(title))
        self.setAccessibleName(title)

    def show_title(self, title: str) -> None:
        """Show another title."""
        self._title.setText(title)
        self._title.setVisible(bool(title))
        self.setAccessibleName(title)

    def add(self, content: QWidget | QLayout, stretch: int = 0) -> None:
        """Put a widget or a layout below what the panel holds already."""
        if isinstance(content, QWidget):
            self.body.addWidget(content, stretch)
        else:
            self.body.addLayout(content, stretch)


class Scrolled(QScrollArea):
    """Scrolls up and down only, so it is never narrower than what it holds."""

    def __init__(self) -> None:
        super().__init__()
        self._whole = self._fits = False
        self._least_px = self._held_px = 0

    def show_whole(self, whole: bool) -> None:
        """Be as high as what it holds, for something around it to scroll; or scroll again."""
        self._whole = whole
        policy = Qt.ScrollBarPolicy
        self.setVerticalScrollBarPolicy(
            policy.ScrollBarAlwaysOff if whole else policy.ScrollBarAsNeeded
        )
        self._hold()
        self.updateGeometry()

    def hold_wide(self, wide_px: int) -> None:
        """Be just so wide while it scrolls, and take what room there is where it is shown whole."""
        self._held_px = wide_px
        self._hold()

    def _hold(self) -> None:
        if self._held_px:
            self.setMinimumWidth(self._held_px)
            self.setMaximumWidth(ANY_WIDTH_PX if self._whole else self._held_px)

    def keep_wide(self, least_px: int) -> None:
        """Be no narrower than this, nor than what it holds."""
        self._least_px = least_px
        self.updateGeometry()

    def fit(self) -> None:
        """Be no higher than what it holds, and lower where there is no room for it."""
        self._fits = True

    def hasHeightForWidth(self) -> bool:
        return self._whole

    def heightForWidth(self, width: int) -> int:
        return self._needed_px(width)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._settle()

    def _settle(self) -> None:
        if self._fits:
            self.setMaximumHeight(self._needed_px(self.viewport().width()))

    def _needed_px(self, width: int) -> int:
        content = self.widget()
        if content is None:
            return 0
        high = content.heightForWidth(width) if content.hasHeightForWidth() else -1
        return max(high, content.minimumSizeHint().height(), 0)

    def minimumSizeHint(self) -> QSize:
        least = super().minimumSizeHint()
        content = self.widget()
        if content is None:
            return least
        bar = self.verticalScrollBar().sizeHint().width()
        wide = content.minimumSizeHint().width() + bar
        return QSize(max(wide, self._least_px), least.height())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
            self._settle()
        return super().eventFilter(watched, event)


def scrolled(content: QWidget) -> Scrolled:
    """Return a widget that scrolls up and down where the window is too low for it."""
    area = Scrolled()
    area.setWidget(content)
    area.setWidgetResizable(True)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    # Its fields take the keys, and it scrolls to whichever has them.
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.viewport().setAutoFillBackground(False)
    content.setAutoFillBackground(False)
    return area


def fitted(content: QWidget) -> Scrolled:
    """Return a widget that takes the height it needs, and scrolls where there is less."""
    area = scrolled(content)
    area.fit()
    area.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
    return area


def stacked(*panels: QWidget) -> QWidget:
    """Return panels one below the other, a group's space between them."""
    content = QWidget()
    column = QVBoxLayout(content)
    column.setSpacing(GROUPS)
    column.setContentsMargins(0, 0, 0, 0)
    for panel in panels:
        column.addWidget(panel)
    column.addStretch(1)
    return content
