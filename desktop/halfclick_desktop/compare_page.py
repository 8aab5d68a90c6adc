"""Two cups side by side: what differs comes first."""

from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.service.compare import Comparison, Line, Value, compare
from halfclick.service.done import Touched
from halfclick.wording import Message, number, quantity
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, THOUGHTS
from halfclick_desktop.text import UNKNOWN, day
from halfclick_desktop.widgets.record_table import RecordTable, fits_width


class ComparePage(QWidget):
    """Shows two brews; Escape goes back."""

    changed = Signal(Touched)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._pair: tuple[UUID, UUID] | None = None
        words = desk.words
        title = QLabel(words("compare_page.title"))
        title.setProperty("role", "heading")
        self._which = QLabel()
        self._which.setWordWrap(True)
        self._said = QLabel()
        self._said.setWordWrap(True)
        self._said.setProperty("role", "next")
        columns = [words(f"compare_page.column_{n}") for n in ("differs", "thing", "one", "other")]
        self._table = RecordTable(columns, words("compare_page.title"))
        fits_width(self._table)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        for widget in (title, self._which, self._said):
            whole.addWidget(widget)
        whole.addWidget(self._table, 1)
        self.setFocusProxy(self._table)

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
        sides = []
        for cup, name in zip((found.one, found.other), found.coffee_names, strict=True):
            brewed_on = day(cup.brew.started_at.astimezone().date())
            sides.append(words("compare_page.cup", number=cup.number, name=name, date=brewed_on))
        self._which.setText(words("compare_page.which", one=sides[0], other=sides[1]))
        self._said.setText(words.sentence(found.said))
        self._table.show_rows([self._cells(line) for line in found.lines])

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
        return quantity(unit, value) if "_" in unit or unit == "strength" else number(value)
