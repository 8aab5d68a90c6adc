"""A trial under way: what is next, what was opened, and how the evidence stands."""

from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout

from halfclick.model.trial_round import VoidReason
from halfclick.service.trial_views import RoundView, TrialView
from halfclick.wording import Wording
from halfclick_desktop import trial_words
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.evidence_picture import EvidencePicture, Paths
from halfclick_desktop.widgets.field import ChoiceField, TextField
from halfclick_desktop.widgets.flow import Flow
from halfclick_desktop.widgets.hands_on import HandsOn
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.label import styled, typed
from halfclick_desktop.widgets.panel import Panel, scrolled, stacked
from halfclick_desktop.widgets.record_table import RecordTable

COLUMNS = ("number", "taster", "codes", "answer")

KEYS = {"v": "void", "g": "more", "f": "finish", "e": "end", "t": "taster_sheet"}
VOID_REASONS = tuple(reason for reason in VoidReason if reason is not VoidReason.ENDED)


class TrialOverview(HandsOn):
    """Shows a trial to whoever may see it: nothing that is sealed; Return prepares the next."""

    prepare_asked = Signal()
    key_typed = Signal(str)
    sheet_asked = Signal()
    taster_sheet_asked = Signal()
    void_asked = Signal(object, object)  # round id, reason
    more_asked = Signal()
    finish_asked = Signal()
    end_asked = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._view: TrialView | None = None
        self._end_is_meant = False
        self._title = typed("heading")
        self._about = typed("quiet")
        self._next = typed("next")
        self._last = typed("body")
        self._key = TextField(words, "trial_page.key", hint="trial_page.key_hint")
        self._picture = EvidencePicture(words("trial_page.evidence"))
        self._stands = typed("body")
        self._table = RecordTable(
            [words(f"trial_page.column_{name}") for name in COLUMNS], words("trial_page.rounds")
        )
        self._reason = ChoiceField(
            words,
            "trial_page.reason",
            [(words(f"trial_page.void_{reason.value}"), reason) for reason in VOID_REASONS],
        )
        self._buttons = self._made_buttons()
        self._evidence = Panel(words("trial_page.evidence"))
        self._lay_out()
        self.begin_at(self._buttons["prepare"])

    def _made_buttons(self) -> dict[str, QPushButton]:
        buttons = {}
        for name, does in (
            ("prepare", self._prepare),
            ("sheet", self.sheet_asked.emit),
            ("taster_sheet", self.taster_sheet_asked.emit),
            ("void", self._void),
            ("more", self.more_asked.emit),
            ("finish", self.finish_asked.emit),
            ("end", self._end),
        ):
            button = QPushButton(self._words(f"trial_page.{name}"))
            button.clicked.connect(does)
            buttons[name] = button
        buttons["sheet"].setShortcut("Ctrl+P")
        return buttons

    def _lay_out(self) -> None:
        words = self._words
        following = Panel(words("trial_page.next"))
        for widget in (self._next, self._last, self._key):
            following.add(widget)
        seal = Panel(words("trial.seal"))
        seal.add(styled("body", words("trial.seal_told")))
        seal.add(styled("quiet", words("trial.seal_limits")))
        self._evidence.add(self._picture, 1)
        self._evidence.add(self._stands)
        rounds = Panel(words("trial_page.rounds"))
        rounds.add(self._table, 1)
        aside = QHBoxLayout()
        aside.setSpacing(GROUPS)
        aside.addWidget(self._reason, 1)
        aside.addWidget(self._buttons["void"], 0, Qt.AlignmentFlag.AlignBottom)
        rounds.add(aside)
        shown = scrolled(stacked(self._evidence, rounds))
        body = Columns((scrolled(stacked(following, seal)), 4), (shown, 6))
        keys = Flow(
            *(
                self._buttons[name]
                for name in ("prepare", "sheet", "taster_sheet", "more", "finish", "end")
            )
        )
        keys.setSpacing(INSIDE)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(self._title)
        whole.addWidget(self._about)
        whole.addWidget(body, 1)
        whole.addLayout(keys)

    def show_view(self, view: TrialView, *, has_key: bool) -> None:
        """Show a trial as it stands."""
        words, trial = self._words, view.trial
        self._view = view
        self._title.setText(trial_words.subject(words, trial))
        self._about.setText(trial_words.about(words, view))
        following = view.next
        self._next.setText(self._said_next(view, following))
        self._last.setText(self._said_last(view))
        self._key.setVisible(not has_key)
        self._key.show_text("")
        self._table.show_rows([self._cells(one) for one in view.rounds], self._row_of(following))
        self._evidence.setVisible(trial.shows_as_it_goes)
        self._show_buttons(view, following, has_key=has_key)

    def show_evidence(self, paths: Paths, stands: str) -> None:
        """Show how the evidence stands."""
        self._picture.show_paths(paths)
        self._stands.setText(stands)

    def say_key(self, sentence: str) -> None:
        """Say what is wrong with the key typed."""
        self._key.show_error(sentence)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        name = KEYS.get(event.text().lower())
        if is_return(event):
            self._return_pressed()
        elif name is not None and self._buttons[name].isVisible():
            self._buttons[name].click()
        else:
            super().keyPressEvent(event)

    def _return_pressed(self) -> None:
        focused = self.focusWidget()
        if self._key.isVisible() and self._key.text():
            self.key_typed.emit(self._key.text())
        elif isinstance(focused, QPushButton):
            focused.click()
        else:
            self._main().click()

    def _main(self) -> QPushButton:
        return self._buttons["prepare" if self._view and self._view.next else "finish"]

    def _show_buttons(self, view: TrialView, following: RoundView | None, *, has_key: bool) -> None:
        prepare, finish = self._buttons["prepare"], self._buttons["finish"]
        prepare.setVisible(following is not None)
        prepare.setEnabled(has_key)
        self._buttons["sheet"].setEnabled(has_key)
        self._buttons["taster_sheet"].setVisible(following is not None)
        self._buttons["more"].setVisible(following is None and view.trial.shows_as_it_goes)
        finish.setVisible(bool(view.opened) or following is None)
        # What can be looked at any time is simply stopped; what is sealed is ended for good.
        sealed = not view.trial.shows_as_it_goes and following is not None and view.answered > 0
        self._end_is_meant = False
        self._buttons["end"].setText(self._words("trial_page.end"))
        self._buttons["end"].setVisible(sealed)
        self._buttons["end"].setEnabled(has_key)
        for button, is_main in ((prepare, following is not None), (finish, following is None)):
            button.setProperty("role", "main" if is_main else "")
            button.style().unpolish(button)
            button.style().polish(button)
        self.begin_at(self._main() if has_key else self._key)

    def _said_next(self, view: TrialView, following: RoundView | None) -> str:
        words = self._words
        if following is None:
            return words("trial_page.all_answered")
        name = trial_words.taster_name(view, following)
        if view.answered == 0 and view.trial.shows_as_it_goes:
            return words("trial_page.before_first", name=name)
        return words("trial_page.turn", number=following.round.number, name=name)

    def _said_last(self, view: TrialView) -> str:
        """Say how the last answer stands: opened, locked, or set aside."""
        words, trial = self._words, view.trial
        done = [one for one in view.rounds if not one.open_to_answer]
        if not done:
            return words("trial_page.labelled_first") if trial.shows_as_it_goes else ""
        last = max(done, key=_happened)
        if last.void is not None:
            return words("trial_page.set_aside", number=last.round.number)
        if last.opening is None:
            code = "waits_for_all" if trial.shows_as_it_goes else "waits_for_end"
            return words(f"trial_page.{code}", number=last.round.number)
        if trial.shows_as_it_goes and last.answer is not None:
            right = last.opening.brews[last.answer.chosen[0]] == 0
            cup = last.round.codes[last.opening.brews.index(0)]
            code = "was_right" if right else "was_wrong"
            return words(f"trial_page.{code}", cup=cup, first=trial.names[0])
        return ""

    def _cells(self, one: RoundView) -> tuple[str, ...]:
        words = self._words
        taster = self._view.trial.tasters[one.round.taster] if self._view else ""
        return (
            str(one.round.number),
            taster,
            trial_words.codes_text(one),
            self._answer_cell(one) if not one.open_to_answer else words("trial_page.to_come"),
        )

    def _answer_cell(self, one: RoundView) -> str:
        words = self._words
        if one.void is not None:
            return words(
                "trial_page.cell_void", why=words(f"trial_page.void_{one.void.reason.value}")
            )
        if one.opening is None or self._view is None:
            return words("trial_page.cell_locked")
        trial = self._view.trial
        if trial.shows_as_it_goes and one.answer is not None:
            right = one.opening.brews[one.answer.chosen[0]] == 0
            sure = words(f"trial_taster.{one.answer.sureness.value}") if one.answer.sureness else ""
            return words(f"trial_page.cell_{'right' if right else 'wrong'}", sure=sure)
        return words("trial_page.cell_opened")

    def _row_of(self, one: RoundView | None) -> int:
        if self._view is None or not self._view.rounds:
            return 0
        return len(self._view.rounds) - 1 if one is None else self._view.rounds.index(one)

    def _prepare(self) -> None:
        self.prepare_asked.emit()

    def _end(self) -> None:
        """End the trial when it is asked a second time: it cannot be taken back."""
        if self._end_is_meant:
            self.end_asked.emit()
            return
        self._end_is_meant = True
        self._buttons["end"].setText(self._words("trial_page.end_really"))

    def _void(self) -> None:
        row = self._table.chosen()
        if self._view is None or not 0 <= row < len(self._view.rounds):
            return
        round_id: UUID = self._view.rounds[row].round.id
        self.void_asked.emit(round_id, self._reason.value())


def _happened(one: RoundView) -> tuple[float, int]:
    at = one.void.voided_at if one.void else one.answer.locked_at if one.answer else None
    return (at.timestamp() if at else 0.0, one.round.number)
