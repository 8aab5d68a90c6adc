"""After the cup: marks by digits in rows, the advice beside them as soon as there is enough."""

from collections.abc import Mapping
from uuid import UUID

from msgspec import convert
from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.advice import Advice, Answer, Outcome
from halfclick.model.brew import Brew
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
from halfclick.service.advise import advise, answer, is_answered
from halfclick.service.done import Touched
from halfclick.service.record import (
    TastingEntry,
    correct_drained,
    correct_tasting,
    record_tasting,
)
from halfclick.service.tastings import cup_to_taste
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.scaled_hint import scaled_hint
from halfclick_desktop.text import minutes
from halfclick_desktop.times import parsed_time
from halfclick_desktop.widgets.advice_panel import AdvicePanel
from halfclick_desktop.widgets.field import ChoiceField, NumberField, TextField
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.mark_row import MarkRow
from halfclick_desktop.widgets.panel import scrolled

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


class TastePage(QWidget):
    """Takes what a cup tasted like in twenty seconds, by keyboard alone."""

    changed = Signal(Touched)
    tasted = Signal(object)  # the brew's id: saved, and answered or left

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._brew: Brew | None = None
        self._saved: UUID | None = None
        self._typed = False
        self._advice: Advice | None = None
        self._build()

    def _build(self) -> None:
        words = self._desk.words
        self._title = QLabel()
        self._title.setProperty("role", "heading")
        self._prompt = QLabel()
        self._prompt.setProperty("role", "quiet")
        self._prompt.setWordWrap(True)
        self._drained = TextField(words, "taste_page.drained", hint="taste_page.drained_hint")
        self._marks = {
            mark: MarkRow(
                words, f"mark.{mark.value}", MARK_KEYS, _numbers(), hint="taste_page.mark_keys"
            )
            for mark in Mark
        }
        self._strength = MarkRow(
            words,
            "taste_page.strength",
            STRENGTH_KEYS,
            {one: words(f"strength.{one.value}") for one in StrengthFelt},
            hint="taste_page.strength_keys",
        )
        self._liking = MarkRow(
            words, "taste_page.liking", LIKING_KEYS, _numbers(), hint="taste_page.liking_keys"
        )
        self._verdict = MarkRow(
            words,
            "taste_page.verdict",
            VERDICT_KEYS,
            {one: words(f"verdict.{one.value}") for one in Verdict},
            hint="taste_page.verdict_keys",
        )
        self._words_line = TextField(words, "taste_page.words")
        self._beverage = NumberField(words, "taste_page.beverage", unit="g")
        self._measured = NumberField(
            words, "taste_page.measured", unit="%", scale=100.0, decimals=2
        )
        beds: list[tuple[str, object]] = [(words("taste_page.bed_unsaid"), None)]
        beds += [(words(f"bed.{one.value}"), one) for one in Bed]
        self._bed = ChoiceField(words, "taste_page.bed", beds)
        self._save = QPushButton(words("taste_page.save"))
        self._save.setProperty("role", "main")
        self._save.clicked.connect(self.save)
        self._error = QLabel()
        self._error.setProperty("role", "caution")
        self._error.setWordWrap(True)
        self._panel = AdvicePanel(words)
        self._panel.accepted.connect(self._accepted)
        self._panel.refused.connect(self._refused)
        self._lay_out()
        self._connect()

    def _rows(self) -> list[MarkRow]:
        return [*self._marks.values(), self._strength, self._liking, self._verdict]

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(INSIDE)
        left.addWidget(self._drained)
        for row in self._rows():
            left.addWidget(row)
        left.addWidget(self._words_line)
        more = QHBoxLayout()
        more.setSpacing(GROUPS)
        for field in (self._beverage, self._measured, self._bed):
            more.addWidget(field, 1)
        left.addLayout(more)
        left.addWidget(self._error)
        left.addWidget(self._save)
        left.addStretch(1)
        rows = QWidget()
        rows.setLayout(left)
        body = QHBoxLayout()
        body.setSpacing(THOUGHTS)
        body.addWidget(scrolled(rows), 1)
        body.addWidget(scrolled(self._panel), 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(INSIDE)
        whole.addWidget(self._title)
        whole.addWidget(self._prompt)
        whole.addLayout(body, 1)

    def _connect(self) -> None:
        rows: list[QWidget] = [self._drained, *self._rows(), self._words_line]
        for row in self._rows():
            place = rows.index(row)
            row.passed.connect(rows[place + 1].setFocus)
            row.gone_back.connect(rows[place - 1].setFocus)
            row.edited.connect(self._edited)
        for field in (self._drained, self._words_line, self._beverage, self._measured, self._bed):
            field.edited.connect(self._edited)

    def show_brew(self, brew_id: UUID) -> None:
        """Show a brew to be tasted, or what was kept of its taste already."""
        found = cup_to_taste(self._desk.store, brew_id)
        if self._brew is not None and self._brew.id == found.brew.id and self._typed:
            self._marks[Mark.SOUR].setFocus()
            return  # left half typed: what was typed is still here
        self._typed = False
        self._brew, kept = found.brew, found.cup.tasting
        self._saved = kept.id if kept else None
        name, number = found.coffee.name, found.cup.number
        self._title.setText(self._desk.words("taste_page.title", name=name, number=number))
        self._prompt.setText(self._desk.words("taste_page.prompt"))
        self._show_kept(kept)
        self._error.setText("")
        self._said()
        # A kept taste whose advice still waits can be answered here too.
        self._panel.show_answerable(kept is not None and self._waits())
        self._marks[Mark.SOUR].setFocus()

    def reload(self, touched: Touched) -> None:
        """Leave what is being typed, and word the advice anew where units may be others."""
        if touched & Touched.SETTINGS:
            self._prompt.setText(self._desk.words("taste_page.prompt"))
            self._said()

    def entry(self) -> TastingEntry:
        """Return what is typed.

        Raises:
            BadInput: a field holds what cannot be.
        """
        marks = {mark.value: row.value() for mark, row in self._marks.items()}
        return TastingEntry(
            marks=convert(marks, Marks),
            strength_felt=convert(self._strength.value(), StrengthFelt | None),
            liking=convert(self._liking.value(), float | None),
            words=self._words_line.text(),
            verdict=convert(self._verdict.value(), Verdict | None),
            beverage_g=self._beverage.value(),
            strength=self._measured.value(),
            bed=convert(self._bed.value(), Bed | None),
        )

    def save(self) -> None:
        """Keep the taste, and the drained time where it was mended; then ask for an answer."""
        if self._brew is None:
            return
        if self._saved is not None and not self._typed:
            self._ask_for_answer()  # kept already, and nothing typed since: no correction
            return
        store, clock = self._desk.store, self._desk.clock
        try:
            entry = self.entry()
            text = self._drained.text()
            drained_s = parsed_time(text) if text else None
            # Shown to the second and kept finer: only what was typed is another time.
            if text != minutes(self._brew.poured.drained_s.value, ""):
                mended = correct_drained(store, self._brew.id, drained_s, clock=clock)
                self._brew = mended.value
            if self._saved is None:
                done = record_tasting(store, self._brew.id, entry, clock=clock)
            else:
                done = correct_tasting(store, self._saved, entry, clock=clock)
        except CoreError as error:
            self._error.setText(self._desk.words.sentence(error))
            return
        self._saved = done.value.id
        self._typed = False
        self._said()
        self.changed.emit(done.touched)
        self._ask_for_answer()

    def _ask_for_answer(self) -> None:
        if self._brew is None:
            return
        if self._advice is None or self._advice.outcome is Outcome.NOTHING:
            self.tasted.emit(self._brew.id)
            return
        self._panel.show_answerable(True)
        self._panel.setFocus()

    def _waits(self) -> bool:
        """Return whether there is an advice that the person has not answered."""
        if self._brew is None or self._advice is None:
            return False
        known = is_answered(self._desk.store, self._brew.id)
        return self._advice.outcome is not Outcome.NOTHING and not known

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            self.save()
        else:
            super().keyPressEvent(event)

    def _show_kept(self, kept: Tasting | None) -> None:
        marks = kept.marks if kept else Marks()
        for mark, row in self._marks.items():
            row.show_value(marks.of(mark))
        self._strength.show_value(kept.strength_felt if kept else None)
        self._liking.show_value(kept.liking if kept else None)
        self._verdict.show_value(kept.verdict if kept else None)
        self._words_line.show_text(kept.words if kept else "")
        self._beverage.show_value(kept.beverage_g if kept else None)
        self._measured.show_value(kept.strength if kept else None)
        self._bed.show_value(kept.bed if kept else None)
        drained_s = self._brew.poured.drained_s.value if self._brew else None
        self._drained.show_text(minutes(drained_s, ""))
        hint = self._desk.words("taste_page.drained_hint")
        if self._brew is not None:
            hint = scaled_hint(self._desk, self._brew) or hint
        self._drained.show_hint(hint)

    def _edited(self) -> None:
        """Follow what is typed; after an edit the taste is kept again before an answer."""
        self._typed = True
        self._panel.show_answerable(False)
        self._said()

    def _said(self) -> None:
        """Show the advice on what is typed so far."""
        if self._brew is None:
            return
        try:
            entry = self.entry()
            self._advice = advise(self._desk.store, self._brew.id, entry)
        except CoreError as error:
            self._error.setText(self._desk.words.sentence(error))
            return
        self._error.setText("")
        self._panel.show_advice(self._advice, self._brew.plan)

    def _accepted(self) -> None:
        self._answer(Answer.ACCEPTED, "")

    def _refused(self, reason: str) -> None:
        self._answer(Answer.REFUSED, reason)

    def _answer(self, said: Answer, reason: str) -> None:
        if self._brew is None or self._advice is None:
            return
        store, clock = self._desk.store, self._desk.clock
        try:
            done = answer(store, self._brew.id, self._advice, said, reason=reason, clock=clock)
        except CoreError as error:
            self._error.setText(self._desk.words.sentence(error))
            return
        self._panel.show_answerable(False)
        self.changed.emit(done.touched)
        self.tasted.emit(self._brew.id)


def _numbers() -> dict[object, str]:
    return {float(number): str(number) for number in range(11)}
