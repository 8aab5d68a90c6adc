"""One coffee on one sheet, read left to right: the last cup, the next cup, what to expect."""

from dataclasses import replace
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.acts import acts_in
from halfclick.model.advice import Act, Advice, Answer, Outcome
from halfclick.model.brew import Mode
from halfclick.model.recipe import Change, Lever, Recipe
from halfclick.service.advise import answer
from halfclick.service.cups import Status
from halfclick.service.done import Touched
from halfclick.service.history import is_long
from halfclick.service.plan import good_one
from halfclick.service.sheet import CoffeeSheet, coffee_sheet
from halfclick_desktop.cup_words import cup_text, facts_text
from halfclick_desktop.cups_voice import CupsVoice
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.look import GROUPS, THOUGHTS
from halfclick_desktop.widgets.advice_panel import AdvicePanel
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.flow import Flow
from halfclick_desktop.widgets.grind_strip import GrindStrip
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.mark import MarkKind
from halfclick_desktop.widgets.next_cup_panel import NextCupPanel
from halfclick_desktop.widgets.panel import Panel, scrolled
from halfclick_desktop.widgets.reason_list import ReasonList

LEAST_PX = (200, 220, 320)  # of last cup, next cup and reasons side by side
STRIP_FROM_PX = 560  # the page's height from which the strip is shown


