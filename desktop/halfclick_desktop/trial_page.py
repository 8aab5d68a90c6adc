"""A trial under way, from hand to hand: its overview, the helper's page and the taster's."""

import secrets
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QStackedLayout, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.trial_round import TrialAnswer, VoidReason
from halfclick.service.done import Done, Touched
from halfclick.service.trial_codes import drawn_codes
from halfclick.service.trial_seal import brews_in, checked_key
from halfclick.service.trial_subjects import recipes_of
from halfclick.service.trial_views import TrialView, trial_view, trials_ever
from halfclick.service.trials import end_early, go_on, helper_key, lock, open_due, serve, void
from halfclick.store.journal import Store
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.trial_helper import HelperSheet
from halfclick_desktop.trial_overview import TrialOverview
from halfclick_desktop.trial_paths import paths_of, stands_text
from halfclick_desktop.trial_taster import TasterSheet
from halfclick_desktop.widgets.hands_on import HandsOn
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.serving_timer import ServingTimer

if TYPE_CHECKING:
    from halfclick.trials.named_pair import Running  # scipy comes with it

# Random bytes for the codes of rounds that are added.
ENTROPY: Callable[[int], bytes] = secrets.token_bytes


class TrialPage(HandsOn):
    """Hands a trial from the helper to the taster and back; Escape goes back to the overview."""

    changed = Signal(Touched)
    finished = Signal(object)  # trial id: its verdict is to be shown
    sheet_asked = Signal(object, str)  # TrialView, the helper's key
    taster_sheet_asked = Signal(object)  # TrialView

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._view: TrialView | None = None
        self._key: str | None = None
        self._latest = Latest(desk.jobs, self)
        self._latest.done.connect(self._show_run)
        self._latest.failed.connect(self._say)
        self._notice = Notice(desk.words)
        self._overview = TrialOverview(desk.words)
        self._helper = HelperSheet(desk.words)
        self._taster = TasterSheet(desk.words)
        self._timer = ServingTimer(desk.words, desk.clock, self)
        self._connect()
        pages = QWidget()
        self._stack = QStackedLayout(pages)
        for part in (self._overview, self._helper, self._taster):
            self._stack.addWidget(part)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self._notice)
        whole.addWidget(pages, 1)
        self.begin_at(self._overview)

    def _connect(self) -> None:
        overview, helper, taster = self._overview, self._helper, self._taster
        overview.prepare_asked.connect(self._prepare)
        overview.key_typed.connect(self._key_typed)
        overview.sheet_asked.connect(self._ask_sheet)
        overview.taster_sheet_asked.connect(self._ask_taster_sheet)
        overview.void_asked.connect(self._void)
        overview.more_asked.connect(self._more)
        overview.finish_asked.connect(self._finish)
        overview.end_asked.connect(self._end)
        helper.handed_over.connect(self._hand_over)
        helper.timer_asked.connect(self._timer.start)
        helper.left.connect(self._to_overview)
        taster.locked.connect(self._lock)
        taster.told_otherwise.connect(self._told_otherwise)
        taster.left.connect(self._to_overview)
        self._timer.told.connect(helper.show_time)
        self._timer.told.connect(taster.show_time)

    def show_trial(self, trial_id: UUID) -> None:
        """Show a trial where it was left."""
        self._view = trial_view(self._desk.store, trial_id)
        self._key = helper_key(self._desk.store, self._view)
        self._timer.stop()
        self._notice.hide()
        self._to_overview()

    def reload(self, touched: Touched) -> None:
        """Read the trial again where it may have changed elsewhere."""
        if touched & Touched.TRIALS and self._view is not None:
            self._show(trial_view(self._desk.store, self._view.trial.id))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self._stack.currentWidget() is not self._overview:
            self._to_overview()
        else:
            super().keyPressEvent(event)

    def _to_overview(self) -> None:
        self._turn_to(self._overview)
        if self._view is not None:
            self._show(self._view)

    def _turn_to(self, part: QWidget) -> None:
        self._stack.setCurrentWidget(part)
        self.begin_at(part)
        part.setFocus()

    def _show(self, view: TrialView) -> None:
        self._view = view
        self._overview.show_view(
            view, has_key=self._key is not None or (not view.is_sealed and view.next is None)
        )
        if view.trial.shows_as_it_goes:
            self._latest.ask(partial(_run, self._desk.store, view))

    def _needs_no_key(self, view: TrialView) -> bool:
        """Return whether the key is there, or nothing is left that needs it."""
        return self._key is not None or (view.next is None and not view.is_sealed)

    def _show_run(self, run: "Running") -> None:
        words, view = self._desk.words, self._view
        if view is not None:
            self._overview.show_evidence(paths_of(words, view, run), stands_text(words, view, run))

    def _key_typed(self, typed: str) -> None:
        if self._view is None:
            return
        try:
            self._key = checked_key(self._view.trial, typed)
        except CoreError as error:
            self._overview.say_key(self._desk.words.sentence(error))
            return
        self._open_what_is_due()
        self._to_overview()

    def _prepare(self) -> None:
        view, key = self._view, self._key
        following = view.next if view else None
        if view is None or key is None or following is None:
            return
        brews = brews_in(view.trial, key, following.round)
        told = recipes_of(self._desk.store, view.trial)
        recipes = [self._desk.words.sentence(one) for one in told]
        self._helper.show_round(view, following, brews, recipes)
        self._turn_to(self._helper)

    def _ask_sheet(self) -> None:
        if self._view is not None and self._key is not None:
            self.sheet_asked.emit(self._view, self._key)

    def _ask_taster_sheet(self) -> None:
        if self._view is not None:
            self.taster_sheet_asked.emit(self._view)

    def _hand_over(self, measured: dict[str, Any]) -> None:
        view, key = self._view, self._key
        following = view.next if view else None
        if view is None or key is None or following is None:
            return
        try:
            serve(self._desk.store, view, key, clock=self._desk.clock, **measured)
        except CoreError as error:
            self._helper.say(self._desk.words.sentence(error))
            return
        self._taster.show_round(view, following)
        self._turn_to(self._taster)
        self._taster.focus_first()

    def _lock(self, answer: TrialAnswer) -> None:
        view = self._view
        if view is None:
            return
        done = self._done(partial(lock, self._desk.store, view, answer, clock=self._desk.clock))
        if done is not None:
            self._after_answer()

    def _told_otherwise(self) -> None:
        following = self._view.next if self._view else None
        if following is not None:
            self._void(following.round.id, VoidReason.TOLD)

    def _void(self, round_id: UUID, reason: VoidReason) -> None:
        view = self._view
        if view is None:
            return
        done = self._done(
            partial(
                void,
                self._desk.store,
                view,
                round_id,
                reason,
                clock=self._desk.clock,
                codes=drawn_codes(ENTROPY),
            )
        )
        if done is not None:
            self._after_answer()

    def _after_answer(self) -> None:
        self._timer.stop()
        if self._view is not None:
            self._view = trial_view(self._desk.store, self._view.trial.id)
        self._open_what_is_due()
        self._to_overview()
        self.changed.emit(Touched.TRIALS)

    def _open_what_is_due(self) -> None:
        view, key = self._view, self._key
        if view is None or key is None or not view.due:
            return
        done = self._done(partial(open_due, self._desk.store, view, key, clock=self._desk.clock))
        if done is not None:
            self._view = done.value

    def _more(self) -> None:
        view = self._view
        if view is None:
            return
        codes = drawn_codes(ENTROPY)
        done = self._done(
            partial(go_on, self._desk.store, view, clock=self._desk.clock, codes=codes)
        )
        if done is not None:
            self._show(done.value)
            self.changed.emit(done.touched)

    def _end(self) -> None:
        view = self._view
        if view is None or self._key is None:
            return
        if self._done(partial(end_early, self._desk.store, view, clock=self._desk.clock)):
            self._after_answer()
            self._finish()

    def _finish(self) -> None:
        if self._view is not None:
            self.finished.emit(self._view.trial.id)

    def _done(self, does: Callable[[], Done[Any]]) -> Done[Any] | None:
        """Do something, and say what cannot be."""
        try:
            return does()
        except CoreError as error:
            self._say(error)
            return None

    def _say(self, error: CoreError) -> None:
        self._notice.say(self._desk.words.sentence(error))


def _run(store: Store, view: TrialView) -> "Running":
    """Work the evidence out; called off the main thread."""
    from halfclick.service.trial_verdict import running  # loads scipy

    return running(view, trials_ever(store))
