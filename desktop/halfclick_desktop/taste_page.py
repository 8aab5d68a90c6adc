"""After the cup: marks by digits in rows, the advice beside them as soon as there is enough."""

from functools import partial
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.advice import Advice, Answer, Outcome
from halfclick.model.brew import Brew, SlipKind
from halfclick.model.tasting import Mark, Tasting
from halfclick.service.advise import advise, answer, is_answered
from halfclick.service.cautions import Place
from halfclick.service.corrections import add_slip
from halfclick.service.done import Touched
from halfclick.service.history import is_long
from halfclick.service.measured import doubts, measured
from halfclick.service.record import (
    TastingEntry,
    correct_drained,
    correct_tasting,
    record_tasting,
)
from halfclick.service.tastings import cup_to_taste
from halfclick.service.words import choices_kept, remember_words, remembered_words, understand
from halfclick.taste.lexicon import Question, Target
from halfclick.taste.word_choices import WordChoices
from halfclick_desktop.caution_spot import CautionSpot
from halfclick_desktop.cups_voice import CupsVoice
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.look import INSIDE, THOUGHTS
from halfclick_desktop.scaled_hint import scaled_hint
from halfclick_desktop.taste_fields import TasteFields
from halfclick_desktop.text import minutes
from halfclick_desktop.times import parsed_time
from halfclick_desktop.widgets.advice_panel import AdvicePanel
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.panel import scrolled, stacked


