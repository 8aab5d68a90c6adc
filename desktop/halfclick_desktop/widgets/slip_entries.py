"""The slips of a brew that is logged: choose one, give its size, add another."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QWidget,
)

from halfclick.brewing.logged import LOGGED, SIZED, logged_slip
from halfclick.model.brew import Slip, SlipKind
from halfclick.model.recipe import Recipe
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.field import ChoiceField, parsed_measure

LIST_PX = 72
LETTERS = 16
# What a slip makes of the other fields.
HINTS: dict[object, str] = {
    SlipKind.UNTARED_DOSE: "slip_entry.hint_water",
    SlipKind.UNTARED_SERVER: "slip_entry.hint_water",
    SlipKind.TARED_AFTER_BLOOM: "slip_entry.hint_water",
    SlipKind.LOST_TOTAL: "slip_entry.hint_total",
    SlipKind.LATE_CLOCK: "slip_entry.hint_clock",
    SlipKind.RINSE_LEFT: "slip_entry.hint_rinse",
    SlipKind.BYPASS: "slip_entry.hint_bypass",
}


class SlipEntries(QWidget):
    """A slip that is chosen counts, added to the list or not; the page keeps it when asked."""

    add_asked = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._plan: Recipe | None = None
        self._slips: list[Slip] = []
        named = [(words(f"slip_entry.{kind.value}"), kind) for kind in LOGGED]
        self.kind = ChoiceField(
            words, "slip_entry.kind", [(words("slip_entry.none"), None), *named]
        )
        self.kind.narrow_to(LETTERS)
        self.kind.edited.connect(self._show_size)
        self._size_label = QLabel()
        self._size_label.setProperty("role", "label")
        self.size_line = QLineEdit()
        self._size_label.setBuddy(self.size_line)
        self._add = QPushButton(words("slip_entry.add"))
        self._add.clicked.connect(self.add_asked)
        self._listed = _Listed(words)
        self._listed.removed.connect(self._remove)
        self._lay_out()
        self.show_plan(None)

    def _lay_out(self) -> None:
        sizes = QHBoxLayout()
        sizes.setSpacing(INSIDE)
        sizes.addWidget(self.size_line, 1)
        sizes.addWidget(self._add)
        side = QGridLayout()
        side.setVerticalSpacing(INSIDE // 2)
        side.addWidget(self._size_label, 0, 0)
        side.addLayout(sizes, 1, 0)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(THOUGHTS)
        grid.setVerticalSpacing(GROUPS)
        grid.addWidget(self.kind, 0, 0, Qt.AlignmentFlag.AlignTop)
        grid.addLayout(side, 0, 1, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self._listed, 1, 0, 1, 2)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)

    def show_plan(self, plan: Recipe | None) -> None:
        """Begin with no slip, for a brew of this plan."""
        self._plan = plan
        self._slips = []
        self._show_listed()
        self._choose_none()

    def slips(self) -> tuple[Slip, ...]:
        """Return what slipped.

        Raises:
            BadInput: a size is missing, is no number, or cannot be.
        """
        chosen = self._chosen()
        return (*self._slips, chosen) if chosen is not None else tuple(self._slips)

    def _chosen(self) -> Slip | None:
        kind = self.kind.value()
        if kind is None or self._plan is None:
            return None
        kind = SlipKind(str(kind))
        text = self.size_line.text().strip() if kind in SIZED else ""
        amount = parsed_measure(self._words, SIZED.get(kind, ""), text) if text else None
        return logged_slip(kind, amount)

    def keep_chosen(self) -> None:
        """Put the chosen slip on the list, in place of one of its kind.

        Raises:
            BadInput: its size is missing, is no number, or cannot be.
        """
        chosen = self._chosen()
        if chosen is None:
            return
        self._slips = [one for one in self._slips if one.kind is not chosen.kind] + [chosen]
        self._show_listed()
        self._choose_none()
        self.kind.setFocus()

    def _remove(self, row: int) -> None:
        del self._slips[row]
        self._show_listed()

    def _choose_none(self) -> None:
        self.kind.show_value(None)
        self.size_line.clear()
        self._show_size()

    def _show_size(self) -> None:
        kind = self.kind.value()
        sized = kind in SIZED
        label = self._words(f"slip_entry.size_{kind}") if sized else ""
        unit = self._words.units.of(SIZED[SlipKind(str(kind))]) if sized else None
        label = f"{label}, {unit.sign}" if unit else label
        self._size_label.setText(label)
        self.size_line.setAccessibleName(label)
        self.size_line.setVisible(sized)
        self._size_label.setVisible(sized)
        self._add.setVisible(kind is not None)
        self.kind.show_hint(self._words(HINTS[kind]) if kind in HINTS else "")

    def _show_listed(self) -> None:
        self._listed.clear()
        self._listed.addItems([self._told(slip) for slip in self._slips])
        self._listed.setVisible(bool(self._slips))

    def _told(self, slip: Slip) -> str:
        name = self._words(f"slip_entry.{slip.kind.value}")
        if slip.amount is None:
            return name
        return f"{name}, {self._words.quantity(SIZED.get(slip.kind, 'g'), slip.amount)}"


class _Listed(QListWidget):
    """The slips added; Delete takes one off."""

    removed = Signal(int)

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self.setAccessibleName(words("slip_entry.listed"))
        self.setFixedHeight(LIST_PX)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self.currentRow() >= 0:
            self.removed.emit(self.currentRow())
        else:
            super().keyPressEvent(event)
