"""A sieved setting: the stack, what lay on each sieve, and what fell through."""

from PySide6.QtWidgets import QGridLayout

from halfclick.model.sieving import MOST_OPENINGS
from halfclick.service.sievings import SieveWeighed, SievingEntry
from halfclick.wording import Message, Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.field import Field, NumberField, TextField
from halfclick_desktop.widgets.form import Form

ROWS_AT_FIRST = 4
_BLAMED = {
    "setting.": "setting",
    "sieving.needs_setting": "setting",
    "sieving.needs_pan": "pan",
    "sieving.bad_dose": "dose",
    "sieving.bad_sum": "dose",
    "sieving.": "opening_1",
}


class SievingForm(Form):
    """Rows of openings and weights; another row comes as the last one is filled."""

    def __init__(self, words: Wording) -> None:
        self._setting = TextField(words, "kit.sieve_setting", hint="kit.sieve_setting_hint")
        self._rows = [_row(words, number) for number in range(1, MOST_OPENINGS + 1)]
        self._pan = NumberField(words, "kit.sieve_pan", unit="g")
        self._dose = NumberField(words, "kit.sieve_dose", unit="g", hint="kit.sieve_dose_hint")
        self._note = TextField(words, "kit.sieve_note", hint="kit.sieve_note_hint")
        fields: dict[str, Field] = {"setting": self._setting}
        for number, (opening, weight) in enumerate(self._rows, start=1):
            fields |= {f"opening_{number}": opening, f"weight_{number}": weight}
        fields |= {"pan": self._pan, "dose": self._dose, "note": self._note}
        super().__init__(words, fields, _BLAMED)
        self._lay_rows()
        self.edited.connect(self._follow)

    def _lay_rows(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(GROUPS)
        grid.setVerticalSpacing(INSIDE)
        for number, pair in enumerate(self._rows):
            for column, field in enumerate(pair):
                self.column.removeWidget(field)
                grid.addWidget(field, number, column)
        self.column.insertLayout(1, grid)

    def show_new(self, setting_text: str, openings_um: tuple[float, ...]) -> None:
        """Begin a new sieving, with the stack of the last one."""
        self.clear_errors()
        self._setting.show_text(setting_text)
        for number, (opening, weight) in enumerate(self._rows):
            opening.show_value(openings_um[number] if number < len(openings_um) else None)
            weight.show_value(None)
        for field in (self._pan, self._dose):
            field.show_value(None)
        self._note.show_text("")
        self._follow()

    def entry(self) -> SievingEntry:
        """Return the sieving as typed.

        Raises:
            BadInput: a field holds what is no number.
        """
        pairs = [(opening.value(), weight.value()) for opening, weight in self._rows]
        return SievingEntry(
            setting_text=self._setting.text(),
            sieves=tuple(
                SieveWeighed(opening_um=opening_um, on_it_g=on_it_g)
                for opening_um, on_it_g in pairs
                if opening_um is not None or on_it_g is not None
            ),
            pan_g=self._pan.value(),
            dose_g=self._dose.value(),
            note=self._note.text(),
        )

    def _follow(self) -> None:
        """Show the rows that are filled and one more."""
        filled = [n for n, (o, w) in enumerate(self._rows, start=1) if o.text() or w.text()]
        shown = max(ROWS_AT_FIRST, max(filled, default=0) + 1)
        for number, pair in enumerate(self._rows, start=1):
            for field in pair:
                field.setVisible(number <= shown)


def _row(words: Wording, number: int) -> tuple[NumberField, NumberField]:
    opening = Message("kit.sieve_opening", {"number": str(number)})
    weight = Message("kit.sieve_weight", {"number": str(number)})
    return NumberField(words, opening, unit="µm", decimals=0), NumberField(words, weight, unit="g")
