"""The waters: what is in each, where it lies, and what to add to it."""

from collections.abc import Callable
from functools import partial
from typing import Any
from uuid import UUID, uuid4

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import BadInput, CoreError
from halfclick.model.kit import Water
from halfclick.physics.minerals.hardness_units import HardnessUnit
from halfclick.service.cautions import Place
from halfclick.service.concentrates import (
    add_concentrate,
    bury_concentrate,
    change_concentrate,
    concentrates,
    unbury_concentrate,
)
from halfclick.service.done import Done, Touched
from halfclick.service.kitchens import (
    add_thing,
    change_thing,
    kit_in_use,
    list_kit,
    put_to_use,
)
from halfclick.service.mixing import Proposed, check_bottle, made_water
from halfclick.service.waters import choose_hardness_unit, hardness_unit, report_of, told
from halfclick_desktop.caution_spot import CautionSpot
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.water_side import WIDTH_PX, WaterSide
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.flow import Flow
from halfclick_desktop.widgets.hands_on import HandsOn
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.mix_panel import MixPanel
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.panel import Panel, scrolled, stacked
from halfclick_desktop.widgets.stock_form import StockForm
from halfclick_desktop.widgets.water_form import WaterForm
from halfclick_desktop.widgets.water_report import WaterReportPanel

KEYS = {
    Qt.Key.Key_N: "add_water",
    Qt.Key.Key_E: "edit_water",
    Qt.Key.Key_U: "use_water",
    Qt.Key.Key_S: "add_stock",
    Qt.Key.Key_A: "add_to_it",
}


