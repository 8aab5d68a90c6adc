"""A coffee's history: the plot, the cup in focus, the chain of reasons, and a table."""

from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QStackedWidget,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from halfclick.model.changes import told
from halfclick.service.coffees import shelf
from halfclick.service.done import Touched
from halfclick.service.history import History, HistoryPoint, coffee_history
from halfclick_desktop.desk import Desk

COLUMNS = ("cup", "date", "age", "setting", "drained", "liking", "verdict", "changed", "why")


class HistoryPage(QWidget):
    """Shows one coffee's cups; the plotting library is loaded when the page is first opened."""

    changed = Signal(Touched)
    sheet_asked = Signal(object)  # coffee id
    print_asked = Signal(object)  # coffee id

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._history: History | None = None
        self._coffee_id: UUID | None = None
        self._plot: QWidget | None = None
        self._build()

    def _build(self) -> None:
        words = self._desk.words
        self._choice = QComboBox()
        self._choice.setAccessibleName(words("history_page.which"))
        self._choice.currentIndexChanged.connect(self._chosen)
        self._by_day = QPushButton(words("history_page.by_day"))
        self._by_day.setCheckable(True)
        self._by_day.toggled.connect(self._show_plot)
        self._as_table = QPushButton(words("history_page.as_table"))
        self._as_table.setCheckable(True)
        self._as_table.toggled.connect(self._show_side)
        self._print = QPushButton(words("print.asked"))
        self._print.setShortcut("Ctrl+P")
        self._print.clicked.connect(self._print_it)
        self._status = QLabel()
        self._status.setProperty("role", "heading")
        self._summary = QLabel()
        self._summary.setWordWrap(True)
        self._summary.setProperty("role", "quiet")
        self._place = QVBoxLayout()
        self._readout = QLabel()
        self._readout.setWordWrap(True)
        self._readout.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._reasons = QListWidget()
        self._reasons.setAccessibleName(words("history_page.reasons"))
        self._reasons.setWordWrap(True)
        self._reasons.setSpacing(6)
        self._reasons.setResizeMode(QListWidget.ResizeMode.Adjust)
        self._reasons.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._table = self._new_table()
        self._side = QStackedWidget()
        self._side.addWidget(self._reasons)
        self._side.addWidget(self._table)
        self._lay_out()
        for key, button in (("D", self._by_day), ("T", self._as_table)):
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.activated.connect(button.toggle)

    def _lay_out(self) -> None:
        words = self._desk.words
        top = QHBoxLayout()
        top.setSpacing(16)
        title = QLabel(words("history_page.title"))
        title.setProperty("role", "heading")
        top.addWidget(title)
        top.addWidget(self._choice, 1)
        top.addWidget(self._by_day)
        top.addWidget(self._as_table)
        top.addWidget(self._print)
        left = QVBoxLayout()
        left.setSpacing(8)
        left.addLayout(self._place, 1)
        left.addWidget(self._readout)
        right = QVBoxLayout()
        right.setSpacing(8)
        self._side_title = QLabel(words("history_page.reasons"))
        self._side_title.setProperty("role", "label")
        right.addWidget(self._side_title)
        right.addWidget(self._side, 1)
        body = QHBoxLayout()
        body.setSpacing(32)
        body.addLayout(left, 3)
        body.addLayout(right, 2)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(32, 24, 32, 24)
        whole.setSpacing(16)
        whole.addLayout(top)
        whole.addWidget(self._status)
        whole.addWidget(self._summary)
        whole.addLayout(body, 1)

    def _new_table(self) -> QTableWidget:
        words = self._desk.words
        table = QTableWidget(0, len(COLUMNS))
        table.setAccessibleName(words("history_page.table"))
        table.setHorizontalHeaderLabels([words(f"history_page.column_{c}") for c in COLUMNS])
        table.setTabKeyNavigation(False)
        table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        table.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        table.verticalHeader().hide()
        table.currentCellChanged.connect(self._table_moved)
        return table

    def show_coffee(self, coffee_id: UUID) -> None:
        """Show one coffee's history."""
        self._coffee_id = coffee_id
        self.reload(Touched.COFFEES | Touched.BREWS)

    def reload(self, touched: Touched) -> None:
        """Read the shelf and the coffee shown again where they may have changed."""
        if not touched & (Touched.COFFEES | Touched.BREWS | Touched.KIT):
            return
        self._fill_choice()
        if self._coffee_id is None:
            self._show_nothing()
            return
        self._history = coffee_history(self._desk.store, self._coffee_id)
        self._show_history()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._show_plot()

    def _fill_choice(self) -> None:
        rows = shelf(self._desk.store, self._desk.clock().date())
        ids = list(dict.fromkeys(row.coffee.id for row in rows))
        names = {row.coffee.id: row.coffee.name for row in rows}
        if self._coffee_id not in names:
            self._coffee_id = ids[0] if ids else None
        self._choice.blockSignals(True)
        self._choice.clear()
        for coffee_id in ids:
            self._choice.addItem(names[coffee_id], coffee_id)
        if self._coffee_id is not None:
            self._choice.setCurrentIndex(ids.index(self._coffee_id))
        self._choice.setVisible(bool(ids))
        self._choice.blockSignals(False)

    def _print_it(self) -> None:
        if self._coffee_id is not None:
            self.print_asked.emit(self._coffee_id)

    def _chosen(self, index: int) -> None:
        self.show_coffee(self._choice.itemData(index))

    def _show_nothing(self) -> None:
        self._history = None
        self._status.setText(self._desk.words("history_page.empty"))
        self._summary.setText("")
        self._readout.setText("")
        self._reasons.clear()
        self._table.setRowCount(0)

    def _show_history(self) -> None:
        history, words = self._history, self._desk.words
        if history is None:
            return
        self._status.setText(words(f"history.status_{history.status.value}"))
        self._summary.setText(words.sentences(history.summary[:-1]))
        self._reasons.clear()
        for point in history.chain:
            self._reasons.addItem(self._told(point))
        self._fill_table(history.points)
        if self.isVisible():
            self._show_plot()

    def _show_plot(self) -> None:
        if self._history is None or not self.isVisible():
            return
        # Loaded here and not at the top: the first import of the plotting library takes longer
        # than a window may stand still, so only who opens this page pays for it.
        from halfclick_desktop.plots.history_plot import HistoryPlot

        if not isinstance(self._plot, HistoryPlot):
            self._plot = HistoryPlot(self._desk.words)
            self._plot.point_focused.connect(self._focused)
            self._place.addWidget(self._plot, 1)
        summary = self._desk.words.sentences(self._history.summary)
        self._plot.show_points(
            self._history.points, by_day=self._by_day.isChecked(), summary=summary
        )
        self._focused(len(self._history.points) - 1)

    def _show_side(self) -> None:
        table = self._as_table.isChecked()
        self._side.setCurrentWidget(self._table if table else self._reasons)
        code = "history_page.table" if table else "history_page.reasons"
        self._side_title.setText(self._desk.words(code))

    def _table_moved(self, row: int, *_: int) -> None:
        from halfclick_desktop.plots.history_plot import HistoryPlot

        if row >= 0 and isinstance(self._plot, HistoryPlot):
            self._plot.focus_point(row)

    def _focused(self, index: int) -> None:
        points = self._history.points if self._history else ()
        self._readout.setText(self._told(points[index]) if 0 <= index < len(points) else "")

    def _told(self, point: HistoryPoint) -> str:
        """Return one cup as a short paragraph: what it was, how it came out, what moved and why."""
        cells = self._cells(point)
        words = self._desk.words
        parts = [words("history_page.cup_line", number=point.cup.number, date=cells["date"])]
        parts += [
            words(f"history_page.said_{name}", text=cells[name])
            for name in ("setting", "drained", "liking", "verdict")
            if cells[name]
        ]
        lines = [", ".join(parts) + "."]
        if cells["changed"]:
            lines.append(words("history_page.said_changed", text=cells["changed"]))
        if cells["why"]:
            lines.append(cells["why"])
        return "\n".join(lines)

    def _cells(self, point: HistoryPoint) -> dict[str, str]:
        words = self._desk.words
        age = "" if point.age_days is None else str(point.age_days)
        verdict = words(f"verdict.{point.verdict.value}") if point.verdict else ""
        liking = "" if point.liking is None else f"{point.liking:g}"
        drained = ""
        if point.drained_s is not None:
            drained = words("history_page.time", drained_time_s=point.drained_s)
        return {
            "cup": str(point.cup.number),
            "date": words("history_page.date", date=point.brewed_on),
            "age": age,
            "setting": point.setting_text,
            "drained": drained,
            "liking": liking,
            "verdict": verdict,
            "changed": ", ".join(words.sentence(told(change)) for change in point.changes),
            "why": words.sentences(point.why),
        }

    def _fill_table(self, points: tuple[HistoryPoint, ...]) -> None:
        self._table.blockSignals(True)
        self._table.setRowCount(len(points))
        for row, point in enumerate(points):
            for column, text in enumerate(self._cells(point).values()):
                self._table.setItem(row, column, QTableWidgetItem(text))
        self._table.resizeColumnsToContents()
        self._table.horizontalHeader().setStretchLastSection(True)
        self._table.blockSignals(False)
