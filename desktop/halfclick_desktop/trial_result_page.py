"""What a trial found: the verdict first, then a picture, then how it was done."""

from dataclasses import dataclass
from functools import partial
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFileDialog, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.trial_kinds import TrialKind
from halfclick.service.done import Touched
from halfclick.service.trial_findings import effect_of
from halfclick.service.trial_subjects import facts_of, records_of
from halfclick.service.trial_views import TrialView, trial_view, trials_ever
from halfclick.store.journal import Store
from halfclick.wording import Message, number
from halfclick_desktop import trial_words
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.trial_paths import paths_of
from halfclick_desktop.widgets.evidence_picture import EvidencePicture
from halfclick_desktop.widgets.flow import Flow
from halfclick_desktop.widgets.interval_picture import IntervalPicture
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.label import styled, typed
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.panel import Panel, scrolled, stacked

if TYPE_CHECKING:
    from halfclick.service.trial_verdict import Told  # scipy comes with it
    from halfclick.trials.named_pair import Running


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """A trial with its verdict as the mathematics gave it, and what it was made with."""

    view: TrialView
    told: "Told"
    run: "Running | None"
    strengths_apart: bool
    facts: tuple[Message, ...]


class TrialResultPage(QWidget):
    """Shows a verdict; Return files it where it is not yet, Ctrl+P prints, X saves JSON."""

    changed = Signal(Touched)
    left = Signal()
    print_asked = Signal(object)  # Result
    again_asked = Signal(object)  # Trial, to be asked again at equal strength

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._result: Result | None = None
        self._trial_id: UUID | None = None
        self._latest = Latest(desk.jobs, self)
        self._latest.done.connect(self._show)
        self._latest.failed.connect(self._say)
        words = desk.words
        self._about = typed("quiet")
        self._verdict = typed("heading")
        self._more = typed("body")
        self._cautions = typed("caution")
        self._liking = typed("body")
        self._evidence = EvidencePicture(words("trial_page.evidence"))
        self._interval = IntervalPicture()
        self._interval_text = styled("quiet")
        self._how = typed("body")
        self._facts = typed("body")
        self._effect = styled("body")
        self._notice = Notice(words)
        self._buttons: dict[str, QPushButton] = {}
        for name, does in (
            ("file", self._file),
            ("go_on", self.left.emit),
            ("print", self._print),
            ("json", self._json_asked),
            ("again", self._ask_again),
        ):
            button = QPushButton(words(f"trial_result.{name}"))
            button.clicked.connect(does)
            self._buttons[name] = button
        self._buttons["file"].setProperty("role", "main")
        self._buttons["again"].hide()
        self._buttons["print"].setShortcut("Ctrl+P")
        self._lay_out()

    def _lay_out(self) -> None:
        words = self._desk.words
        verdict = Panel(words("trial_result.verdict"))
        for widget in (self._verdict, self._more, self._liking, self._cautions, self._effect):
            verdict.add(widget)
        self._picture = Panel(words("trial_result.size"))
        self._picture.add(self._interval)
        self._picture.add(self._interval_text)
        self._picture.add(self._evidence)
        how = Panel(words("trial_result.how"))
        how.add(self._how)
        how.add(self._facts)
        keys = Flow(*self._buttons.values())
        keys.setSpacing(INSIDE)
        content = stacked(verdict, self._picture, how)
        content.setContentsMargins(0, 0, GROUPS, 0)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(self._about)
        whole.addWidget(self._notice)
        whole.addWidget(scrolled(content), 1)
        whole.addLayout(keys)

    def show_trial(self, trial_id: UUID) -> None:
        """Show the verdict of a trial; it is worked out off the main thread."""
        self._trial_id = trial_id
        self._result = None
        self._notice.hide()
        self._about.setText(self._desk.words("trial_result.working"))
        self._ask()

    def reload(self, touched: Touched) -> None:
        """Work the verdict out again where the trial may have changed."""
        if touched & Touched.TRIALS and self._trial_id is not None:
            self._ask()

    def result(self) -> Result | None:
        """Return what is shown; None while it is being worked out."""
        return self._result

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            filed = self._buttons["file"].isHidden()
            press_main(self, self._buttons["go_on" if filed else "file"])
        elif event.text().lower() == "x":
            self._buttons["json"].click()
        elif event.text().lower() == "q" and self._buttons["again"].isVisible():
            self._buttons["again"].click()
        else:
            super().keyPressEvent(event)

    def _ask(self) -> None:
        if self._trial_id is not None:
            self._latest.ask(partial(_result, self._desk.store, self._trial_id))

    def _show(self, result: Result) -> None:
        words, view, main = self._desk.words, result.view, result.told.main
        self._result = result
        trial = view.trial
        about = trial_words.about(words, view)
        self._about.setText(f"{trial_words.subject(words, trial)} · {about}")
        said = [words.sentence(one) for one in main.sentences]
        self._verdict.setText(said[0] if said else words("trial_result.nothing"))
        self._more.setText("\n".join(said[1:]))
        self._more.setVisible(len(said) > 1)
        liking = result.told.liking
        self._liking.setText(words.sentences(liking.sentences) if liking else "")
        self._liking.setVisible(liking is not None)
        self._cautions.setText("\n".join(words.sentence(one) for one in main.cautions))
        self._cautions.setVisible(bool(main.cautions))
        self._show_pictures(result)
        self._how.setText("\n".join(how_done(self._desk, view)))
        self._facts.setText(" · ".join(words.sentence(fact) for fact in result.facts))
        self._facts.setVisible(bool(result.facts))
        effect = effect_of(view)
        self._effect.setText(words.sentence(effect) if effect else "")
        self._effect.setVisible(effect is not None)
        self._buttons["file"].setVisible(view.finding is None and main.asked > 0)
        self._buttons["again"].setVisible(result.strengths_apart)
        self._buttons["go_on"].setText(
            words("trial_result.go_on" if view.finding is None else "trial_result.list")
        )
        self.setFocusProxy(self._buttons["file" if view.finding is None else "go_on"])

    def _show_pictures(self, result: Result) -> None:
        words = self._desk.words
        drawn = interval_drawn(self._desk, result)
        for widget in (self._interval, self._interval_text):
            widget.setVisible(drawn is not None)
        if drawn is not None:
            self._interval.show_interval(*drawn)
            self._interval_text.setText(drawn[0])
        self._picture.setVisible(drawn is not None or result.run is not None)
        self._evidence.setVisible(result.run is not None)
        if result.run is not None:
            self._evidence.show_paths(paths_of(words, result.view, result.run))

    def _file(self) -> None:
        from halfclick.service.trial_verdict import file_finding  # loads scipy

        if self._result is None:
            return
        desk, result = self._desk, self._result
        try:
            done = file_finding(desk.store, result.view, result.told, clock=desk.clock)
        except CoreError as error:
            self._say(error)
            return
        self._buttons["file"].hide()
        self._buttons["go_on"].setFocus()
        self.changed.emit(done.touched)
        of_habit = result.view.trial.habit is not None
        self._notice.say(desk.words(f"trial_result.filed{'' if of_habit else '_brews'}"))

    def _print(self) -> None:
        if self._result is not None:
            self.print_asked.emit(self._result)

    def _ask_again(self) -> None:
        if self._result is not None:
            self.again_asked.emit(self._result.view.trial)

    def _json_asked(self) -> None:
        words = self._desk.words
        name = f"{words('rail.trials')} {self._desk.today().isoformat()}.json"
        path, _ = QFileDialog.getSaveFileName(
            self, words("trial_result.json"), name, words("exchange.json_files")
        )
        if path:
            self.write_json(Path(path) if Path(path).suffix else Path(f"{path}.json"))

    def write_json(self, path: Path) -> None:
        """Write the trial to a file, and say where it lies."""
        from halfclick.service.trial_document import write_trial  # loads scipy

        if self._result is None:
            return
        try:
            write_trial(self._result.view, self._result.told, path, now=self._desk.clock())
        except CoreError as error:
            self._say(error)
            return
        self._notice.say(self._desk.words("trial_result.written", path=str(path)))

    def _say(self, error: CoreError) -> None:
        self._notice.say(self._desk.words.sentence(error))