class WaterPage(HandsOn):
    """Lists waters and stocks at the left; at the right the one looked at, or the one edited."""

    changed = Signal(Touched)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._editing: tuple[str, UUID | None] | None = None
        self._before: Water | None = None  # as the water that is edited was
        self._looked_at: UUID | None = None
        self._take_back: Callable[[], Done[Any]] | None = None
        words = desk.words
        self._unit = HardnessUnit.MG_L
        self._side = WaterSide(words)
        self._form, self._stock_form = WaterForm(words), StockForm(words)
        self._report, self._mix = WaterReportPanel(words), MixPanel(words)
        self._caution = CautionSpot(desk, Place.WATER)
        self._notice = Notice(words)
        self._save = QPushButton(words("kit.save"))
        self._save.setProperty("role", "main")
        self._leave = QPushButton(words("kit.cancel"))
        self._editor = self._editor_panel()
        self._connect()
        self._lay_out()
        self.begin_at(self._side)

    def _editor_panel(self) -> Panel:
        panel = Panel()
        panel.add(self._form)
        panel.add(self._stock_form)
        row = QHBoxLayout()
        row.setSpacing(INSIDE)
        row.addWidget(self._save)
        row.addWidget(self._leave)
        row.addStretch(1)
        panel.add(row)
        panel.hide()
        return panel

    def _connect(self) -> None:
        self._side.water_chosen.connect(self._look_at)
        self._side.unit_chosen.connect(self._choose_unit)
        self._side.asked.connect(self._do)
        self._side.waters.row_opened.connect(partial(self._do, "edit_water"))
        self._side.stocks.row_opened.connect(partial(self._do, "edit_stock"))
        self._form.edited.connect(self._show_typed)
        self._mix.keep_asked.connect(self._keep_made)
        self._save.clicked.connect(self._save_edited)
        self._leave.clicked.connect(self._put_away)
        self._notice.undo_asked.connect(self._undo)
        self._caution.changed.connect(self.changed)

    def _lay_out(self) -> None:
        right = stacked(self._editor, self._report, self._mix)
        right.setContentsMargins(0, 0, GROUPS, 0)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addLayout(self._head())
        whole.addWidget(self._notice)
        whole.addWidget(self._caution)
        whole.addWidget(Columns((_left(self._side), 0), (scrolled(right), 1)), 1)

    def _head(self) -> Flow:
        title = styled("heading", self._desk.words("water_page.title"), wrap=False)
        return Flow(title, self._side.unit, spread=title)

    def reload(self, touched: Touched) -> None:
        """Read the waters again where they may have changed."""
        if not touched & (Touched.KIT | Touched.SETTINGS):
            return
        store = self._desk.store
        self._unit = hardness_unit(store)
        kit = kit_in_use(store)
        in_use = kit.kitchen.water_id if kit else None
        waters, stocks = list_kit(store, Water), concentrates(store)
        self._form.show_unit(self._unit)
        self._mix.show_unit(self._unit)
        self._mix.show_kit(waters, stocks)
        self._side.show_kit(waters, stocks, self._unit, in_use, self._looked_at or in_use)
        self._caution.look()
        water = self._side.water()
        if water is not None:
            self._look_at(water)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if is_return(event) and self._editing is not None:
            press_main(self, self._save)
        elif is_return(event) and self._mixing():
            press_main(self, self._mix.keep)
        elif key == Qt.Key.Key_Escape and self._editing is not None:
            self._put_away()
        elif key in KEYS and self._editing is None and not event.modifiers():
            self._do(KEYS[key])
        else:
            super().keyPressEvent(event)

    def _mixing(self) -> bool:
        focused: QWidget | None = self.focusWidget()  # none where nothing has them
        return focused is not None and self._mix.isAncestorOf(focused)

    def _do(self, name: str) -> None:
        water, stock = self._side.water(), self._side.stock()
        if name == "add_water":
            self._open_water(None)
        elif name == "edit_water" and water is not None:
            self._open_water(water)
        elif name == "use_water" and water is not None:
            self._put_to_use(water)
        elif name == "add_stock":
            self._open("stock", None, "water_page.stock_title")
            self._stock_form.show_stock(None)
        elif name == "edit_stock" and stock is not None:
            self._open("stock", stock.id, "water_page.stock_title")
            self._stock_form.show_stock(stock)
        elif name == "add_to_it":
            self._mix.setFocus()
        elif name == "remove_stock" and stock is not None:
            self._remove_stock(stock.id, stock.name)

    def _open_water(self, water: Water | None) -> None:
        self._before = water
        self._open("water", water.id if water else None, "water_page.water_title")
        self._form.show_water(water)
        self._show_typed()

    def _open(self, kind: str, record_id: UUID | None, title: str) -> None:
        self._editing = (kind, record_id)
        self._editor.show_title(self._desk.words(title))
        self._editor.show()
        is_water = kind == "water"
        form: QWidget = self._form if is_water else self._stock_form
        self._form.setVisible(is_water)
        self._stock_form.setVisible(not is_water)
        self._form.clear_errors()
        self._stock_form.clear_errors()
        self._report.setVisible(is_water)
        self._mix.hide()
        form.setFocus()

    def _put_away(self) -> None:
        self._editing = None
        self._editor.hide()
        self._report.show()
        self._mix.show()
        water = self._side.water()
        if water is not None:
            self._look_at(water)
        self._side.waters.setFocus()

    def _look_at(self, water: Water) -> None:
        if self._editing is not None:
            return
        self._looked_at = water.id
        self._report.show_report(water, report_of(water), self._unit)
        self._mix.show_water(water)

    def _show_typed(self) -> None:
        """Show what the water that is typed would be; nothing new while a number is half typed."""
        try:
            water = self._form.water(uuid4(), self._desk.words("water_page.new_water"))
        except BadInput:
            return  # said beside its field when it is kept
        report = report_of(water)
        self._report.setVisible(report.hardness is not None or report.alkalinity is not None)
        self._report.show_report(water, report, self._unit)

    def _save_edited(self) -> None:
        if self._editing is None:
            return
        kind, record_id = self._editing
        try:
            if kind == "water":
                self._save_water(record_id)
            else:
                self._save_stock(record_id)
        except CoreError as error:
            form = self._form if kind == "water" else self._stock_form
            form.say(error)

    def _save_water(self, record_id: UUID | None) -> None:
        store, clock = self._desk.store, self._desk.clock
        water = told(self._form.water(record_id or uuid4()))
        if self._before is None:
            touched = add_thing(store, water, clock=clock).touched
        else:
            touched = change_thing(store, water, clock=clock).touched
            self._take_back = partial(change_thing, store, self._before, clock=clock)
        self._looked_at = water.id
        self._finish(water.name, touched, undo=record_id is not None)

    def _save_stock(self, record_id: UUID | None) -> None:
        store, clock = self._desk.store, self._desk.clock
        stock = self._stock_form.stock(record_id or uuid4())
        check_bottle(stock)
        if record_id is None:
            touched = add_concentrate(
                store,
                name=stock.name,
                salt=stock.salt,
                g_per_l=stock.g_per_l,
                food_grade=stock.food_grade,
                clock=clock,
            ).touched
        else:
            touched = change_concentrate(store, stock, clock=clock).touched
        self._finish(stock.name, touched, undo=False)

    def _finish(self, name: str, touched: Touched, *, undo: bool) -> None:
        self._editing = None
        self._notice.say(self._desk.words("water_page.kept", name=name), undo=undo)
        self.changed.emit(touched)
        self._put_away()

    def _keep_made(self, proposed: Proposed, name: str) -> None:
        store, clock = self._desk.store, self._desk.clock
        try:
            water = made_water(proposed, name)
            touched = add_thing(store, water, clock=clock).touched
        except CoreError as error:
            self._mix.say(error)
            return
        self._looked_at = water.id
        self._notice.say(self._desk.words("water_page.made", name=water.name))
        self.changed.emit(touched)

    def _put_to_use(self, water: Water) -> None:
        if kit_in_use(self._desk.store) is None:
            return
        done = put_to_use(self._desk.store, water, clock=self._desk.clock)
        self._notice.say(self._desk.words("water_page.used", name=water.name))
        self.changed.emit(done.touched)

    def _remove_stock(self, stock_id: UUID, name: str) -> None:
        store, clock = self._desk.store, self._desk.clock
        done = bury_concentrate(store, stock_id, clock=clock)
        self._take_back = partial(unbury_concentrate, store, stock_id, clock=clock)
        self._notice.say(self._desk.words("water_page.removed", name=name), undo=True)
        self.changed.emit(done.touched)

    def _choose_unit(self, unit: HardnessUnit) -> None:
        done = choose_hardness_unit(self._desk.store, unit, clock=self._desk.clock)
        self.changed.emit(done.touched)
        if self._editing is not None and self._editing[0] == "water":
            self._show_typed()

    def _undo(self) -> None:
        if self._take_back is not None:
            done = self._take_back()
            self._take_back = None
            self.changed.emit(done.touched)


def _left(side: WaterSide) -> QWidget:
    """Return the side with a bar of its own, for windows too low for its lists."""
    area = scrolled(side)
    area.hold_wide(WIDTH_PX + area.verticalScrollBar().sizeHint().width())
    return area
