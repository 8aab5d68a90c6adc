"""Log a brew after the fact: the plan stands, only what departed from it is typed."""

from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import BadInput, CoreError
from halfclick.model.grinder import read_setting
from halfclick.model.moves import with_setting
from halfclick.model.recipe import Recipe
from halfclick.service.cautions import Place
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitView, kit_in_use
from halfclick.service.plan import Planned, next_plan, planned_from
from halfclick.service.record import BrewEntry, record_brew
from halfclick_desktop.caution_spot import CautionSpot
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, THOUGHTS
from halfclick_desktop.times import parsed_time
from halfclick_desktop.widgets.field import NumberField, TextField
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.panel import scrolled
from halfclick_desktop.widgets.recipe_words import lever_text, recipe_levers
from halfclick_desktop.widgets.slip_entries import SlipEntries


class LogPage(QWidget):
    """Takes a brew that was made without the guide."""

    changed = Signal(Touched)
    logged = Signal(object)  # the brew's id

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._planned: Planned | None = None
        self._kit: KitView | None = None
        words = desk.words
        self._title = QLabel(words("log_page.title"))
        self._title.setProperty("role", "heading")
        self._plan = QLabel()
        self._plan.setProperty("role", "quiet")
        self._plan.setWordWrap(True)
        self._setting = TextField(words, "log_page.setting")
        self._dose = NumberField(words, "log_page.dose", unit="g")
        self._water = NumberField(words, "log_page.water", unit="g")
        self._temperature = NumberField(words, "log_page.temperature", unit="°C")
        self._drained = TextField(words, "log_page.drained", hint="taste_page.drained_hint")
        self._beverage = NumberField(words, "log_page.beverage", unit="g")
        self._bypass = NumberField(
            words, "log_page.bypass", unit="g", hint="slip_entry.hint_bypass"
        )
        self._note = TextField(words, "log_page.note")
        self._spot = CautionSpot(desk, Place.LOG)
        self._spot.changed.connect(self.changed)
        self._setting.line.editingFinished.connect(self._expect)
        self._slips = SlipEntries(words)
        self._slips.add_asked.connect(self._add_slip)
        self._error = QLabel()
        self._error.setProperty("role", "caution")
        self._error.setWordWrap(True)
        self._save = QPushButton(words("log_page.save"))
        self._save.setProperty("role", "main")
        self._save.clicked.connect(self.save)
        self._lay_out()

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(THOUGHTS)
        grid.setVerticalSpacing(GROUPS)
        fields = (
            self._drained,
            self._setting,
            self._dose,
            self._water,
            self._temperature,
            self._beverage,
        )
        for index, field in enumerate(fields):
            grid.addWidget(field, index // 2, index % 2, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self._slips, 3, 0, 1, 2)
        grid.addWidget(self._bypass, 4, 0)
        grid.addWidget(self._note, 5, 0, 1, 2)
        inside = QWidget()
        whole = QVBoxLayout(inside)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(self._title)
        whole.addWidget(self._plan)
        whole.addLayout(grid)
        whole.addWidget(self._spot)
        whole.addWidget(self._error)
        whole.addWidget(self._save, 0, Qt.AlignmentFlag.AlignLeft)
        whole.addStretch(1)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.addWidget(scrolled(inside))

    def show_bag(self, bag_id: UUID) -> None:
        """Start from what was planned for a bag."""
        self._kit = kit_in_use(self._desk.store)
        if self._kit is None:
            return
        self.show_planned(next_plan(self._desk.store, bag_id, today=self._desk.today()))

    def show_planned(self, planned: Planned) -> None:
        """Start from a plan, on the kit in use."""
        self._planned = planned
        recipe = planned.recipe
        self._show_plan(recipe)
        self._setting.show_text(recipe.setting.text if recipe.setting else "")
        for field in (self._dose, self._water, self._temperature, self._beverage):
            field.show_value(None)
        self._dose.show_example(recipe.dose_g)
        self._water.show_example(recipe.water_g)
        self._temperature.show_example(recipe.temperature_c)
        # Asked for only where the plan has water added to the drink.
        self._bypass.show_value(planned.bypass_g or None)
        self._bypass.setVisible(bool(planned.bypass_g))
        self._drained.show_text("")
        self._note.show_text("")
        self._slips.show_plan(recipe)
        self._spot.look()
        self._error.setText("")
        self._drained.setFocus()
        self._expect()

    def _expect(self) -> None:
        """Have what is expected of the plan as ground worked out, to be kept with the brew."""
        if self._planned is None or self._kit is None:
            return
        recipe, text = self._planned.recipe, self._setting.text()
        if text:
            try:
                recipe = with_setting(recipe, read_setting(self._kit.grinder, self._kit.zero, text))
            except BadInput:
                return  # said when it is to be kept
        self._desk.forecasts.ask(recipe, self._planned.bag_id)

    def reload(self, touched: Touched) -> None:
        """Leave what is being typed, and print the plan anew where units may be others."""
        if touched & Touched.SETTINGS and self._planned is not None:
            self._show_plan(self._planned.recipe)

    def _show_plan(self, recipe: Recipe) -> None:
        told = [lever_text(self._desk.words, lever, recipe) for lever in recipe_levers(recipe)]
        self._plan.setText(self._desk.words("log_page.plan", plan=", ".join(told)))

    def save(self) -> None:
        """Keep the brew, then go on to its taste."""
        if self._planned is None or self._kit is None:
            return
        try:
            entry = self._entry(self._planned, self._kit)
            planned = entry.planned
            expected = self._desk.forecasts.find(planned.recipe, planned.bag_id)
            done = record_brew(
                self._desk.store, entry, self._kit, clock=self._desk.clock, expected=expected
            )
        except CoreError as error:
            self._error.setText(self._desk.words.sentence(error))
            return
        self.changed.emit(done.touched)
        self.logged.emit(done.value.id)

    def _add_slip(self) -> None:
        try:
            self._slips.keep_chosen()
        except CoreError as error:
            self._error.setText(self._desk.words.sentence(error))
            return
        self._error.setText("")

    def _entry(self, planned: Planned, kit: KitView) -> BrewEntry:
        text = self._setting.text()
        if text:
            try:
                setting = read_setting(kit.grinder, kit.zero, text)
            except BadInput as error:
                self._setting.show_error(self._desk.words.sentence(error))
                raise
            recipe = with_setting(planned.recipe, setting)
            planned = planned_from(self._desk.store, planned, recipe)
        time = self._drained.text()
        return BrewEntry(
            planned=planned,
            dose_g=self._dose.value(),
            water_g=self._water.value(),
            temperature_c=self._temperature.value(),
            drained_s=parsed_time(time) if time else None,
            beverage_g=self._beverage.value(),
            bypass_g=self._bypass.value(),
            slips=self._slips.slips(),
            note=self._note.text(),
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            press_main(self, self._save)
        else:
            super().keyPressEvent(event)
