"""A table somebody else wrote: its first rows, and which of its columns is taken for what."""

from collections.abc import Mapping

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from halfclick.service.table_fields import UNITS, Column, Matching, Unit
from halfclick.store.exchange.table_in import DELIMITERS, Table
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.flow import Flow
from halfclick_desktop.widgets.text_table import TextTable

ROWS_SHOWN = 50
# Two columns of fields, the needed ones first.
ROWS_OF_FIELDS = 11
_NEEDED = frozenset({Column.COFFEE, Column.BREWED_ON, Column.DOSE, Column.WATER})


class TableMatch(QWidget):
    """Shows a table's first rows, and takes the person's word on its columns and units."""

    matching_edited = Signal()
    delimiter_edited = Signal(str)

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._table: Table | None = None
        self._facts = QLabel()
        self._facts.setWordWrap(True)
        self._facts.setProperty("role", "quiet")
        self._delimiter = QComboBox()
        self._delimiter.setAccessibleName(words("bring_in.delimiter"))
        self._delimiter.addItems([words(f"bring_in.delimiter_{n}") for n in range(len(DELIMITERS))])
        self._delimiter.currentIndexChanged.connect(self._delimiter_chosen)
        self._decimal = QComboBox()
        self._decimal.setAccessibleName(words("bring_in.decimal"))
        self._decimal.addItems([words("bring_in.decimal_point"), words("bring_in.decimal_comma")])
        self._decimal.currentIndexChanged.connect(self._edited)
        self._rows = TextTable(words("bring_in.first_rows"))
        self._choices: dict[Column, QComboBox] = {}
        self._units: dict[Column, QComboBox] = {}
        self._lay_out()

    def _lay_out(self) -> None:
        asked = (("delimiter", self._delimiter), ("decimal", self._decimal))
        top = Flow(*(self._asked(code, combo) for code, combo in asked))
        top.setSpacing(GROUPS)
        fields = Columns(*((grid, 1) for grid in self._fields()), spacing=THOUGHTS, as_one=True)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(GROUPS)
        whole.addWidget(self._facts)
        whole.addLayout(top)
        whole.addWidget(self._rows, 2)
        whole.addWidget(fields, 5)

    def _asked(self, code: str, combo: QComboBox) -> QWidget:
        label = QLabel(self._words(f"bring_in.{code}"))
        label.setProperty("role", "label")
        pair = QWidget()
        row = QHBoxLayout(pair)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(INSIDE)
        row.addWidget(label)
        row.addWidget(combo)
        return pair

    def _fields(self) -> list[QWidget]:
        columns = list(Column)
        parts = (columns[:ROWS_OF_FIELDS], columns[ROWS_OF_FIELDS:])
        return [self._grid(part) for part in parts]

    def _grid(self, columns: list[Column]) -> QWidget:
        inside = QWidget()
        grid = QGridLayout(inside)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(INSIDE)
        grid.setVerticalSpacing(INSIDE)
        for row, column in enumerate(columns):
            name = self._words(f"table_column.{column.value}")
            choice = QComboBox()
            choice.setAccessibleName(name)
            choice.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            choice.setMinimumContentsLength(12)
            choice.currentIndexChanged.connect(self._edited)
            self._choices[column] = choice
            label = QLabel(self._words("bring_in.needed", name=name) if column in _NEEDED else name)
            label.setBuddy(choice)
            grid.addWidget(label, row, 0)
            grid.addWidget(choice, row, 1)
            if column in UNITS:
                grid.addWidget(self._unit_choice(column, name), row, 2)
        grid.setColumnStretch(1, 3)
        grid.setColumnStretch(2, 2)
        grid.setRowStretch(len(columns), 1)
        return inside

    def _unit_choice(self, column: Column, name: str) -> QComboBox:
        combo = QComboBox()
        combo.setAccessibleName(self._words("bring_in.unit_of", name=name))
        combo.addItems([self._words(f"table_unit.{unit.value}") for unit in UNITS[column]])
        combo.currentIndexChanged.connect(self._edited)
        self._units[column] = combo
        return combo

    def show_table(self, table: Table, matching: Matching) -> None:
        """Show another table and what its columns are taken for."""
        self._table = table
        code = "bring_in.facts_guessed" if table.guessed_encoding else "bring_in.facts"
        self._facts.setText(self._words(code, name=table.path.name, letters=table.encoding.upper()))
        self._rows.show_rows(table.header, table.sample[:ROWS_SHOWN])
        self._show_choice(self._delimiter, DELIMITERS.index(table.delimiter))
        self._show_choice(self._decimal, int(matching.decimal_comma))
        for column, combo in self._choices.items():
            with QSignalBlocker(combo):
                combo.clear()
                combo.addItem(self._words("bring_in.not_there"))
                combo.addItems([self._header(place) for place in range(len(table.header))])
            self._show_choice(combo, matching.columns.get(column, -1) + 1)
        for column, combo in self._units.items():
            self._show_choice(combo, UNITS[column].index(matching.unit(column)))
        self._show_units()

    def matching(self) -> Matching:
        """Return what the columns are taken for now."""
        columns = {
            column: combo.currentIndex() - 1
            for column, combo in self._choices.items()
            if combo.currentIndex() > 0
        }
        units: Mapping[Column, Unit] = {
            column: UNITS[column][combo.currentIndex()] for column, combo in self._units.items()
        }
        comma = self._decimal.currentIndex() == 1
        return Matching(columns=columns, units=units, decimal_comma=comma)

    def choose(self, column: Column, place: int | None) -> None:
        """Take another column of the table for something, as a person would."""
        self._choices[column].setCurrentIndex(0 if place is None else place + 1)

    def _header(self, place: int) -> str:
        header = self._table.header[place] if self._table else ""
        return header or self._words("bring_in.nameless", number=place + 1)

    def _show_choice(self, combo: QComboBox, index: int) -> None:
        with QSignalBlocker(combo):
            combo.setCurrentIndex(index)

    def _show_units(self) -> None:
        """A unit is asked for only where a column is there to have one."""
        for column, combo in self._units.items():
            combo.setVisible(self._choices[column].currentIndex() > 0)

    def _edited(self) -> None:
        self._show_units()
        self.matching_edited.emit()

    def _delimiter_chosen(self, index: int) -> None:
        self.delimiter_edited.emit(DELIMITERS[index])
