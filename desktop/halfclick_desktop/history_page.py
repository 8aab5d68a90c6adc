"""A coffee's history: the plot, the cup in focus, the chain of reasons, and a table."""

from functools import partial
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QFileDialog,
    QLabel,
    QListWidget,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from halfclick.errors import CoreError
from halfclick.service.ageing import Ageing
from halfclick.service.coffees import is_full
from halfclick.service.corrections import Deleted, bring_back_cup, delete_cup
from halfclick.service.done import Touched
from halfclick.service.history import History, HistoryPoint, is_long
from halfclick_desktop.desk import Desk
from halfclick_desktop.history_read import HistoryRead, read_history
from halfclick_desktop.in_turns import InTurns
from halfclick_desktop.latest import Latest
from halfclick_desktop.widgets.coffee_choice import CoffeeChoice
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.cup_words import COLUMNS, CellRows, cells_of, paragraph_of
from halfclick_desktop.widgets.flow import Flow
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.record_table import RecordTable
from halfclick_desktop.widgets.wrapped_rows import WrappedRows

# The chain of reasons is read, and nobody reads more of it than this.
MOST_REASONS = 60


class HistoryPage(QWidget):
    """Shows one coffee's cups; the plotting library is loaded when the page is first opened."""

    changed = Signal(Touched)
    sheet_asked = Signal(object)  # coffee id
    print_asked = Signal(object)  # coffee id
    cup_asked = Signal(object)  # brew id
    taste_asked = Signal(object)  # brew id
    compare_asked = Signal(object, object)  # brew ids
    search_asked = Signal()
    plane_asked = Signal(object)  # coffee id

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._history: History | None = None
        self._ageing: Ageing | None = None
        self._coffee_id: UUID | None = None
        self._stale = False  # whether another coffee is to be read when the page is next seen
        self._reading = Latest(desk.jobs, self)
        self._reading.done.connect(self._show_long)
        self._reading.failed.connect(self._failed)
        self._filling = InTurns(self)
        self._plot: QWidget | None = None
        self._deleted: Deleted | None = None
        self._in_focus = -1
        self._build()

    def _build(self) -> None:
        words = self._desk.words
        self._choice = CoffeeChoice(words("history_page.which"))
        self._choice.chosen.connect(self.show_coffee)
        self._status = styled("heading", wrap=False)
        self._summary = styled("quiet")
        self._notice = Notice(words)
        self._notice.undo_asked.connect(self._bring_back)
        self._place = QVBoxLayout()
        self._readout = QLabel()
        self._readout.setWordWrap(True)
        self._readout.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._reasons = QListWidget()
        self._reasons.setAccessibleName(words("history_page.reasons"))
        self._reasons.setWordWrap(True)
        self._reasons.setSpacing(6)
        self._reasons.setItemDelegate(WrappedRows(self._reasons))
        self._reasons.setResizeMode(QListWidget.ResizeMode.Adjust)
        self._reasons.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        columns = [words(f"history_page.column_{name}") for name in COLUMNS]
        self._table = RecordTable(columns, words("history_page.table"))
        self._table.row_moved.connect(self._table_moved)
        self._side = QStackedWidget()
        self._side.addWidget(self._reasons)
        self._side.addWidget(self._table)
        self._lay_out()

    def _lay_out(self) -> None:
        words = self._desk.words
        self._by_day = self._button("by_day", "D", checkable=True)
        self._by_age = self._button("by_age", "A", checkable=True)
        self._as_table = self._button("as_table", "T", checkable=True)
        self._by_day.toggled.connect(self._day_toggled)
        self._by_age.toggled.connect(self._age_toggled)
        self._as_table.toggled.connect(self._show_side)
        title = styled("heading", words("history_page.title"), wrap=False)
        self._print = QPushButton(words("print.asked"))
        self._print.setShortcut("Ctrl+P")
        self._print.clicked.connect(self._print_it)
        ways = (self._by_day, self._by_age, self._as_table, self._print)
        top = Flow(title, self._choice, *ways, spread=self._choice)
        self._acts = []
        for name, key, does in (
            ("mend", "E", self._mend),
            ("taste", "R", self._taste),
            ("compare", "C", self._compare),
            ("delete", "Del", self._delete),
            ("export", "X", self._choose_export),
            ("find", "F", self.search_asked.emit),
            ("plane", "S", self._plane),
        ):
            button = self._button(name, key)
            button.clicked.connect(does)
            self._acts.append(button)
        left_side, right_side = QWidget(), QWidget()
        left = QVBoxLayout(left_side)
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(8)
        left.addLayout(self._place, 1)
        left.addWidget(self._readout)
        right = QVBoxLayout(right_side)
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(8)
        self._side_title = styled("label", words("history_page.reasons"), wrap=False)
        right.addWidget(self._side_title)
        right.addWidget(self._side, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(32, 24, 32, 16)
        whole.setSpacing(12)
        whole.addLayout(top)
        whole.addWidget(self._notice)
        whole.addWidget(self._status)
        whole.addWidget(self._summary)
        whole.addWidget(Columns((left_side, 3), (right_side, 2), spacing=32), 1)
        whole.addLayout(Flow(*self._acts))

    def _button(self, name: str, key: str, *, checkable: bool = False) -> QPushButton:
        button = QPushButton(self._desk.words(f"history_page.{name}"))
        button.setCheckable(checkable)
        QShortcut(QKeySequence(key), self).activated.connect(button.click)
        return button

    def show_coffee(self, coffee_id: UUID) -> None:
        """Show one coffee's history."""
        self._coffee_id = coffee_id
        self.reload(Touched.COFFEES | Touched.BREWS)

    def reload(self, touched: Touched) -> None:
        """Read the coffees and the one shown again where they may have changed."""
        if not touched & (Touched.COFFEES | Touched.BREWS | Touched.KIT):
            return
        self._stale = False
        self._filling.drop()
        if self._history is not None and self._history.coffee.id != self._coffee_id:
            self._show_nothing()  # keys must not act on another coffee's cups
        if self._takes_long():
            # Off the main thread, so that the window never stands still.
            self._summary.setText(self._desk.words("history_page.reading"))
            if self._history is None:
                self._status.setText("")
            self._reading.ask(partial(read_history, self._desk, self._coffee_id))
        else:
            self._reading.drop()
            self._show_read(read_history(self._desk, self._coffee_id))
            self._show_reasons()
            self._show_plot()

    def follow_coffee(self, coffee_id: UUID) -> None:
        """Show a coffee's history, read when the page is next seen."""
        if self.isVisible():
            self.show_coffee(coffee_id)
        elif coffee_id != self._coffee_id:
            self._coffee_id, self._stale = coffee_id, True

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._stale:
            self.reload(~Touched.NOTHING)
        elif not self._reading.waits():  # else it is painted once it was read
            self._show_plot()

    def _takes_long(self) -> bool:
        store, coffee_id = self._desk.store, self._coffee_id
        return is_full(store) or (coffee_id is not None and is_long(store, coffee_id))

    def _print_it(self) -> None:
        if self._coffee_id is not None:
            self.print_asked.emit(self._coffee_id)

    def _show_nothing(self) -> None:
        self._history = self._ageing = None
        self._in_focus = -1
        if self._plot is not None:
            self._plot.hide()
        self._status.setText(self._desk.words("history_page.empty"))
        self._summary.setText("")
        self._readout.setText("")
        self._reasons.clear()
        self._table.show_rows([])
        self._allow()

    def _show_long(self, found: HistoryRead) -> None:
        """Show what was read of many cups, some in each turn."""
        if not self._stale:  # else another coffee was asked for since
            self._show_read(found)
            self._filling.do(self._show_reasons, self._show_plot)

    def _show_read(self, found: HistoryRead) -> None:
        self._coffee_id = found.history.coffee.id if found.history else None
        self._choice.show_coffees(found.coffees, self._coffee_id)
        if found.history is None:
            self._show_nothing()
            return
        self._history, self._ageing = found.history, found.ageing
        history = found.history
        words = self._desk.words
        self._status.setText(words(f"history.status_{history.status.value}"))
        self._summary.setText(words.sentences(history.summary[:-1]))
        self._show_points()

    def _show_reasons(self) -> None:
        self._reasons.clear()
        if self._history is not None:
            for point in self._history.chain[-MOST_REASONS:]:
                self._reasons.addItem(paragraph_of(self._desk.words, point))

    def _show_points(self) -> None:
        """Show the cups that the plot is of in the table; the newest takes the focus."""
        points = self._points()
        self._in_focus = len(points) - 1
        self._table.blockSignals(True)
        self._table.show_rows(CellRows(self._desk.words, points), self._in_focus)  # type: ignore[arg-type]
        self._table.blockSignals(False)
        self._say_summary()
        self._focused(self._in_focus)

    def _points(self) -> tuple[HistoryPoint, ...]:
        if self._history is None:
            return ()
        if not self._by_age.isChecked() or self._ageing is None:
            return self._history.points
        aged = {point.brew_id for point in self._ageing.points}
        return tuple(point for point in self._history.points if point.cup.brew.id in aged)

    def _say_summary(self) -> None:
        if self._history is None or self._ageing is None:
            return
        messages = self._history.summary[:-1]
        if self._by_age.isChecked():
            messages = (*self._ageing.said, *self._ageing.proposals)
        self._summary.setText(self._desk.words.sentences(messages))

    def _show_plot(self) -> None:
        if self._history is None or self._ageing is None or not self.isVisible():
            return
        # Loaded here and not at the top: the first import of the plotting library takes longer
        # than a window may stand still, so only who opens this page pays for it.
        from halfclick_desktop.plots.history_plot import Along, HistoryPlot

        if not isinstance(self._plot, HistoryPlot):
            self._plot = HistoryPlot(self._desk.words)
            self._plot.point_focused.connect(self._focused)
            self._place.addWidget(self._plot, 1)
        self._plot.show()
        by_age = self._by_age.isChecked()
        along = Along.AGE if by_age else Along.DAYS if self._by_day.isChecked() else Along.CUPS
        self._plot.show_points(
            self._points(),
            along=along,
            summary=self._summary.text(),
            breaks=self._ageing_breaks() if by_age else None,
        )
        self._plot.focus_point(self._in_focus)

    def _ageing_breaks(self) -> dict[int, str]:
        """Return what changed before a cup, by the cup's place among those shown."""
        words = self._desk.words
        points = self._ageing.points if self._ageing else ()
        return {
            index: ", ".join(words(f"input.{name}") for name in point.changed)
            for index, point in enumerate(points)
            if point.changed
        }

    def _day_toggled(self, on: bool) -> None:
        if on and self._by_age.isChecked():
            self._by_age.setChecked(False)
        self._show_plot()

    def _age_toggled(self, on: bool) -> None:
        if on:
            self._by_day.setChecked(False)
        self._show_points()
        self._show_plot()

    def _show_side(self) -> None:
        table = self._as_table.isChecked()
        self._side.setCurrentWidget(self._table if table else self._reasons)
        code = "history_page.table" if table else "history_page.reasons"
        self._side_title.setText(self._desk.words(code))

    def _table_moved(self, row: int) -> None:
        from halfclick_desktop.plots.history_plot import HistoryPlot

        if isinstance(self._plot, HistoryPlot) and not self._filling.waits():
            self._plot.focus_point(row)
        else:
            self._focused(row)

    def _focused(self, index: int) -> None:
        points = self._points()
        self._in_focus = index if 0 <= index < len(points) else -1
        told = paragraph_of(self._desk.words, points[index]) if self._in_focus >= 0 else ""
        self._readout.setText(told)
        if self._table.chosen() != index and self._in_focus >= 0:
            self._table.blockSignals(True)
            self._table.choose(index)
            self._table.blockSignals(False)
        self._allow()

    def _allow(self) -> None:
        mend, taste, compared, deleted, export, *_ = self._acts
        there = self._in_focus >= 0
        for button in (mend, taste, deleted, export):
            button.setEnabled(there)
        compared.setEnabled(there and len(self._points()) > 1)

    def _brew_id(self) -> UUID | None:
        points = self._points()
        return points[self._in_focus].cup.brew.id if self._in_focus >= 0 else None

    def _mend(self) -> None:
        self.cup_asked.emit(self._brew_id())

    def _plane(self) -> None:
        if self._coffee_id is not None:
            self.plane_asked.emit(self._coffee_id)

    def _taste(self) -> None:
        self.taste_asked.emit(self._brew_id())

    def _compare(self) -> None:
        """Compare with the cup before, or the first with the one after; others are chosen there."""
        beside = self._in_focus - 1 if self._in_focus else 1
        pair = sorted((beside, self._in_focus))
        self.compare_asked.emit(*(self._points()[one].cup.brew.id for one in pair))

    def _delete(self) -> None:
        brew_id = self._brew_id()
        if brew_id is None:
            return
        number = self._points()[self._in_focus].cup.number
        try:
            done = delete_cup(self._desk.store, brew_id, clock=self._desk.clock)
        except CoreError as error:
            self._failed(error)
            return
        self._deleted = done.value
        self.changed.emit(done.touched)
        self._notice.say(self._desk.words("history_page.deleted", number=number), undo=True)

    def _bring_back(self) -> None:
        if self._deleted is None:
            return
        try:
            done = bring_back_cup(self._desk.store, self._deleted, clock=self._desk.clock)
        except CoreError as error:
            self._failed(error)
            return
        self._deleted = None
        self.changed.emit(done.touched)

    def _choose_export(self) -> None:
        words = self._desk.words
        filters = ";;".join(f"{kind.upper()} (*.{kind})" for kind in ("png", "svg", "csv"))
        place, chosen = QFileDialog.getSaveFileName(
            self, words("history_page.export_title"), "", filters
        )
        if place:
            path = Path(place)
            kind = path.suffix.lstrip(".").lower() or chosen[:3].lower()
            self.export(path.with_suffix(f".{kind}"), kind)

    def export(self, place: Path, kind: str) -> None:
        """Write what is shown to a file, whole or not at all."""
        from halfclick_desktop.plots.export import export_to
        from halfclick_desktop.plots.history_plot import HistoryPlot

        if not isinstance(self._plot, HistoryPlot):
            return
        words = self._desk.words
        heads = [words(f"history_page.column_{name}") for name in COLUMNS]
        rows = [list(cells_of(words, point).values()) for point in self._points()]
        said = export_to(place, kind, self._plot.picture(), [heads, *rows], words)
        self._notice.say(said)

    def _failed(self, error: CoreError) -> None:
        self._notice.say(self._desk.words.sentence(error))