class SheetPage(QWidget):
    """Shows a coffee; Return brews what comes next."""

    changed = Signal(Touched)
    brew_asked = Signal(object)  # Planned
    plan_asked = Signal(object)  # Planned
    log_asked = Signal(object)  # bag id
    taste_asked = Signal(object)  # brew id
    history_asked = Signal(object)  # coffee id
    believed_asked = Signal(object, str)  # coffee id and its name
    rule_asked = Signal(str)
    print_asked = Signal(object)  # Planned

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._coffee_id: UUID | None = None
        self._sheet: CoffeeSheet | None = None
        self._reading = Latest(desk.jobs, self)
        self._reading.done.connect(self._show_read)
        self._reading.failed.connect(self._failed)
        words = desk.words
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._name = styled("heading", wrap=False)
        self._facts = styled("quiet")
        self._status = styled("heading", wrap=False)
        self._last = Panel(words("sheet.last"))
        self._last_text = styled("body")
        self._last.add(self._last_text)
        self._last.body.addStretch(1)
        self._next = NextCupPanel(words)
        self._advice = AdvicePanel(words, with_headline=False)
        self._advice.accepted.connect(self._accept_shown)
        self._advice.refused.connect(self._refused)
        self._advice.rule_asked.connect(self.rule_asked)
        self._cups = CupsVoice(self._desk)
        self._cups.taken.connect(self._took)
        self._cups.heard.connect(self._heard_cups)
        self._reasons = ReasonList(words)
        self._strip = GrindStrip(words)
        self._error = styled("caution")
        self._error.hide()
        self._buttons: dict[str, QPushButton] = {}
        for name, does in (
            ("brew", self._brew),
            ("good", self._brew_good),
            ("plan", self._plan),
            ("taste", self._taste),
            ("log", self._log),
            ("history", self._history),
            ("believed", self._believe),
            ("print", self._print),
        ):
            button = QPushButton(words(f"sheet.{name}"))
            button.clicked.connect(does)
            self._buttons[name] = button
        self._buttons["brew"].setProperty("role", "main")
        self._buttons["print"].setShortcut("Ctrl+P")
        self._lay_out()

    def _lay_out(self) -> None:
        top = Flow(self._name, self._facts, self._status, spread=self._facts)
        top.setSpacing(GROUPS)
        third = QVBoxLayout()
        third.setSpacing(GROUPS)
        third.addWidget(self._reasons)
        third.addWidget(self._cups)
        third.addWidget(self._advice)
        right = QWidget()
        right.setLayout(third)
        third.setContentsMargins(0, 0, 0, 0)
        parts = [scrolled(part) for part in (self._last, self._next, right)]
        for part, least_px in zip(parts, LEAST_PX, strict=True):
            part.keep_wide(least_px)
        last, following, why = parts
        body = Columns((last, 3), (following, 4), (why, 6), first=following)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, GROUPS)
        whole.setSpacing(GROUPS)
        whole.addLayout(top)
        whole.addWidget(self._error)
        whole.addWidget(body, 1)
        whole.addLayout(Flow(*self._buttons.values()))
        whole.addWidget(self._strip)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the height to the cups where there is little; History shows the settings too."""
        super().resizeEvent(event)
        self._fit_strip()

    def _fit_strip(self) -> None:
        self._strip.setVisible(self._sheet is not None and self.height() >= STRIP_FROM_PX)

    def show_coffee(self, coffee_id: UUID) -> None:
        """Show one coffee's sheet."""
        if coffee_id != self._coffee_id:
            self._sheet = None  # keys do nothing until this coffee's own is read
        self._coffee_id = coffee_id
        self.reload(~Touched.NOTHING)
        self.setFocus()

    def coffee_id(self) -> UUID | None:
        """Return which coffee is shown."""
        return self._coffee_id

    def reload(self, touched: Touched) -> None:
        """Read the sheet again where it may have changed."""
        if self._coffee_id is None:
            return
        if not touched & (Touched.COFFEES | Touched.BREWS | Touched.KIT):
            return
        read = partial(coffee_sheet, self._desk.store, self._coffee_id, self._desk.today())
        if is_long(self._desk.store, self._coffee_id):
            # Off the main thread, so that the window never stands still.
            if self._sheet is None:
                self._show_waiting()
            self._reading.ask(read)
            return
        self._reading.drop()
        try:
            self._show_read(read())
        except CoreError as error:
            self._failed(error)

    def _failed(self, error: CoreError) -> None:
        self._error.setText(self._desk.words.sentence(error))
        self._error.show()

    def _show_waiting(self) -> None:
        """Show nothing of another coffee while this one's sheet is being read."""
        self._name.setText("")
        self._facts.setText(self._desk.words("sheet.reading"))
        self._status.setText("")
        self._error.hide()
        for part in (self._last, self._next, self._reasons, self._advice, self._strip):
            part.hide()
        for button in self._buttons.values():
            button.setEnabled(False)

    def _show_read(self, sheet: CoffeeSheet) -> None:
        if sheet.coffee.id == self._coffee_id:  # else another was asked for meanwhile
            self._sheet = sheet
            self._error.hide()
            self._ask_cups(sheet)
            self._show(sheet)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        keys = {"g": "good", "p": "plan", "t": "taste", "l": "log", "h": "history", "y": "believed"}
        name = "brew" if is_return(event) else keys.get(event.text().lower())
        if event.text().lower() == "n" and self._waits_for_answer():
            self._advice.ask_reason()
        elif event.text().lower() == "a" and self._waits_for_answer():
            self._accept_shown()
        elif event.text() == "?":
            self._advice.ask_rule()
        elif name is not None and self._buttons[name].isEnabled():
            self._buttons[name].click()
        else:
            super().keyPressEvent(event)

    def _show(self, sheet: CoffeeSheet) -> None:
        words = self._desk.words
        self._name.setText(sheet.coffee.name)
        self._facts.setText(facts_text(words, sheet))
        status = words(f"status.{sheet.status.value}")
        if sheet.status is Status.SEARCHING:
            status = words("sheet.searching", number=sheet.cups)
        self._status.setText(status)
        self._next.show()
        self._fit_strip()
        for name in ("log", "history"):
            self._buttons[name].setEnabled(True)
        self._last.setVisible(sheet.last is not None)
        if sheet.last is not None:
            self._last_text.setText(cup_text(words, sheet.last))
        self._show_next(sheet)
        self._show_reasons(sheet)
        recipe, changes = self._offered(sheet) if sheet.next else (None, ())
        following = recipe.setting if recipe else None
        ground = any(change.lever is Lever.GRIND for change in changes)
        self._strip.show_points(
            sheet.strip,
            (following.steps, following.text) if following and sheet.last else None,
            words.sentences(sheet.summary),
            MarkKind.CHANGED if ground else MarkKind.HELD,
        )
        tasted = sheet.last is not None and sheet.advice is not None
        self._buttons["believed"].setEnabled(tasted)
        self._buttons["brew"].setEnabled(sheet.next is not None)
        self._buttons["plan"].setEnabled(sheet.next is not None)
        self._buttons["print"].setEnabled(sheet.next is not None)
        self._buttons["good"].setEnabled(sheet.status in {Status.ONE_GOOD_CUP, Status.REPEATED})
        self._buttons["taste"].setEnabled(sheet.last is not None)
        for name in ("good", "taste"):
            self._buttons[name].setVisible(self._buttons[name].isEnabled())

    def _standing(self, sheet: CoffeeSheet) -> Advice | None:
        """Return the advice that stands: the rules', or of both voices once they are heard."""
        return self._cups.standing() or sheet.advice

    def _offered(self, sheet: CoffeeSheet) -> tuple[Recipe, tuple[Change, ...]]:
        """Return what the next cup is: the advice while it waits for an answer, else the plan."""
        advice = self._standing(sheet)
        if self._waits_for_answer() and advice is not None:
            return advice.recipe, advice.changes
        if sheet.next is None:
            raise ValueError("no next cup without a kit")
        return sheet.next.recipe, sheet.next.changes

    def _acts(self, sheet: CoffeeSheet) -> list[Act]:
        """Return what is to be done that no lever does: by the advice, else by the plan."""
        advice = self._standing(sheet)
        if self._waits_for_answer() and advice is not None:
            return [advice.act] if advice.act else []
        return sorted(acts_in(sheet.next.why)) if sheet.next else []

    def _before(self, sheet: CoffeeSheet) -> Recipe | None:
        """Return the recipe that the next cup's change starts from."""
        voices = self._cups.voices()
        if self._waits_for_answer() and voices is not None and voices.is_cups:
            return voices.base
        return sheet.next_before

    def _show_next(self, sheet: CoffeeSheet) -> None:
        if sheet.next is None:
            self._next.show_without_kit()
            return
        recipe, changes = self._offered(sheet)
        self._next.show_recipe(
            recipe,
            changes,
            before=self._before(sheet),
            acts=self._acts(sheet),
            mode=_mode_of(sheet),
        )

    def _show_reasons(self, sheet: CoffeeSheet) -> None:
        first = sheet.first is not None
        self._reasons.setVisible(first)
        self._advice.setVisible(not first)
        if sheet.first is not None:
            self._reasons.show_first(sheet.first)
        self._advice.show_advice(self._standing(sheet), self._before(sheet))
        self._advice.show_answerable(self._waits_for_answer())
        self._cups.show_answerable(self._waits_for_answer())
        if sheet.last is not None and sheet.last.tasting is None:
            self._advice.show_advice(None, None)

    def _ask_cups(self, sheet: CoffeeSheet) -> None:
        """Ask the cups about a taste that nobody has answered yet."""
        tasted = sheet.last is not None and sheet.last.tasting is not None
        if sheet.last is not None and tasted and not sheet.advice_answered:
            self._cups.look(sheet.last.brew.id)
        else:
            self._cups.clear()

    def _heard_cups(self) -> None:
        """Show the advice that stands, now that both voices have spoken."""
        if self._sheet is not None and not self._sheet.advice_answered:
            self._show(self._sheet)

    def _brew(self) -> None:
        if self._sheet is None or self._sheet.next is None:
            return
        # Brewing what the sheet shows is an answer too, and the reason goes with it.
        if not self._accept_shown():
            return
        planned = self._sheet.next
        if planned.recipe.setting is None or not self._sheet.cups:
            self.plan_asked.emit(planned)
        else:
            self.brew_asked.emit(planned)

    def _waits_for_answer(self) -> bool:
        sheet = self._sheet
        if sheet is None or sheet.advice_answered:
            return False
        advice = self._standing(sheet)
        return advice is not None and advice.outcome is not Outcome.NOTHING

    def _brew_good(self) -> None:
        if self._sheet is not None:
            planned = good_one(self._desk.store, self._sheet.bag.id)
            if planned is not None:
                self.brew_asked.emit(planned)

    def _plan(self) -> None:
        if not self._accept_shown():
            return
        if self._sheet is not None and self._sheet.next is not None:
            self.plan_asked.emit(self._sheet.next)

    def _taste(self) -> None:
        if self._sheet is not None and self._sheet.last is not None:
            self.taste_asked.emit(self._sheet.last.brew.id)

    def _log(self) -> None:
        if not self._accept_shown():  # what is logged is what the sheet shows
            return
        if self._sheet is not None:
            self.log_asked.emit(self._sheet.bag.id)

    def _history(self) -> None:
        if self._coffee_id is not None:
            self.history_asked.emit(self._coffee_id)

    def _believe(self) -> None:
        if self._sheet is not None:
            self.believed_asked.emit(self._sheet.coffee.id, self._sheet.coffee.name)

    def _print(self) -> None:
        if self._sheet is not None and self._sheet.next is not None:
            recipe, changes = self._offered(self._sheet)
            self.print_asked.emit(replace(self._sheet.next, recipe=recipe, changes=changes))

    def _accept_shown(self) -> bool:
        """Say yes to what waits; return False where a key was meant for the advice before it."""
        if self._cups.has_just_turned():
            return False
        if self._waits_for_answer():
            self._answer(Answer.ACCEPTED, "")
        return True

    def _refused(self, reason: str) -> None:
        self._answer(Answer.REFUSED, reason)

    def _took(self, advice: Advice) -> None:
        self._answer(Answer.ACCEPTED, "", advice)

    def _answer(self, said: Answer, reason: str, advice: Advice | None = None) -> None:
        sheet = self._sheet
        if sheet is None or sheet.last is None or sheet.advice is None:
            return
        voices = self._cups.voices()
        done = answer(
            self._desk.store,
            sheet.last.brew.id,
            advice or (voices.advice if voices is not None else sheet.advice),
            said,
            reason=reason,
            clock=self._desk.clock,
        )
        self.changed.emit(done.touched)
        self.reload(done.touched)
        self.setFocus()


def _mode_of(sheet: CoffeeSheet) -> str:
    """Return what the next cup is for where nothing is moved, a code's end."""
    if not sheet.cups:
        return "first"
    good = sheet.next is not None and sheet.next.mode is Mode.GOOD_ONE
    return Mode.GOOD_ONE.value if good else "unmoved"
