"""The plan before the kettle: sized from either side, one lever free, the rest locked."""

from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.brew import Mode
from halfclick.model.cup import beverage_g
from halfclick.model.grinder import read_setting
from halfclick.model.kettle_reading import KettleReading
from halfclick.model.moves import with_setting
from halfclick.model.recipe import Lever, Recipe
from halfclick.physics.vessel import RIM_MARGIN_M
from halfclick.service.caffeine import CaffeineShown, caffeine_shown
from halfclick.service.cautions import Place
from halfclick.service.coffees import entry_of, left_in
from halfclick.service.cold_beans import cold_beans
from halfclick.service.done import Touched
from halfclick.service.first_recipe import first_recipe
from halfclick.service.kitchens import KitView, kit_in_use
from halfclick.service.levers import set_lever
from halfclick.service.plan import (
    Planned,
    before_of,
    good_one,
    moves_beside_pours,
    planned_beside,
    sized_for_cup,
    sized_for_dose,
    sized_for_water,
)
from halfclick.service.plan_check import check_plan
from halfclick.service.rim import rim_margin_m
from halfclick.wording import Message
from halfclick_desktop.caution_spot import CautionSpot
from halfclick_desktop.desk import Desk
from halfclick_desktop.expected_spot import ExpectedSpot
from halfclick_desktop.heating import heating_text, readings_at_hand
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.plan_sizer import Sizer
from halfclick_desktop.pours_spot import PoursSpot
from halfclick_desktop.text import typed, typed_measure
from halfclick_desktop.what_if_spot import WhatIfSpot
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.field import NumberField, TextField, parsed_measure
from halfclick_desktop.widgets.flow import Flow
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.lever_row import MEASURED, LeverRow, align
from halfclick_desktop.widgets.panel import Panel, scrolled, stacked
from halfclick_desktop.widgets.plan_keys import PlanKeys
from halfclick_desktop.widgets.reason_list import ReasonList
from halfclick_desktop.widgets.recipe_words import schedule_text


