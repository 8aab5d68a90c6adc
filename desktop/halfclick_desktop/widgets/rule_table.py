"""The list of the rule book: a row a rule, its state in words."""

from collections.abc import Sequence

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QHeaderView, QTableWidget, QTableWidgetItem

from halfclick.wording import Wording
from halfclick_desktop.look import INSIDE

COLUMNS = ("state", "rule", "evidence")
ROW_PX = 30
ROUND_TEXT_PX = 14  # above and below the lines of a row
LEAST_WIDE_PX, LEAST_HIGH_PX = 420, 220


class RuleTable(QTableWidget):
    """Shows the rules that are found; letters are left to its page, whose keys they are."""

    chosen = Signal(str)  # a rule's or a law's name

    def __init__(self, words: Wording) -> None:
        super().__init__(0, len(COLUMNS))
        self._names: list[str] = []
        self._lines_for_px = 0  # how wide the titles were as the rows were last given their height
        self.setAccessibleName(words("rules_page.title"))
        self.setHorizontalHeaderLabels([words(f"rules_page.column_{one}") for one in COLUMNS])
        self.setTabKeyNavigation(False)
        self.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        self.setSelectionMode(QTableWidget.SelectionMode.SingleSelection)
        self.setShowGrid(False)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(ROW_PX)
        header = self.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setHighlightSections(False)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        self.currentCellChanged.connect(self._say)
        self.setMinimumSize(LEAST_WIDE_PX, LEAST_HIGH_PX)

    def show_rows(self, rows: Sequence[tuple[str, tuple[str, ...]]], keep: str) -> None:
        """Show rows by their names, and choose the one named, else the first; no choice said."""
        with QSignalBlocker(self):
            self._names = [name for name, _ in rows]
            self.setRowCount(len(rows))
            for number, (_, cells) in enumerate(rows):
                for column, text in enumerate(cells):
                    item = QTableWidgetItem(text)
                    item.setToolTip(text)
                    self.setItem(number, column, item)
            # Once and by itself: a column that follows its contents is measured anew by each.
            for column in (0, 2):
                self.resizeColumnToContents(column)
            self._lines_for_px = 0
            self._give_lines_room()
            if self._names:
                self.choose(keep if keep in self._names else self._names[0])

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._give_lines_room()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._give_lines_room()

    def _give_lines_room(self) -> None:
        """Make each row as high as the lines that its title takes; out of sight it can wait."""
        wide = max(self.columnWidth(1) - 2 * INSIDE - 8, 40)
        if not self.isVisible() or wide == self._lines_for_px:
            return
        self._lines_for_px = wide
        metrics, way = self.fontMetrics(), int(Qt.TextFlag.TextWordWrap.value)
        for number in range(self.rowCount()):
            text = str(self.model().index(number, 1).data() or "")
            lines = metrics.boundingRect(0, 0, wide, 10_000, way, text).height()
            self.setRowHeight(number, max(ROW_PX, lines + ROUND_TEXT_PX))

    def choose(self, name: str) -> None:
        """Choose a row by its name, and bring it into sight."""
        row = self._names.index(name)
        self.setCurrentCell(row, 1)
        place = self.model().index(row, 1)
        self.scrollTo(place, QTableWidget.ScrollHint.PositionAtCenter)

    def name(self) -> str:
        """Return the name of the row chosen; empty where there is none."""
        row = self.currentRow()
        return self._names[row] if 0 <= row < len(self._names) else ""

    def names(self) -> list[str]:
        """Return the names shown, in their order."""
        return list(self._names)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.text().isalpha():
            event.ignore()
        else:
            super().keyPressEvent(event)

    def _say(self) -> None:
        if self.name():
            self.chosen.emit(self.name())
