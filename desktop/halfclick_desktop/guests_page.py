"""For guests: the plan at another size, what changes and why, and the caffeine of the pot."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import BadInput, CoreError
from halfclick.model.cup import beverage_g
from halfclick.physics.scaling import Exponent
from halfclick.service.caffeine import (
    CaffeineShown,
    beans_of,
    caffeine_shown,
    pot_caffeine,
    with_half_decaf,
)
from halfclick.service.cautions import Place
from halfclick.service.coffees import entry_of
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitView, kit_in_use
from halfclick.service.plan import Planned
from halfclick.service.scaling import Scaling, dose_for_guests, learned, scale
from halfclick_desktop.caution_spot import CautionSpot
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.caffeine_panel import CaffeinePanel
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.field import NumberField, YesNoField
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel, scrolled, stacked
from halfclick_desktop.widgets.recipe_words import schedule_text


class GuestsPage(QWidget):
    """Shows a plan at another size; the plan itself is changed only when the size is taken."""

    changed = Signal(Touched)
    taken = Signal(object)  # Planned

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._kit: KitView | None = None
        self._planned: Planned | None = None
        self._scaling: Scaling | None = None
        self._exponent: Exponent | None = None
        self._by_dose = False  # whether the dose was typed, and people share what it gives
        self._applied = False  # whether the Return being handled finished a field
        words = desk.words
        self._title = styled("heading")
        self._people = NumberField(words, "guests_page.people", decimals=0)
        self._cup = NumberField(words, "guests_page.cup", unit="g", decimals=0)
        self._dose = NumberField(words, "guests_page.dose", unit="g")
        self._or = styled("label", words("guests_page.or"))
        self._bypass = YesNoField(words, "guests_page.bypass", hint="guests_page.bypass_hint")
        self._bypass.edited.connect(self._rescale)
        self._dripper = styled("quiet")
        self._line = styled("body")
        self._schedule = styled("body")
        self._told = styled("body")
        self._against = styled("caution")
        self._fine = styled("quiet", words("guests_page.nothing_against"))
        self._error = styled("caution")
        self._spot = CautionSpot(desk, Place.CAFFEINE)
        self._spot.changed.connect(self.changed)
        self._caffeine = CaffeinePanel(words, self._spot)
        self._caffeine.edited.connect(self._show_caffeine)
        self._caffeine.returned.connect(self._share_returned)
        self._caffeine.half_asked.connect(self._note_half)
        self._take = QPushButton(words("guests_page.take"))
        self._take.setProperty("role", "main")
        self._take.clicked.connect(self._took)
        self._ask = QPushButton(words("guests_page.caffeine"))
        self._ask.clicked.connect(self.ask_caffeine)
        shortcut = QShortcut(QKeySequence("Ctrl+K"), self)
        shortcut.activated.connect(self._ask.click)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        words = self._desk.words
        many = Panel(words("guests_page.many"))
        sizes = QHBoxLayout()
        sizes.setSpacing(GROUPS)
        for field in (self._people, self._cup, self._dose):
            sizes.addWidget(field, 1)
        many.add(sizes)
        for widget in (self._or, self._bypass, self._dripper):
            many.add(widget)
        recipe = Panel(words("guests_page.recipe"))
        recipe.add(self._line)
        recipe.add(self._schedule)
        changes = Panel(words("guests_page.changes"))
        for widget in (self._told, self._against, self._fine):
            changes.add(widget)
        left, right = stacked(many, recipe), stacked(self._caffeine, changes)
        keys = QHBoxLayout()
        keys.setSpacing(INSIDE)
        keys.addWidget(self._take)
        keys.addWidget(self._ask)
        keys.addWidget(self._error, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(self._title)
        whole.addWidget(Columns((scrolled(left), 6), (scrolled(right), 5)), 1)
        whole.addLayout(keys)

    def _connect(self) -> None:
        for field, apply in (
            (self._people, self._guests_typed),
            (self._cup, self._guests_typed),
            (self._dose, self._dose_typed),
        ):
            field.line.returnPressed.connect(self._return_pressed)
            field.line.editingFinished.connect(apply)

    def show_planned(self, planned: Planned, *, caffeine: bool = False) -> None:
        """Show a plan as it is, to be scaled; with the caffeine of its pot where that is asked."""
        store, words = self._desk.store, self._desk.words
        self._planned = planned
        self._kit = kit_in_use(store)
        if self._kit is None:
            return
        self._title.setText(words("guests_page.title", name=entry_of(store, planned.bag_id).name))
        self._dripper.setText(words("guests_page.dripper", name=self._kit.dripper.name))
        self._exponent = learned(store, self._kit)
        self._by_dose = False
        self._people.show_value(1.0)
        self._cup.show_value(_drink_g(planned))
        self._bypass.show_value(bool(planned.bypass_g))
        self._caffeine.show_asked(beans_of(store, planned.bag_id), 1.0)
        shown = caffeine_shown(store)
        self._ask.setVisible(shown is not CaffeineShown.NEVER)
        self._ask.setEnabled(shown is not CaffeineShown.NEVER)
        self._caffeine.hide()
        self._scale(planned.recipe.dose_g)
        if shown is CaffeineShown.ALWAYS or (caffeine and shown is CaffeineShown.ASKED):
            self.ask_caffeine()
        if not caffeine:
            self._people.setFocus()
            self._people.line.selectAll()

    def ask_caffeine(self) -> None:
        """Show the caffeine of the pot, with the keys on the share."""
        self._caffeine.show()
        self._spot.look()
        self._show_caffeine()
        self._caffeine.focus_share()

    def reload(self, touched: Touched) -> None:
        """Nothing to read again: the page holds the plan it was given."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not is_return(event):
            super().keyPressEvent(event)
        elif self._applied:
            self._applied = False  # it finished a number: what that means is looked at first
        else:
            press_main(self, self._take)

    def _return_pressed(self) -> None:
        lines = (self._people.line, self._cup.line, self._dose.line)
        self._applied = any(line.isModified() for line in lines)

    def _share_returned(self) -> None:
        self._applied = True

    def _guests_typed(self) -> None:
        if not (self._people.line.isModified() or self._cup.line.isModified()):
            return
        self._by_dose = self._by_dose and not self._cup.line.isModified()
        self._people.line.setModified(False)
        self._cup.line.setModified(False)
        if self._scaling is None or self._planned is None:
            return
        try:
            people, cup_g = self._people.value(), self._cup.value()
        except BadInput:
            return  # said beside the field
        if people is None or cup_g is None:
            return
        try:
            dose_g = dose_for_guests(self._planned, people, cup_g)
        except BadInput as error:
            field = self._people if error.code == "scale.bad_people" else self._cup
            field.show_error(self._desk.words.sentence(error))
            return
        if people > 1:
            self._caffeine.show_asked(self._caffeine.beans(), 1.0 / people)
        self._scale(self._scaling.planned.recipe.dose_g if self._by_dose else dose_g)

    def _dose_typed(self) -> None:
        if not self._dose.line.isModified():
            return
        self._dose.line.setModified(False)
        try:
            dose_g = self._dose.value()
        except BadInput:
            return  # said beside the field
        if dose_g is not None:
            self._by_dose = True
            self._scale(dose_g)

    def _rescale(self) -> None:
        if self._scaling is not None:
            self._scale(self._scaling.planned.recipe.dose_g)

    def _scale(self, dose_g: float) -> None:
        if self._planned is None or self._kit is None:
            return
        store, bypass = self._desk.store, self._bypass.value()
        try:
            self._scaling = scale(
                store,
                self._planned,
                self._kit,
                dose_g=dose_g,
                bypass=bypass,
                exponent=self._exponent,
            )
        except (CoreError, ValueError) as error:
            sentence = self._desk.words("guests_page.cannot")
            if isinstance(error, CoreError):
                sentence = self._desk.words.sentence(error)
            self._dose.show_error(sentence)
            return
        self._show_scaling(self._scaling)
        if not self._caffeine.isHidden():
            self._show_caffeine()

    def _show_scaling(self, scaling: Scaling) -> None:
        words, planned = self._desk.words, scaling.planned
        recipe = planned.recipe
        self._error.setText("")
        self._dose.show_value(recipe.dose_g)
        self._bypass.setVisible(scaling.bypass_offered)
        self._show_each_cup(_drink_g(planned))
        code = "guests_page.line_bypass" if planned.bypass_g else "guests_page.line"
        self._line.setText(
            words(
                code,
                dose_g=recipe.dose_g,
                water_g=recipe.water_g,
                bypass_g=planned.bypass_g,
                drink_g=_drink_g(planned),
            )
        )
        lines = [schedule_text(words, recipe)]
        if planned.bypass_g:
            lines.append(words("guests_page.bypass_line", bypass_g=planned.bypass_g))
        self._schedule.setText("\n".join(lines))
        told = [words.sentence(one) for one in scaling.told]
        if scaling.dose_factor == 1.0 and not planned.bypass_g:
            told = [words("guests_page.own_size")]
        self._told.setText("\n\n".join(told))
        self._against.setText("\n\n".join(words.sentence(one) for one in scaling.warnings))
        self._against.setVisible(bool(scaling.warnings))
        self._fine.setVisible(not scaling.warnings)

    def _show_each_cup(self, drink_g: float) -> None:
        try:
            people = self._people.value() or 1.0
        except BadInput:
            return  # said beside the field
        self._cup.show_value(drink_g / max(people, 1.0))

    def _show_caffeine(self) -> None:
        if self._scaling is None:
            return
        try:
            view = pot_caffeine(
                self._desk.store,
                self._scaling.planned.recipe.dose_g,
                beans=self._caffeine.beans(),
                share=self._caffeine.share(),
                today=self._desk.today(),
            )
        except BadInput as error:
            self._caffeine.say_wrong(self._desk.words.sentence(error))
            return
        self._caffeine.show_view(view)

    def _note_half(self) -> None:
        if self._planned is None or self._scaling is None:
            return
        self._planned = with_half_decaf(self._planned)
        self._rescale()
        self._caffeine.say_noted(self._scaling.planned.recipe.dose_g / 2)

    def _took(self) -> None:
        wrong = any(field.error() for field in (self._people, self._cup, self._dose))
        if self._scaling is not None and not wrong:
            self.taken.emit(self._scaling.planned)


def _drink_g(planned: Planned) -> float:
    recipe = planned.recipe
    return float(round(beverage_g(recipe.water_g, recipe.dose_g) + planned.bypass_g))
