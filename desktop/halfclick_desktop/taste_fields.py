"""The rows and fields of the taste page: what they hold, and in which order the keys go."""

from collections.abc import Iterable, Mapping
from functools import partial

from msgspec import convert
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from halfclick.model.tasting import (
    CLEARLY_THERE,
    OVERWHELMING,
    Bed,
    Mark,
    Marks,
    StrengthFelt,
    Tasting,
    Verdict,
)
from halfclick.service.record import TastingEntry
from halfclick.taste.word_choices import WordsRead
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.text import minutes
from halfclick_desktop.widgets.complaint_row import ComplaintRow
from halfclick_desktop.widgets.field import ChoiceField, NumberField, TextField
from halfclick_desktop.widgets.mark_row import MarkRow
from halfclick_desktop.widgets.measurement_more import MeasurementMore
from halfclick_desktop.widgets.word_matches import WordMatches

MARK_KEYS: Mapping[str, object] = {
    **{str(digit): float(digit) for digit in range(10)},
    "+": OVERWHELMING,
    "x": CLEARLY_THERE,
}
STRENGTH_KEYS: Mapping[str, object] = {
    "w": StrengthFelt.WEAK,
    "r": StrengthFelt.RIGHT,
    "s": StrengthFelt.STRONG,
    "1": StrengthFelt.WEAK,
    "2": StrengthFelt.RIGHT,
    "3": StrengthFelt.STRONG,
}
LIKING_KEYS: Mapping[str, object] = {str(digit): float(digit) for digit in range(1, 10)}
VERDICT_KEYS: Mapping[str, object] = {"k": Verdict.KEEP, "c": Verdict.CHANGE}
BED_LETTERS = 12


class TasteFields(QWidget):
    """Everything that is typed of a cup, from the drained time to the bed."""

    edited = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self.drained = TextField(words, "taste_page.drained", hint="taste_page.drained_hint")
        self.marks = {
            mark: MarkRow(
                words, f"mark.{mark.value}", MARK_KEYS, _numbers(), hint="taste_page.mark_keys"
            )
            for mark in Mark
        }
        self.strength = self._row("strength", STRENGTH_KEYS, "strength", StrengthFelt)
        self.liking = MarkRow(
            words, "taste_page.liking", LIKING_KEYS, _numbers(), hint="taste_page.liking_keys"
        )
        self.verdict = self._row("verdict", VERDICT_KEYS, "verdict", Verdict)
        self.words_line = TextField(words, "taste_page.words")
        self.matches = WordMatches(words)
        self.complaints = ComplaintRow(words)
        self.beverage = NumberField(words, "taste_page.beverage", unit="g")
        self.measured = NumberField(words, "taste_page.measured", unit="%", scale=100.0, decimals=2)
        self.more = MeasurementMore(words)
        beds: list[tuple[str, object]] = [(words("taste_page.bed_unsaid"), None)]
        beds += [(words(f"bed.{one.value}"), one) for one in Bed]
        self.bed = ChoiceField(words, "taste_page.bed", beds)
        self.bed.narrow_to(BED_LETTERS)
        self._lay_out()
        self._connect()

    def _row(
        self,
        name: str,
        keys: Mapping[str, object],
        code: str,
        kind: Iterable[StrengthFelt | Verdict],
    ) -> MarkRow:
        shown: dict[object, str] = {one: self._words(f"{code}.{one.value}") for one in kind}
        label, hint = f"taste_page.{name}", f"taste_page.{name}_keys"
        return MarkRow(self._words, label, keys, shown, hint=hint)

    def _rows(self) -> list[MarkRow]:
        return [*self.marks.values(), self.strength, self.liking, self.verdict]

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(INSIDE)
        column.addWidget(self.drained)
        for row in self._rows():
            column.addWidget(row)
        column.addWidget(self.words_line)
        column.addWidget(self.matches)
        column.addWidget(self.complaints)
        more = QHBoxLayout()
        more.setSpacing(GROUPS)
        for field in (self.beverage, self.measured, self.bed):
            more.addWidget(field, 1)
        column.addLayout(more)
        column.addWidget(self.more)

    def _connect(self) -> None:
        rows: list[QWidget] = [self.drained, *self._rows(), self.words_line]
        for row in self._rows():
            place = rows.index(row)
            row.passed.connect(rows[place + 1].setFocus)
            row.gone_back.connect(rows[place - 1].setFocus)
            row.edited.connect(self.edited)
        self.matches.passed.connect(self.complaints.setFocus)
        self.matches.gone_back.connect(self.words_line.setFocus)
        self.complaints.passed.connect(self.beverage.setFocus)
        self.complaints.gone_back.connect(partial(self._into_matches, last=True))
        self.complaints.edited.connect(self.edited)
        for field in (self.drained, self.words_line, self.beverage, self.measured, self.bed):
            field.edited.connect(self.edited)
        self.measured.edited.connect(self._show_more)
        self.more.edited.connect(self.edited)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        line = self.window().focusWidget() is self.words_line.control
        if line and event.key() == Qt.Key.Key_Down:
            self._into_matches(last=False)
        elif line and event.key() == Qt.Key.Key_Up:
            self.verdict.setFocus()
        else:
            super().keyPressEvent(event)

    def entry(self) -> TastingEntry:
        """Return what is typed.

        Raises:
            BadInput: a field holds what cannot be.
        """
        marks = {mark.value: row.value() for mark, row in self.marks.items()}
        return TastingEntry(
            marks=convert(marks, Marks),
            strength_felt=convert(self.strength.value(), StrengthFelt | None),
            liking=convert(self.liking.value(), float | None),
            words=self.words_line.text(),
            verdict=convert(self.verdict.value(), Verdict | None),
            beverage_g=self.beverage.value(),
            strength=self.measured.value(),
            bed=convert(self.bed.value(), Bed | None),
            complaints=self.complaints.value(),
            **self.more.values(),
        )

    def show_kept(self, kept: Tasting | None, drained_s: float | None) -> None:
        """Show a taste that was kept, or none yet; no edit."""
        marks = kept.marks if kept else Marks()
        for mark, row in self.marks.items():
            row.show_value(marks.of(mark))
        self.strength.show_value(kept.strength_felt if kept else None)
        self.liking.show_value(kept.liking if kept else None)
        self.verdict.show_value(kept.verdict if kept else None)
        self.words_line.show_text(kept.words if kept else "")
        self.complaints.show_value(kept.complaints if kept else ())
        self.beverage.show_value(kept.beverage_g if kept else None)
        self.measured.show_value(kept.strength if kept else None)
        self.more.show_kept(kept)
        self._show_more()
        self.bed.show_value(kept.bed if kept else None)
        self.drained.show_text(minutes(drained_s, ""))

    def show_words(self, read: WordsRead) -> None:
        """Show what the words were taken for, and fill in what was not typed by hand."""
        note = self._words("taste_page.from_words")
        for mark, row in self.marks.items():
            row.suggest(read.marks.get(mark), note)
        self.strength.suggest(read.felt, note)
        self.complaints.suggest(read.complaints)
        own = {mark: row.value() for mark, row in self.marks.items() if row.by_hand()}
        self.matches.show_rows(read.rows, own)

    def _show_more(self) -> None:
        self.more.show_told(bool(self.measured.text()))

    def _into_matches(self, *, last: bool) -> None:
        if not self.matches.take_keys(last=last):
            (self.words_line if last else self.complaints).setFocus()


def _numbers() -> dict[object, str]:
    return {float(number): str(number) for number in range(11)}
