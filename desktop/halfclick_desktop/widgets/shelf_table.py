"""The table of the shelf: a row a coffee, the same at the first glance and once all is read."""

from collections.abc import Sequence

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHeaderView, QTableWidget, QTableWidgetItem

from halfclick.wording import Wording

MEASURED_ROWS = 50
STRETCHED = (0, 1, 5)
COLUMNS = ("coffee", "label", "age", "left", "cups", "status")


class ShelfTable(QTableWidget):
    """Shows the shelf; letters are left to its page, whose keys they are."""

    def __init__(self, words: Wording) -> None:
        super().__init__(0, len(COLUMNS))
        self.setAccessibleName(words("coffees_page.title"))
        self.setHorizontalHeaderLabels([words(f"coffees_page.column_{name}") for name in COLUMNS])
        self.setTabKeyNavigation(False)
        self.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        self.setSelectionMode(QTableWidget.SelectionMode.SingleSelection)
        self.setShowGrid(False)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(40)
        header = self.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setHighlightSections(False)
        header.setResizeContentsPrecision(MEASURED_ROWS)
        for number in STRETCHED:
            header.setSectionResizeMode(number, QHeaderView.ResizeMode.Stretch)

    def show_cells(self, rows: Sequence[Sequence[str]]) -> None:
        """Show texts, a row a coffee, in the order of the columns."""
        with QSignalBlocker(self):
            self.setRowCount(len(rows))
            for number, cells in enumerate(rows):
                for column, text in enumerate(cells):
                    self.setItem(number, column, QTableWidgetItem(text))
        # Once, and not after every cell: a long shelf would be measured anew each time.
        for column in range(len(COLUMNS)):
            if column not in STRETCHED:
                self.resizeColumnToContents(column)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.text().isalpha():
            event.ignore()
        else:
            super().keyPressEvent(event)


def label_text(words: Wording, process: str | None, roast: str | None) -> str:
    """Return what a label says of process and roast, by their codes."""
    said = [words(f"process.{process}")] if process else []
    said += [words(f"roast.{roast}")] if roast else []
    return ", ".join(said)
