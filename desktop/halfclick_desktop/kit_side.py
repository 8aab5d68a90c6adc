"""The right of the kit page: one form at a time, with its Save and its way out."""

from collections.abc import Callable, Mapping
from itertools import pairwise

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QScrollArea, QStackedWidget, QWidget

from halfclick.service.cautions import Place
from halfclick.service.done import Touched
from halfclick_desktop.caution_spot import CautionSpot
from halfclick_desktop.desk import Desk
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel, scrolled


class MadeWhenAsked(dict[str, QWidget]):
    """Widgets by name, each made when it is first asked for."""

    def __init__(self, makers: Mapping[str, Callable[[], QWidget]]) -> None:
        super().__init__()
        self._makers = makers

    def __missing__(self, name: str) -> QWidget:
        self[name] = self._makers[name]()
        return self[name]


class KitSide(Panel):
    """Shows a form by name, and the caution that belongs to it.

    Args:
        desk: the journal and the clock.
        forms: what makes each form; all of them take longer than a window may stand still.
    """

    changed = Signal(Touched)
    save_asked = Signal()
    left = Signal()

    def __init__(self, desk: Desk, forms: Mapping[str, Callable[[], QWidget]]) -> None:
        super().__init__()
        words = desk.words
        self.forms = MadeWhenAsked(forms)
        self._scrolls: dict[str, QScrollArea] = {}
        self.spots = {
            "zero": CautionSpot(desk, Place.ZERO),
            "water": CautionSpot(desk, Place.WATER),
        }
        for spot in self.spots.values():
            spot.changed.connect(self.changed)
            self.add(spot)
        self._stack = QStackedWidget()
        nothing = styled("quiet", words("kit.nothing_open"))
        nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._stack.addWidget(nothing)
        self.add(self._stack, 1)
        self.save = QPushButton(words("kit.save"))
        self.save.setProperty("role", "main")
        self.save.clicked.connect(self.save_asked)
        self._cancel = QPushButton(words("kit.cancel"))
        self._cancel.clicked.connect(self.left)
        row = QHBoxLayout()
        row.addWidget(self.save)
        row.addWidget(self._cancel)
        row.addStretch(1)
        self.add(row)
        self.put_away()

    def open(self, name: str, title: str) -> None:
        """Show a form under a title, and put the keys on it."""
        self.show_title(title)
        if name not in self._scrolls:
            self._scrolls[name] = scrolled(self.forms[name])
            self._stack.addWidget(self._scrolls[name])
            self._follow(self.forms[name])
        self._stack.setCurrentWidget(self._scrolls[name])
        self._show_spot(name)
        self.save.show()
        self._cancel.show()
        self.forms[name].setFocus()

    def _follow(self, form: QWidget) -> None:
        """Let Tab go from a form's last field to Save, and not to the start of the window."""
        fields = [
            child
            for child in form.findChildren(QWidget)
            if child.focusPolicy() & Qt.FocusPolicy.TabFocus
            and child.focusProxy() is None
            and child.window() is self.window()  # a choice's list is a window of its own
        ]
        for before, after in pairwise([*fields, self.save, self._cancel]):
            QWidget.setTabOrder(before, after)

    def put_away(self) -> None:
        """Show no form."""
        self._show_spot("")
        self.show_title("")
        self._stack.setCurrentIndex(0)
        self.save.hide()
        self._cancel.hide()

    def _show_spot(self, name: str) -> None:
        for place, spot in self.spots.items():
            if place == name:
                spot.look()
            else:
                spot.show_told(None)