class PlanPage(QWidget):
    """Shows what is about to be brewed and lets the person move it, one lever at a time."""

    changed = Signal(Touched)
    brew_asked = Signal(object)  # Planned
    guests_asked = Signal(object)  # Planned
    caffeine_asked = Signal(object)  # Planned
    print_asked = Signal(object)  # Planned

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._kit: KitView | None = None
        self._planned: Planned | None = None
        self._recipe: Recipe | None = None
        self._unlocked: set[Lever] = set()
        self._sizers: list[Sizer] = []
        # What each move of a lever is held against is read once, not with every key.
        self._befores: dict[UUID | None, Recipe | None] = {}
        self._readings: tuple[KettleReading, ...] = ()
        self._cold: Message | None = None
        self._margin_m = RIM_MARGIN_M
        words = desk.words
        self._title = styled("heading", words("plan_page.title"), wrap=False)
        self._mode = styled("heading", wrap=False)
        self._cup = NumberField(words, "plan_page.cup", unit="g")
        self._dose = NumberField(words, "plan_page.dose", unit="g")
        self._water = NumberField(words, "plan_page.water", unit="g")
        self._rows = {lever: LeverRow(words, lever) for lever in Lever}
        self._why = TextField(words, "plan_page.why", hint="plan_page.why_hint")
        self._schedule = styled("body")
        self._wait = styled("body")
        self._warnings = styled("caution")
        self._error = styled("caution")
        self._reasons = ReasonList(words)
        self._expected = ExpectedSpot(desk)
        self._expected.known.connect(self._show_warnings)
        self._what_if = WhatIfSpot(desk)
        self._fitting = PoursSpot(desk)
        self._fitting.asked.connect(self._find_pours)
        self._fitting.taken.connect(self._take_pours)
        self._fitting.changed.connect(self.changed)
        self._brew = QPushButton(words("plan_page.brew"))
        self._brew.setProperty("role", "main")
        self._brew.clicked.connect(self._start)
        self._good = QPushButton(words("plan_page.good"))
        self._good.clicked.connect(self._take_good)
        self._print = QPushButton(words("print.asked"))
        self._print.setShortcut("Ctrl+P")
        self._print.clicked.connect(self._print_it)
        self._two = QPushButton(words("plan_page.two_mugs"))
        self._two.clicked.connect(self._two_mugs)
        self._all = QPushButton(words("plan_page.all_left"))
        self._all.clicked.connect(self._all_left)
        self._spot = CautionSpot(desk, Place.BREW)
        self._spot.changed.connect(self.changed)
        self._beyond = PlanKeys(words)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        words = self._desk.words
        top = Flow(self._title, self._mode, spread=self._title)
        top.setSpacing(GROUPS)
        size = Panel(words("plan_page.size"))
        sizes = QHBoxLayout()
        sizes.setSpacing(GROUPS)
        for field in (self._dose, self._water, self._cup):
            sizes.addWidget(field, 1)
        size.add(sizes)
        quick = QHBoxLayout()
        quick.setSpacing(INSIDE)
        quick.addWidget(self._two)
        quick.addWidget(self._all)
        quick.addStretch(1)
        size.add(quick)
        left = stacked(self._spot, size, self._levers_panel())
        right = stacked(
            self._warnings, self._pours_panel(), self._expected, self._what_if, self._reasons
        )
        keys = Flow(self._brew, self._good, self._beyond, self._print, self._error)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addLayout(top)
        whole.addWidget(Columns((scrolled(left), 6), (scrolled(right), 5)), 1)
        whole.addLayout(keys)

    def _levers_panel(self) -> Panel:
        levers = Panel(self._desk.words("plan_page.levers"))
        grid = QGridLayout()
        grid.setVerticalSpacing(INSIDE)
        for number, row in enumerate(self._rows.values()):
            grid.addWidget(row, number, 0)
        align(self._rows.values())
        levers.add(grid)
        levers.add(self._why)
        return levers

    def _pours_panel(self) -> Panel:
        pours = Panel(self._desk.words("plan_page.pours"))
        pours.add(self._schedule)
        pours.add(self._wait)
        pours.add(self._fitting)
        return pours

    def _connect(self) -> None:
        for field, sized in (
            (self._dose, sized_for_dose),
            (self._water, sized_for_water),
            (self._cup, sized_for_cup),
        ):
            self._sizers.append(Sizer(self, field, sized))
            field.line.editingFinished.connect(self._sizers[-1].apply)
        for row in self._rows.values():
            row.edited.connect(self._moved)
            row.unlocked.connect(self._unlock)
        self._beyond.guests_asked.connect(self._ask_guests)
        self._beyond.caffeine_asked.connect(self._ask_caffeine)

    def show_planned(self, planned: Planned) -> None:
        """Show a plan; its own change is the lever that is free."""
        store = self._desk.store
        self._look_at_kit()
        self._planned, self._recipe = planned, planned.recipe
        self._unlocked = {change.lever for change in planned.changes}
        first = planned.parent_id is None
        if first:
            self._unlocked = set(Lever)
        self._why.show_text("")
        self._error.setText("")
        self._reasons.setVisible(first)
        if first:
            self._reasons.show_first(first_recipe(store, planned.bag_id, today=self._desk.today()))
        good = planned.mode is Mode.GOOD_ONE
        self._good.setVisible(not good and good_one(store, planned.bag_id) is not None)
        name = entry_of(store, planned.bag_id).name
        self._title.setText(self._desk.words("plan_page.title_of", name=name))
        self._beyond.show_caffeine(caffeine_shown(store) is not CaffeineShown.NEVER)
        self._cold = cold_beans(store, planned.bag_id)
        self._spot.look()
        self._fitting.begin()
        self._expected.show_new(planned.recipe, planned.bag_id)
        self._what_if.show_new(planned.recipe, planned.bag_id)
        self._show()
        if planned.recipe.setting is None:
            self._rows[Lever.GRIND].setFocus()
        else:
            self._brew.setFocus()

    def ask_cups(self) -> None:
        """Ask what the person's own cups say of the plan as it stands, and as levers move."""
        self._what_if.begin()

    def reload(self, touched: Touched) -> None:
        """Print the plan it was given anew, where units, the wait or its forecast may be others."""
        if touched & Touched.SETTINGS:
            self._margin_m = rim_margin_m(self._desk.store)
            self._show()
        if touched & (Touched.KIT | Touched.BREWS):
            self._look_at_kit()
            self._expected.look_again()
            self._what_if.forget()
            if self._kit is not None and self._recipe is not None:
                self._show_wait(self._recipe, self._kit)

    def planned(self) -> Planned | None:
        """Return the plan as it stands, what was moved and the person's reason with it."""
        if self._planned is None or self._recipe is None:
            return None
        words = self._why.text()
        return planned_beside(self._before(), self._planned, self._recipe, words)

    def resize_recipe(self, recipe: Recipe) -> None:
        """Take a recipe of another size."""
        self._recipe = recipe
        self._error.setText("")
        self._show()

    def recipe(self) -> Recipe | None:
        """Return the recipe as it stands."""
        return self._recipe

    def said_of(self, error: CoreError | ValueError) -> str:
        """Return what is wrong with what was typed, as a sentence."""
        if isinstance(error, CoreError):
            return self._desk.words.sentence(error)
        return self._desk.words("plan_page.cannot")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            self._start()
        else:
            super().keyPressEvent(event)

    def _look_at_kit(self) -> None:
        self._kit = kit_in_use(self._desk.store)
        self._readings = readings_at_hand(self._desk, self._kit)
        self._margin_m = rim_margin_m(self._desk.store)
        self._befores.clear()

    def _before(self) -> Recipe | None:
        if self._planned is None or self._recipe is None:
            return None
        setting = self._recipe.setting
        zero_id = setting.zero_id if setting else None
        if zero_id not in self._befores:
            self._befores[zero_id] = before_of(self._desk.store, self._planned, zero_id)
        return self._befores[zero_id]

    def _show(self) -> None:
        recipe, kit, words = self._recipe, self._kit, self._desk.words
        if recipe is None or kit is None or self._planned is None:
            return
        self._dose.show_value(recipe.dose_g)
        self._water.show_value(recipe.water_g)
        self._cup.show_value(float(round(beverage_g(recipe.water_g, recipe.dose_g))))
        texts = self._texts(recipe)
        now = self.planned()
        moved = {change.lever for change in now.changes} if now else set()
        for lever, row in self._rows.items():
            row.show_text(texts[lever], locked=lever not in self._unlocked, moved=lever in moved)
        mode = now.mode if now else Mode.EXPERIMENT
        code = "plan_page.mode_unmoved" if not moved else f"plan_page.mode_{mode.value}"
        if mode is Mode.GOOD_ONE:
            code = "plan_page.mode_good_one"
        elif self._planned.parent_id is None:
            code = "plan_page.mode_first"
        self._mode.setText(words(code, count=len(moved)))
        schedule = schedule_text(words, recipe)
        if now is not None and now.bypass_g:
            line = words("guests_page.bypass_line", bypass_g=now.bypass_g)
            schedule = f"{schedule}\n{line}"
        self._schedule.setText(schedule)
        self._show_wait(recipe, kit)
        self._fitting.keep_to(recipe)
        self._expected.look(recipe, self._planned.bag_id)
        self._what_if.look(recipe, self._planned.bag_id)
        if not self._expected.is_dimmed():  # else they wait for the forecast with its numbers
            self._show_warnings()

    def _show_warnings(self) -> None:
        recipe, kit, words = self._recipe, self._kit, self._desk.words
        if recipe is None or kit is None or self._planned is None:
            return
        left_g = left_in(self._desk.store, self._planned.bag_id)
        warnings = check_plan(recipe, kit, left_g, self._expected.expected(), self._margin_m)
        if self._cold is not None:
            warnings = (*warnings, self._cold)
        self._warnings.setText("\n".join(words.sentence(one) for one in warnings))
        self._warnings.setVisible(bool(warnings))
        self._all.setVisible(left_g is not None)

    def _texts(self, recipe: Recipe) -> dict[Lever, str]:
        words = self._desk.words
        return {
            Lever.GRIND: recipe.setting.text if recipe.setting else "",
            Lever.RATIO: typed(recipe.ratio, 2),
            Lever.TEMPERATURE: typed_measure(words, "c", recipe.temperature_c),
            Lever.POURS: str(len(recipe.pours) - 1),
            Lever.POUR_RATE: typed_measure(words, "g_s", recipe.pours[-1].rate_g_s),
            Lever.BLOOM: typed(recipe.bloom_multiple),
        }

    def _show_wait(self, recipe: Recipe, kit: KitView) -> None:
        said = heating_text(self._desk, kit, recipe, "plan_page.heat", self._readings)
        self._wait.setText(said)
        self._wait.setVisible(bool(said))

    def _moved(self, lever: Lever, text: str) -> None:
        if self._recipe is None or self._kit is None:
            return
        if text and text == self._texts(self._recipe)[lever]:
            self._show()  # as it stood: what was rounded to be shown is no other value
            return
        try:
            self._recipe = self._with(lever, text, self._recipe, self._kit)
        except CoreError as error:
            self._rows[lever].show_error(self._desk.words.sentence(error))
            return
        self._error.setText("")
        self._what_if.begin()  # who moves a lever wants to see what that does
        self._show()

    def _with(self, lever: Lever, text: str, recipe: Recipe, kit: KitView) -> Recipe:
        if lever is Lever.GRIND:
            return with_setting(recipe, read_setting(kit.grinder, kit.zero, text))
        value = parsed_measure(self._desk.words, MEASURED.get(lever, ""), text)
        return set_lever(recipe, kit, lever, value)

    def _unlock(self, lever: Lever) -> None:
        self._unlocked.add(lever)
        self._show()
        self._rows[lever].setFocus()

    def _find_pours(self) -> None:
        now = self.planned()
        if now is None:
            return
        self._fitting.look_for(now.recipe, now.bag_id, second_change=moves_beside_pours(now))

    def _take_pours(self, recipe: Recipe) -> None:
        """Take the pours proposed: the lever of pours is moved by it, and free."""
        self._unlocked.add(Lever.POURS)
        self.resize_recipe(recipe)

    def _two_mugs(self) -> None:
        if self._recipe is not None:
            drink_g = beverage_g(self._recipe.water_g, self._recipe.dose_g)
            try:
                self.resize_recipe(sized_for_cup(self._recipe, 2 * drink_g))
            except (CoreError, ValueError) as error:
                self._cup.show_error(self.said_of(error))

    def _all_left(self) -> None:
        if self._recipe is None or self._planned is None:
            return
        left_g = left_in(self._desk.store, self._planned.bag_id)
        try:
            self.resize_recipe(sized_for_dose(self._recipe, round(left_g or 0.0, 1)))
        except (CoreError, ValueError) as error:
            self._error.setText(self.said_of(error))

    def _take_good(self) -> None:
        if self._planned is None:
            return
        planned = good_one(self._desk.store, self._planned.bag_id)
        if planned is not None:
            self.show_planned(planned)

    def _ask_guests(self) -> None:
        self.guests_asked.emit(self.planned())

    def _ask_caffeine(self) -> None:
        self.caffeine_asked.emit(self.planned())

    def _print_it(self) -> None:
        planned = self.planned()
        if planned is not None:
            self.print_asked.emit(planned)

    def _start(self) -> None:
        if any(row.has_error() for row in self._rows.values()):
            return
        if any(field.error() for field in (self._dose, self._water, self._cup)):
            return
        planned = self.planned()
        if planned is None or self._kit is None:
            return
        if planned.recipe.setting is None:
            self._rows[Lever.GRIND].show_error(self._desk.words("plan_page.needs_setting"))
            self._rows[Lever.GRIND].setFocus()
            return
        self._spot.see()  # who goes on has seen it
        self.brew_asked.emit(planned)
