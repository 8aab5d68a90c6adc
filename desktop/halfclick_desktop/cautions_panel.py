"""In the settings: when caffeine is shown, and every caution to be read again."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.service.caffeine import CaffeineShown, caffeine_shown, show_caffeine
from halfclick.service.cautions import ToldCaution, all_cautions
from halfclick.service.done import Touched
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.field import ChoiceField
from halfclick_desktop.widgets.panel import Panel


class CautionsPanel(Panel):
    """A choice that is kept at once, and a list that opens when it is asked for."""

    changed = Signal(Touched)

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk.words("cautions_panel.title"))
        self._desk = desk
        words = desk.words
        self._shown = ChoiceField(
            words,
            "cautions_panel.shown",
            [(words(f"cautions_panel.shown_{one.value}"), one) for one in CaffeineShown],
        )
        self._shown.edited.connect(self._chosen)
        once = QLabel(words("cautions_panel.once"))
        once.setWordWrap(True)
        once.setProperty("role", "quiet")
        self._read = QPushButton(words("cautions_panel.read"))
        self._read.setCheckable(True)
        self._read.toggled.connect(self._show_list)
        self._list = _list(desk)
        self._list.hide()
        row = QHBoxLayout()
        row.addWidget(self._read)
        row.addStretch(1)
        self.add(self._shown)
        self.add(once)
        self.add(row)
        self.add(self._list)

    def reload(self, touched: Touched) -> None:
        """Read the choice again where it may have changed."""
        if touched & Touched.SETTINGS:
            self._shown.show_value(caffeine_shown(self._desk.store))

    def _chosen(self) -> None:
        shown = CaffeineShown(str(self._shown.value()))
        done = show_caffeine(self._desk.store, shown, clock=self._desk.clock)
        self.changed.emit(done.touched)

    def _show_list(self, shown: bool) -> None:
        code = "cautions_panel.put_away" if shown else "cautions_panel.read"
        self._read.setText(self._desk.words(code))
        self._list.setVisible(shown)


def _list(desk: Desk) -> QWidget:
    content = QWidget()
    column = QVBoxLayout(content)
    column.setContentsMargins(0, INSIDE, 0, 0)
    column.setSpacing(GROUPS)
    for told in all_cautions():
        column.addLayout(_entry(desk, told))
    return content


def _entry(desk: Desk, told: ToldCaution) -> QVBoxLayout:
    words = desk.words
    column = QVBoxLayout()
    column.setSpacing(INSIDE // 2)
    source = words("caution.source", text=words.sentence(told.source))
    for text, role in (
        (words(f"caution.name_{told.caution.value}"), "caution"),
        (words.sentence(told.message), "body"),
        (source, "label"),
    ):
        label = QLabel(text)
        label.setProperty("role", role)
        label.setWordWrap(True)
        column.addWidget(label)
    return column
