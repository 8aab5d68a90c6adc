"""The left of the water page: the waters and the stock bottles there are, and their keys."""

from collections.abc import Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QPushButton, QVBoxLayout, QWidget

from halfclick.model.concentrate import Concentrate
from halfclick.model.kit import Water
from halfclick.physics.minerals.hardness_units import HardnessUnit, from_mg_l
from halfclick.service.waters import pair_of
from halfclick.wording import Wording, number
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.text import UNKNOWN
from halfclick_desktop.widgets.field import ChoiceField
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel
from halfclick_desktop.widgets.record_table import RecordTable, name_takes_rest

WIDTH_PX = 372
LEAST_LIST_PX = 104  # a header and two rows


class WaterSide(QWidget):
    """Says which water is looked at, and what is asked of it."""

    water_chosen = Signal(object)  # Water
    unit_chosen = Signal(object)  # HardnessUnit
    asked = Signal(str)  # the name of a key of KEYS

    KEYS = ("add_water", "edit_water", "use_water", "add_stock", "edit_stock", "remove_stock")

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._waters: tuple[Water, ...] = ()
        self._stocks: tuple[Concentrate, ...] = ()
        units = [(words(f"hardness_unit.{unit.value}"), unit) for unit in HardnessUnit]
        self.unit = ChoiceField(words, "water_page.unit", units)
        self.unit.setMinimumWidth(260)  # the page places it
        self.unit.edited.connect(self._unit_edited)
        columns = [words(f"water_page.column_{one}") for one in ("name", "hardness", "alkalinity")]
        self.waters = RecordTable(columns, words("water_page.waters"))
        self.waters.row_moved.connect(self._moved)
        columns = [words(f"water_page.column_{one}") for one in ("stock", "strength")]
        self.stocks = RecordTable(columns, words("water_page.stocks"))
        for table in (self.waters, self.stocks):
            name_takes_rest(table)
            table.setMinimumHeight(LEAST_LIST_PX)
        self._no_stocks = styled("quiet", words("water_page.no_stocks"))
        self.buttons = {name: QPushButton(words(f"water_page.{name}")) for name in self.KEYS}
        for name, button in self.buttons.items():
            button.setAccessibleName(words(f"water_page.{name}_name"))
            button.clicked.connect(partial(self.asked.emit, name))
        self._lay_out()
        self.setMinimumWidth(WIDTH_PX)
        self.setFocusProxy(self.waters)

    def _lay_out(self) -> None:
        words = self._words
        waters, stocks = Panel(words("water_page.waters")), Panel(words("water_page.stocks"))
        waters.add(self.waters, 1)
        waters.add(self._keys_of(("add_water", "edit_water", "use_water")))
        self._no_stocks.setAlignment(Qt.AlignmentFlag.AlignTop)
        stocks.add(self._no_stocks, 1)
        stocks.add(self.stocks, 1)
        stocks.add(self._keys_of(("add_stock", "edit_stock", "remove_stock")))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GROUPS)
        column.addWidget(waters, 3)
        column.addWidget(stocks, 2)

    def _keys_of(self, names: Sequence[str]) -> QGridLayout:
        grid = QGridLayout()
        grid.setSpacing(INSIDE)
        for place, name in enumerate(names):
            grid.addWidget(self.buttons[name], place // 2, place % 2)
        return grid

    def show_kit(
        self,
        waters: tuple[Water, ...],
        stocks: tuple[Concentrate, ...],
        unit: HardnessUnit,
        in_use: UUID | None,
        chosen: UUID | None,
    ) -> None:
        """Show other waters and stocks, and put the choice on one water."""
        self._waters, self._stocks = waters, stocks
        self.unit.show_value(unit)
        places = [place for place, one in enumerate(waters) if one.id == chosen]
        rows = [self._row(one, unit, in_use) for one in waters]
        self.waters.show_rows(rows, places[0] if places else 0)
        gram = self._words("water_page.gram_a_litre")
        self.stocks.show_rows([[one.name, f"{number(one.g_per_l, 2)} {gram}"] for one in stocks])
        self.stocks.setVisible(bool(stocks))
        self._no_stocks.setVisible(not stocks)
        for name in ("edit_stock", "remove_stock"):
            self.buttons[name].setEnabled(bool(stocks))
        for name in ("edit_water", "use_water"):
            self.buttons[name].setEnabled(bool(waters))

    def water(self) -> Water | None:
        """Return the water that is looked at."""
        row = self.waters.chosen()
        return self._waters[row] if 0 <= row < len(self._waters) else None

    def stock(self) -> Concentrate | None:
        """Return the stock that is chosen."""
        row = self.stocks.chosen()
        return self._stocks[row] if 0 <= row < len(self._stocks) else None

    def _row(self, water: Water, unit: HardnessUnit, in_use: UUID | None) -> list[str]:
        words, pair = self._words, pair_of(water)
        decimals = 0 if unit is HardnessUnit.MG_L else 1
        name = words("water_page.in_use", name=water.name) if water.id == in_use else water.name
        if pair is None:
            return [name, UNKNOWN, UNKNOWN]
        return [
            name,
            number(from_mg_l(pair.hardness, unit), decimals),
            number(from_mg_l(pair.alkalinity, unit, alkalinity=True), decimals),
        ]

    def _moved(self, row: int) -> None:
        if 0 <= row < len(self._waters):
            self.water_chosen.emit(self._waters[row])

    def _unit_edited(self) -> None:
        self.unit_chosen.emit(self.unit.value())
