"""Two cups side by side, either of them chosen: what differs comes first."""

from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
)

from halfclick.errors import CoreError
from halfclick.service.compare import Comparison, Line, Value, compare
from halfclick.service.done import Touched
from halfclick.wording import Message, number
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.text import UNKNOWN
from halfclick_desktop.widgets.cup_choice import CupChoice
from halfclick_desktop.widgets.hands_on import HandsOn
from halfclick_desktop.widgets.record_table import RecordTable, fits_width

SIDES = ("one", "other")


class ComparePage(HandsOn):
    """Shows two brews, and Up and Down in a choice takes another; Escape goes back."""

    changed = Signal(Touched)
    trial_asked = Signal(object, object)  # both brews

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._pair: tuple[UUID, UUID] | None = None
        words = desk.words
        title = QLabel(words("compare_page.title"))
        title.setProperty("role", "heading")
        self._chosen = [CupChoice(words, words(f"compare_page.choose_{name}")) for name in SIDES]
        for choice in self._chosen:
            choice.chosen.connect(self._choose)
        self._said = QLabel()
        self._said.setWordWrap(True)
        self._said.setProperty("role", "next")
        columns = [words(f"compare_page.column_{n}") for n in ("differs", "thing", "one", "other")]
        self._table = RecordTable(columns, words("compare_page.title"))
        fits_width(self._table)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(title)
        whole.addLayout(self._choices())
        whole.addWidget(self._said)
        whole.addWidget(self._table, 1)
        self._try = QPushButton(words("compare_page.try_blind"))
        self._try.clicked.connect(self._try_asked)
        keys = QHBoxLayout()
        keys.addWidget(self._try)
        keys.addStretch(1)
        whole.addLayout(keys)
        self.begin_at(self._chosen[1])

    def _choices(self) -> QGridLayout:
        """Return both choices side by side, each under its name."""
        row = QGridLayout()
        row.setHorizontalSpacing(GROUPS)
        row.setVerticalSpacing(INSIDE // 2)
        for column, (name, choice) in enumerate(zip(SIDES, self._chosen, strict=True)):
            label = QLabel(self._desk.words(f"compare_page.label_{name}"))
            label.setProperty("role", "label")
            label.setBuddy(choice)
            row.addWidget(label, 0, column)
            row.addWidget(choice, 1, column)
            row.setColumnStretch(column, 1)
        return row

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.text().lower() == "b":
            self._try.click()
        else:
            super().keyPressEvent(event)

    def _try_asked(self) -> None:
        if self._pair is not None and self._pair[0] != self._pair[1]:
            self.trial_asked.emit(*self._pair)

    def show_brews(self, one_id: UUID, other_id: UUID) -> None:
        """Show two brews."""
        self._pair = (one_id, other_id)
        self.reload(Touched.BREWS)

    def reload(self, touched: Touched) -> None:
        """Compare again where a brew may have changed."""
        if self._pair is None or not touched & (Touched.BREWS | Touched.KIT | Touched.COFFEES):
            return
        try:
            self._show(compare(self._desk.store, *self._pair))
        except CoreError as error:
            # One of them was deleted meanwhile.
            self._pair = None
            self._said.setText(self._desk.words.sentence(error))
            self._table.show_rows([])

    def _show(self, found: Comparison) -> None:
        words = self._desk.words
        for choice, shown in zip(self._chosen, (found.one, found.other), strict=True):
            choice.show_cups(found.choices, shown.brew.id)
        self._said.setText(words.sentence(found.said))
        self._table.show_rows([self._cells(line) for line in found.lines])

    def _choose(self) -> None:
        """Compare the cups that are chosen now."""
        one, other = (choice.brew_id() for choice in self._chosen)
        if one is not None and other is not None:
            self.show_brews(one, other)

    def _cells(self, line: Line) -> list[str]:
        words = self._desk.words
        return [
            words("compare_page.differs" if line.differs else "compare_page.same"),
            words(f"compare.row_{line.code}"),
            self._told(line.unit, line.one),
            self._told(line.unit, line.other),
        ]

    def _told(self, unit: str, value: Value) -> str:
        words = self._desk.words
        if value is None or value == "":
            return UNKNOWN
        if isinstance(value, Message):
            return words.sentence(value)
        if isinstance(value, tuple):
            return ", ".join(words.sentence(one) for one in value)
        if isinstance(value, str):
            return value
        return words.quantity(unit, value) if "_" in unit or unit == "strength" else number(value)