def how_done(desk: Desk, view: TrialView) -> list[str]:
    """Return how a trial was done, a sentence each."""
    words, trial = desk.words, view.trial
    first = trial.begun_at.astimezone().date()
    said = [words("trial_result.begun", day=first, tasters=list(trial.tasters))]
    if trial.seal is None:
        blinding = words(f"trial.blinding_{trial.blinding.value}")
        said.append(words("trial_result.from_paper"))
        said.append(words("trial_result.blinding_told", blinding=blinding))
    else:
        said.append(words(f"trial_result.blinding_{trial.blinding.value}"))
    said.append(words("trial_result.split" if trial.split else "trial_result.fresh"))
    if trial.note:
        said.append(trial.note)
    if view.voided:
        said.append(words("trial_result.voided", count=view.voided))
    temperatures = [
        one.serving.temperature_c
        for one in view.opened
        if one.serving is not None and one.serving.temperature_c is not None
    ]
    if temperatures:
        said.append(words("trial_result.served", low_c=min(temperatures), high_c=max(temperatures)))
    return said


Drawn = tuple[str, str, tuple[float, float], float, tuple[float, str] | None]


def interval_drawn(desk: Desk, result: Result) -> Drawn | None:
    """Return what `IntervalPicture.show_interval` takes; None where there is no interval."""
    main, trial = result.told.main, result.view.trial
    within = main.dprime_within
    if within is None:
        return None
    bound = None
    if trial.kind not in {TrialKind.PREFERENCE, TrialKind.RANKING}:
        bound = (trial.smaller_than_d, desk.words("trial_result.bound", given=trial.smaller_than_d))
    axis = desk.words(f"trial_result.axis{'_liking' if bound is None else ''}")
    middle = main.dprime if main.dprime is not None else within.low
    return interval_text(desk, result), axis, (within.low, within.high), middle, bound


def interval_text(desk: Desk, result: Result) -> str:
    """Return a d' and its interval in words."""
    main = result.told.main
    within = main.dprime_within
    if within is None:
        return ""
    code = "any_time" if main.evidence is not None else "at_the_end"
    if within.high == inf and within.low == -inf:
        return desk.words("trial_result.unbounded")
    if within.high == inf:
        return desk.words(f"trial_result.{code}_open", low=number(within.low, 2))
    if within.low == -inf:
        return desk.words(f"trial_result.{code}_below", high=number(within.high, 2))
    low, high = number(within.low, 2), number(within.high, 2)
    return desk.words(f"trial_result.{code}", low=low, high=high)


def _result(store: Store, trial_id: UUID) -> Result:
    """Work a verdict out; called off the main thread."""
    from halfclick.service.trial_verdict import running, strength_check, tell  # loads scipy

    view, others = trial_view(store, trial_id), trials_ever(store)
    run = running(view, others) if view.trial.shows_as_it_goes and view.opened else None
    facts = facts_of(store, view.trial, view.trial.begun_at.astimezone().date())
    records = records_of(store, view.trial)
    check = strength_check(view, records)
    return Result(
        view=view,
        told=tell(view, others, records),
        run=run,
        strengths_apart=check is not None and check.noticeable,
        facts=facts,
    )
