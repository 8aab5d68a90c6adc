"""A table of texts as model and view: only what is seen is asked for."""

from collections.abc import Sequence

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtWidgets import QHeaderView, QTableView

Index = QModelIndex | QPersistentModelIndex


class TextModel(QAbstractTableModel):
    """Rows of texts under a header; rows that are short are empty at their end."""

    def __init__(self) -> None:
        super().__init__()
        self._header: Sequence[str] = ()
        self._rows: Sequence[Sequence[str]] = ()

    def show_rows(self, header: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
        """Show other rows."""
        self.beginResetModel()
        self._header, self._rows = header, rows
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        return 0 if parent.isValid() else len(self._header)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if role not in {Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole}:
            return None
        row = self._rows[index.row()]
        return row[index.column()] if index.column() < len(row) else ""

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        if role == Qt.ItemDataRole.DisplayRole and orientation is Qt.Orientation.Horizontal:
            return self._header[section]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        return None


class TextTable(QTableView):
    """Shows texts; nothing in it is edited."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self._model = TextModel()
        self.setModel(self._model)
        self.setTabKeyNavigation(False)
        self.setEditTriggers(QTableView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        self.setWordWrap(False)
        self.verticalHeader().hide()
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        self.horizontalHeader().setStretchLastSection(True)

    def show_rows(self, header: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
        """Show rows, with columns as wide as their first rows ask for."""
        self._model.show_rows(header, rows)
        self.resizeColumnsToContents()

    def texts(self) -> list[list[str]]:
        """Return what is shown."""
        model = self._model
        return [
            [str(model.data(model.index(row, column))) for column in range(model.columnCount())]
            for row in range(model.rowCount())
        ]