class TastePage(QWidget):
    """Takes what a cup tasted like in twenty seconds, by keyboard alone."""

    changed = Signal(Touched)
    rule_asked = Signal(str)
    tasted = Signal(object)  # the brew's id: saved, and answered or left

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._brew: Brew | None = None
        self._saved: UUID | None = None
        self._typed = False
        self._advice: Advice | None = None
        self._is_long = False  # whether an advice on this coffee takes a while
        self._answer_wanted = False  # whether the answer is asked for once the advice is there
        self._kept = False  # whether what is shown is a taste that was kept
        self._advising = Latest(desk.jobs, self)
        self._advising.done.connect(self._advised)
        self._advising.failed.connect(self._failed)
        self._choices = WordChoices()
        self._remembered: dict[str, Target] = {}
        self._build()

    def _build(self) -> None:
        words = self._desk.words
        self._title = QLabel()
        self._title.setProperty("role", "heading")
        self._prompt = QLabel()
        self._prompt.setProperty("role", "quiet")
        self._prompt.setWordWrap(True)
        self._fields = TasteFields(words)
        self._marks = self._fields.marks
        self._save = QPushButton(words("taste_page.save"))
        self._save.setProperty("role", "main")
        self._save.clicked.connect(self.save)
        self._stall = QPushButton(words("taste_page.add_stall"))
        self._stall.setShortcut("Ctrl+L")
        self._stall.clicked.connect(self._add_stall)
        self._stall.hide()
        self._sample = CautionSpot(self._desk, Place.MEASURED)
        self._sample.changed.connect(self.changed)
        self._error = QLabel()
        self._error.setProperty("role", "caution")
        self._error.setWordWrap(True)
        self._panel = AdvicePanel(words)
        self._panel.accepted.connect(self._accepted)
        self._panel.refused.connect(self._refused)
        self._panel.rule_asked.connect(self.rule_asked)
        self._cups = CupsVoice(self._desk, with_side=False)
        self._cups.taken.connect(self._took)
        self._cups.heard.connect(self._heard_cups)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(INSIDE)
        left.addWidget(self._fields)
        left.addWidget(self._sample)
        left.addWidget(self._stall)
        left.addWidget(self._error)
        left.addWidget(self._save)
        left.addStretch(1)
        rows = QWidget()
        rows.setLayout(left)
        self._area = scrolled(rows)
        self._body = Columns(
            (self._area, 1), (scrolled(stacked(self._panel, self._cups)), 1), spacing=THOUGHTS
        )
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(INSIDE)
        whole.addWidget(self._title)
        whole.addWidget(self._prompt)
        whole.addWidget(self._body, 1)

    def _connect(self) -> None:
        self._fields.edited.connect(self._edited)
        self._area.verticalScrollBar().rangeChanged.connect(self._keep_in_sight)
        self._fields.matches.turned.connect(self._turned)
        self._fields.matches.moved.connect(self._moved)
        self._fields.matches.answered.connect(self._answered)

    def show_brew(self, brew_id: UUID) -> None:
        """Show a brew to be tasted, or what was kept of its taste already."""
        found = cup_to_taste(self._desk.store, brew_id)
        if self._brew is not None and self._brew.id == found.brew.id and self._typed:
            self._marks[Mark.SOUR].setFocus()
            return  # left half typed: what was typed is still here
        self._typed = False
        self._brew, kept = found.brew, found.cup.tasting
        self._saved = kept.id if kept else None
        self._kept, self._answer_wanted = kept is not None, False
        self._is_long = is_long(self._desk.store, found.coffee.id)
        self._advice = None
        self._cups.clear()
        self._panel.show_answerable(False)
        self._panel.show_advice(None, None)
        name, number = found.coffee.name, found.cup.number
        self._title.setText(self._desk.words("taste_page.title", name=name, number=number))
        self._prompt.setText(self._desk.words("taste_page.prompt"))
        self._show_kept(kept)
        self._error.setText("")
        self._read_words()
        self._said()
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
        return self._fields.entry()

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
            text = self._fields.drained.text()
            drained_s = parsed_time(text) if text else None
            # Shown to the second and kept finer: only what was typed is another time.
            if text != minutes(self._brew.poured.drained_s.value, ""):
                mended = correct_drained(store, self._brew.id, drained_s, clock=clock)
                self._brew = mended.value
            if self._saved is None:
                done = record_tasting(store, self._brew.id, entry, clock=clock)
            else:
                done = correct_tasting(store, self._saved, entry, clock=clock)
            learned = remember_words(store, self._choices.moved, clock=clock)
        except CoreError as error:
            self._error.setText(self._desk.words.sentence(error))
            return
        self._saved = done.value.id
        self._typed = False
        self._said()
        self.changed.emit(done.touched | learned.touched)
        self._ask_for_answer()

    def _ask_for_answer(self) -> None:
        if self._brew is None:
            return
        self._answer_wanted = self._advising.waits()
        if self._answer_wanted:
            return  # asked for as soon as the advice is there
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
        elif event.text() == "?":
            self._panel.ask_rule()
        else:
            super().keyPressEvent(event)

    def _show_kept(self, kept: Tasting | None) -> None:
        drained_s = self._brew.poured.drained_s.value if self._brew else None
        self._fields.show_kept(kept, drained_s)
        hint = self._desk.words("taste_page.drained_hint")
        if self._brew is not None:
            hint = scaled_hint(self._desk, self._brew) or hint
        self._fields.drained.show_hint(hint)
        self._remembered = remembered_words(self._desk.store)
        self._choices = choices_kept(kept, self._remembered) if kept else WordChoices()

    def _turned(self, word: str) -> None:
        self._choices = self._choices.turned(word)
        self._edited()

    def _moved(self, word: str, target: Target) -> None:
        self._choices = self._choices.moved_to(word, target)
        self._edited()

    def _answered(self, question: Question, answered: int) -> None:
        self._choices = self._choices.answered(question, answered)
        self._edited()

    def _read_words(self) -> None:
        """Show what the words typed so far were taken for."""
        text = self._fields.words_line.text()
        read = understand(text, self._choices, self._remembered)
        self._fields.show_words(read)
        slips = self._brew.slips if self._brew else ()
        stalled = any(slip.kind is SlipKind.STALL for slip in slips)
        self._stall.setVisible(Target.STALLED in read.clock and not stalled)

    def _add_stall(self) -> None:
        """Keep with the brew that it stalled, as the words say."""
        if self._brew is None:
            return
        store, clock = self._desk.store, self._desk.clock
        try:
            done = add_slip(store, self._brew.id, SlipKind.STALL, clock=clock)
        except CoreError as error:
            self._error.setText(self._desk.words.sentence(error))
            return
        self._brew = done.value
        self.changed.emit(done.touched)
        self._read_words()
        self._said()
        self._fields.words_line.setFocus()

    def _keep_in_sight(self) -> None:
        """Scroll so that what the words were taken for is seen under them as it grows."""
        line = self._fields.words_line
        if self.window().focusWidget() is line.control:
            self._body.bring(self._fields.matches)
            self._body.bring(line)

    def _edited(self) -> None:
        """Follow what is typed; after an edit the taste is kept again before an answer."""
        self._typed = True
        self._kept = self._answer_wanted = False
        self._panel.show_answerable(False)
        self._read_words()
        self._said()

    def _show_measured(self, brew: Brew, entry: TastingEntry) -> None:
        """Say what a strength comes to, and what of it cannot be."""
        words = self._desk.words
        if entry.strength is None:
            self._sample.show_told(None)
        elif not self._sample.text():
            self._sample.look()
        found = measured(
            brew,
            strength=entry.strength,
            beverage_g=entry.beverage_g,
            strength_sd=entry.strength_sd,
            dose_moisture=entry.dose_moisture,
        )
        minded = doubts(
            brew, strength=entry.strength, beverage_g=entry.beverage_g, sample_c=entry.sample_c
        )
        said = [words.sentence(found.message)] if found is not None else []
        self._fields.more.show_sentences(" ".join([*said, *map(words.sentence, minded)]))

    def _said(self) -> None:
        """Show the advice on what is typed so far."""
        if self._brew is None:
            return
        try:
            self._show_measured(self._brew, self.entry())
            work = partial(advise, self._desk.store, self._brew.id, self.entry())
            if self._is_long:
                # Off the main thread; until it answers there is no advice that keys could act on.
                self._advice = None
                self._panel.show_answerable(False)
                self._prompt.setText(self._desk.words("taste_page.reading"))
                self._advising.ask(work)
            else:
                self._advising.drop()
                self._advised(work())
        except CoreError as error:
            self._failed(error)

    def _failed(self, error: CoreError) -> None:
        self._advising.drop()
        self._advice, self._answer_wanted = None, False
        self._prompt.setText(self._desk.words("taste_page.prompt"))
        self._error.setText(self._desk.words.sentence(error))

    def _advised(self, advice: Advice | None) -> None:
        if self._brew is None:
            return
        self._advice = advice
        self._error.setText("")
        self._prompt.setText(self._desk.words("taste_page.prompt"))
        self._panel.show_advice(advice, self._brew.plan)
        if advice is None or advice.outcome is Outcome.NOTHING:
            self._cups.clear()
        elif self._saved is not None and not self._typed:
            # The cups are asked of a taste that was kept: typing is not held up.
            self._cups.look(self._brew.id)
            self._cups.show_answerable(self._waits())
            self._prompt.setText(self._desk.words("cups_voice.asking"))
        if self._answer_wanted:
            self._ask_for_answer()
        elif self._kept:
            # A kept taste whose advice still waits can be answered here too.
            self._panel.show_answerable(self._waits())

    def _heard_cups(self) -> None:
        """Show the advice that stands, now that both voices have spoken."""
        voices = self._cups.voices()
        self._prompt.setText(self._desk.words("taste_page.prompt"))
        if voices is None or self._brew is None or self._typed:
            return
        self._advice = voices.advice
        self._panel.show_advice(self._advice, voices.base if voices.is_cups else self._brew.plan)

    def _accepted(self) -> None:
        if not self._cups.has_just_turned():
            self._answer(Answer.ACCEPTED, "")

    def _refused(self, reason: str) -> None:
        self._answer(Answer.REFUSED, reason)

    def _took(self, advice: Advice) -> None:
        self._answer(Answer.ACCEPTED, "", advice)

    def _answer(self, said: Answer, reason: str, advice: Advice | None = None) -> None:
        advice = advice or self._advice
        if self._brew is None or advice is None:
            return
        store, clock = self._desk.store, self._desk.clock
        try:
            done = answer(store, self._brew.id, advice, said, reason=reason, clock=clock)
        except CoreError as error:
            self._error.setText(self._desk.words.sentence(error))
            return
        self._panel.show_answerable(False)
        self.changed.emit(done.touched)
        self.tasted.emit(self._brew.id)
