"""What a label says: a name is enough, all else may be left out."""

from typing import Any
from uuid import UUID

from msgspec import convert
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.coffee import PrintedRecipe, Process, Roast
from halfclick.service.coffees import (
    CoffeeEntry,
    add_coffee,
    buy_again,
    change_coffee,
    entry_of,
    shelf,
)
from halfclick.service.done import Touched
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.field import (
    ChoiceField,
    DateField,
    Field,
    NumberField,
    TextField,
    YesNoField,
)
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.panel import scrolled


class CoffeeFormPage(QWidget):
    """Adds a coffee, changes one, or adds another bag of it."""

    changed = Signal(Touched)
    saved = Signal(object)  # bag id
    left = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._bag_id: UUID | None = None
        self._coffee_id: UUID | None = None
        self._draft = False
        words = desk.words
        self._title = QLabel()
        self._title.setProperty("role", "heading")
        self._fields = self._make_fields()
        self._error = QLabel()
        self._error.setProperty("role", "caution")
        self._error.setWordWrap(True)
        self._save = QPushButton(words("coffee_form.save"))
        self._save.setProperty("role", "main")
        self._save.clicked.connect(self.save)
        self._lay_out()

    def _make_fields(self) -> dict[str, Field]:
        words, today = self._desk.words, self._desk.today()
        unsaid: list[tuple[str, object]] = [(words("coffee_form.unsaid"), None)]
        roasts = unsaid + [(words(f"roast.{one.value}"), one) for one in Roast]
        processes = unsaid + [(words(f"process.{one.value}"), one) for one in Process]
        return {
            "name": TextField(words, "coffee_form.name"),
            "roaster": TextField(words, "coffee_form.roaster"),
            "roast": ChoiceField(words, "coffee_form.roast", roasts),
            "process": ChoiceField(words, "coffee_form.process", processes),
            "roasted_on": DateField(words, "coffee_form.roasted_on", today=today),
            "weight_g": NumberField(words, "coffee_form.weight", unit="g"),
            "origin": TextField(words, "coffee_form.origin"),
            "altitude_m": NumberField(words, "coffee_form.altitude", unit="m"),
            "lot_code": TextField(words, "coffee_form.lot"),
            "batch_code": TextField(words, "coffee_form.batch"),
            "opened_on": DateField(words, "coffee_form.opened_on", today=today),
            "frozen_on": DateField(words, "coffee_form.frozen_on", today=today),
            "thawed_on": DateField(words, "coffee_form.thawed_on", today=today),
            "decaf": YesNoField(words, "coffee_form.decaf"),
            "printed_dose": NumberField(words, "coffee_form.printed_dose", unit="g"),
            "printed_water": NumberField(words, "coffee_form.printed_water", unit="g"),
            "printed_temperature": NumberField(words, "coffee_form.printed_temperature", unit="°C"),
            "printed_grind": TextField(words, "coffee_form.printed_grind"),
            "note": TextField(words, "coffee_form.note"),
        }

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(THOUGHTS)
        grid.setVerticalSpacing(INSIDE)
        grid.setContentsMargins(2, 0, GROUPS, INSIDE)
        for index, (name, field) in enumerate(self._fields.items()):
            if name == "note":
                grid.addWidget(field, index // 2 + 1, 0, 1, 2)
            else:
                grid.addWidget(field, index // 2, index % 2)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        content = QWidget()
        content.setLayout(grid)
        content.setMaximumWidth(900)
        quiet = QLabel(self._desk.words("coffee_form.optional"))
        quiet.setProperty("role", "quiet")
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(self._title)
        whole.addWidget(quiet)
        whole.addWidget(scrolled(content), 1)
        whole.addWidget(self._error)
        whole.addWidget(self._save, 0, Qt.AlignmentFlag.AlignLeft)

    def start_new(self) -> None:
        """Take a new coffee."""
        self._bag_id = self._coffee_id = None
        self._title.setText(self._desk.words("coffee_form.title_new"))
        if self._draft:
            self._fields["name"].setFocus()  # left half typed: what was typed is still here
        else:
            self._show(CoffeeEntry(name=""))
        self._draft = True

    def start_edit(self, bag_id: UUID) -> None:
        """Change what is kept of a bag."""
        self._draft = False
        self._bag_id, self._coffee_id = bag_id, None
        entry = entry_of(self._desk.store, bag_id)
        self._title.setText(self._desk.words("coffee_form.title_edit", name=entry.name))
        self._show(entry)

    def start_again(self, coffee_id: UUID) -> None:
        """Take another bag of a coffee: its label is there, its dates and weight are new."""
        self._draft = False
        rows = shelf(self._desk.store, self._desk.today())
        bag = next(row.bag for row in rows if row.coffee.id == coffee_id)
        entry = entry_of(self._desk.store, bag.id)
        self._bag_id, self._coffee_id = None, coffee_id
        self._title.setText(self._desk.words("coffee_form.title_again", name=entry.name))
        self._show(
            CoffeeEntry(
                name=entry.name,
                roaster=entry.roaster,
                origin=entry.origin,
                process=entry.process,
                roast=entry.roast,
                altitude_m=entry.altitude_m,
                decaf=entry.decaf,
                weight_g=entry.weight_g,
                printed=entry.printed,
            )
        )

    def reload(self, touched: Touched) -> None:
        """Nothing to read again: what is being typed stays."""

    def save(self) -> None:
        """Keep what is typed."""
        store, clock = self._desk.store, self._desk.clock
        try:
            entry = self.entry()
            if self._bag_id is not None:
                done = change_coffee(store, self._bag_id, entry, clock=clock)
            elif self._coffee_id is not None:
                done = buy_again(store, self._coffee_id, entry, clock=clock)
            else:
                done = add_coffee(store, entry, clock=clock)
        except CoreError as error:
            sentence = self._desk.words.sentence(error)
            if error.code == "coffee.needs_name":
                self._fields["name"].show_error(sentence)
                self._fields["name"].setFocus()
            else:
                self._error.setText(sentence)
            return
        self._draft = False
        self.changed.emit(done.touched)
        self.saved.emit(done.value.id)

    def entry(self) -> CoffeeEntry:
        """Return what is typed.

        Raises:
            BadInput: a field holds what cannot be.
        """
        self._error.setText("")
        values: dict[str, Any] = {}
        for name, field in self._fields.items():
            if isinstance(field, TextField):
                values[name] = field.text()
            elif isinstance(field, NumberField | DateField | YesNoField | ChoiceField):
                values[name] = field.value()
        printed = PrintedRecipe(
            dose_g=values.pop("printed_dose"),
            water_g=values.pop("printed_water"),
            temperature_c=values.pop("printed_temperature"),
            grind_words=values.pop("printed_grind"),
        )
        told = printed if printed != PrintedRecipe() else None
        return convert({**values, "printed": told}, CoffeeEntry, from_attributes=True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            self.save()
        else:
            super().keyPressEvent(event)

    def _show(self, entry: CoffeeEntry) -> None:
        printed = entry.printed or PrintedRecipe()
        told: dict[str, Any] = {
            "printed_dose": printed.dose_g,
            "printed_water": printed.water_g,
            "printed_temperature": printed.temperature_c,
            "printed_grind": printed.grind_words,
        }
        for name, field in self._fields.items():
            value = told[name] if name in told else getattr(entry, name)
            if isinstance(field, TextField):
                field.show_text(value)
            elif isinstance(field, NumberField | DateField | YesNoField | ChoiceField):
                field.show_value(value)
        self._error.setText("")
        self._fields["name"].setFocus()
