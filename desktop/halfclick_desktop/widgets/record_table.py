"""A table of any length: cells are asked for as they come into view, none are made before."""

from collections.abc import Sequence

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import QHeaderView, QTableView

from halfclick_desktop.widgets.keys import is_return

Index = QModelIndex | QPersistentModelIndex
NOWHERE = QModelIndex()
# Columns fit what these rows hold: measuring them all would take seconds in a long journal.
MEASURED_ROWS = 60


class RowsModel(QAbstractTableModel):
    """Texts by row and column under named columns."""

    def __init__(self, columns: Sequence[str]) -> None:
        super().__init__()
        self._columns = list(columns)
        self._rows: Sequence[Sequence[str]] = ()

    def show_rows(self, rows: Sequence[Sequence[str]]) -> None:
        """Show other rows."""
        self.beginResetModel()
        self._rows = rows
        self.endResetModel()

    def rowCount(self, parent: Index = NOWHERE) -> int:
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = NOWHERE) -> int:
        return 0 if parent.isValid() else len(self._columns)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid() or role not in {
            Qt.ItemDataRole.DisplayRole,
            Qt.ItemDataRole.ToolTipRole,
        }:
            return None
        return self._rows[index.row()][index.column()]

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        if role != Qt.ItemDataRole.DisplayRole or orientation != Qt.Orientation.Horizontal:
            return None
        return self._columns[section]


class RecordTable(QTableView):
    """Shows rows; letters are left to its page, whose keys they are."""

    row_moved = Signal(int)
    row_opened = Signal(int)  # Return, or a double click

    def __init__(self, columns: Sequence[str], name: str) -> None:
        super().__init__()
        self.rows = RowsModel(columns)
        self._fits = True
        self.setModel(self.rows)
        self.setAccessibleName(name)
        self.setTabKeyNavigation(False)
        self.setEditTriggers(QTableView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QTableView.SelectionMode.SingleSelection)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(32)
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setResizeContentsPrecision(MEASURED_ROWS)
        header.setStretchLastSection(True)
        self.selectionModel().currentRowChanged.connect(self._moved)
        self.doubleClicked.connect(self._opened)

    def show_rows(self, rows: Sequence[Sequence[str]], chosen: int = 0) -> None:
        """Show rows, and put the choice on one of them."""
        self.rows.show_rows(rows)
        self._fits = False
        if self.isVisible():
            self._fit_columns()
        if rows:
            self.choose(chosen)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if not self._fits:
            self._fit_columns()

    def _fit_columns(self) -> None:
        """Measure the rows in sight; out of sight a table would measure all it has."""
        self._fits = True
        self.resizeColumnsToContents()
        header = self.horizontalHeader()
        for column in range(self.rows.columnCount() - 1):
            # A long name must not push the other columns out of sight.
            header.resizeSection(column, min(header.sectionSize(column) + 12, 260))

    def choose(self, row: int) -> None:
        """Put the choice on a row."""
        self.setCurrentIndex(self.rows.index(row, 0))

    def chosen(self) -> int:
        """Return which row is chosen; -1 where there is none."""
        return self.currentIndex().row()

    def text(self, row: int, column: int) -> str:
        """Return the text of a cell."""
        return str(self.rows.data(self.rows.index(row, column)))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event) and self.chosen() >= 0:
            self.row_opened.emit(self.chosen())
        elif event.text().isalpha() or event.key() == Qt.Key.Key_Escape:
            event.ignore()
        else:
            super().keyPressEvent(event)

    def _moved(self, index: QModelIndex) -> None:
        if index.isValid():
            self.row_moved.emit(index.row())

    def _opened(self, index: QModelIndex) -> None:
        self.row_opened.emit(index.row())


def fits_width(table: RecordTable) -> None:
    """Share the width evenly among all columns, for tables of a few wide ones."""
    table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)


def name_takes_rest(table: RecordTable) -> None:
    """Give the first column what the others leave, for a narrow table of named things."""
    _as_wide_as_held(table, but=0)


def last_takes_rest(table: RecordTable) -> None:
    """Make each column as wide as what it holds, for a narrow table of numbers."""
    _as_wide_as_held(table, but=table.rows.columnCount() - 1)


def _as_wide_as_held(table: RecordTable, *, but: int) -> None:
    header = table.horizontalHeader()
    header.setStretchLastSection(False)
    header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
    header.setSectionResizeMode(but, QHeaderView.ResizeMode.Stretch)
