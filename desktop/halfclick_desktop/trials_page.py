"""Blind trials: those under way and what was found, and the way into a new one."""

from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from halfclick.service.done import Touched
from halfclick.service.trial_views import TrialView, all_trials
from halfclick.service.trials import bury_trial, unbury_trial
from halfclick_desktop import trial_words
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.record_table import RecordTable

COLUMNS = ("begun", "what", "kind", "answers", "state")
KEYS = {"n": "new", "p": "paper"}


class TrialsPage(QWidget):
    """Lists the trials, the newest first; one key for each thing to do."""

    changed = Signal(Touched)
    new_asked = Signal()
    paper_asked = Signal()
    open_asked = Signal(object)  # trial id

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._views: tuple[TrialView, ...] = ()
        self._buried: UUID | None = None
        words = desk.words
        self._why = styled("body", words("trials_page.why"))
        header = [words(f"trials_page.column_{name}") for name in COLUMNS]
        self._table = RecordTable(header, words("rail.trials"))
        self._table.row_opened.connect(self._open)
        self._notice = Notice(words)
        self._notice.undo_asked.connect(self._undo)
        self._buttons: dict[str, QPushButton] = {}
        for name, does in (
            ("open", self._open),
            ("new", self.new_asked.emit),
            ("paper", self.paper_asked.emit),
            ("bury", self._bury),
        ):
            button = QPushButton(words(f"trials_page.{name}"))
            button.clicked.connect(does)
            self._buttons[name] = button
        self._buttons["new"].setProperty("role", "main")
        self._lay_out()

    def _lay_out(self) -> None:
        keys = QHBoxLayout()
        keys.setSpacing(INSIDE)
        for button in self._buttons.values():
            keys.addWidget(button)
        keys.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(styled("heading", self._desk.words("rail.trials")))
        whole.addWidget(self._notice)
        whole.addWidget(self._why)
        whole.addWidget(self._table, 1)
        whole.addLayout(keys)
        self._stretch = QWidget()
        whole.addWidget(self._stretch, 1)

    def reload(self, touched: Touched) -> None:
        """Read the trials again where one may have changed."""
        if not touched & (Touched.TRIALS | Touched.COFFEES):
            return
        self._views = all_trials(self._desk.store)
        self._table.show_rows([self._cells(view) for view in self._views])
        there = bool(self._views)
        self._why.setVisible(not there)
        self._table.setVisible(there)
        self._stretch.setVisible(not there)
        for name in ("open", "bury"):
            self._buttons[name].setVisible(there)
        self.setFocusProxy(self._table if there else self._buttons["new"])

    def keyPressEvent(self, event: QKeyEvent) -> None:
        name = KEYS.get(event.text().lower())
        if event.key() == Qt.Key.Key_Delete:
            name = "bury"
        elif is_return(event):
            name = "open" if self._views else "new"
        if name is None:
            super().keyPressEvent(event)
        else:
            self._buttons[name].click()

    def _cells(self, view: TrialView) -> tuple[str, ...]:
        words = self._desk.words
        return (
            words.day(view.trial.begun_at.astimezone().date()),
            trial_words.subject(words, view.trial),
            trial_words.kind_name(words, view.trial),
            trial_words.progress(words, view),
            trial_words.state(words, view),
        )

    def _chosen(self) -> TrialView | None:
        row = self._table.chosen()
        return self._views[row] if 0 <= row < len(self._views) else None

    def _open(self) -> None:
        view = self._chosen()
        if view is not None:
            self.open_asked.emit(view.trial.id)

    def _bury(self) -> None:
        view = self._chosen()
        if view is None:
            return
        done = bury_trial(self._desk.store, view.trial.id, clock=self._desk.clock)
        self._buried = done.value
        self.changed.emit(done.touched)
        self._notice.say(self._desk.words("trials_page.buried"), undo=True)

    def _undo(self) -> None:
        if self._buried is not None:
            done = unbury_trial(self._desk.store, self._buried, clock=self._desk.clock)
            self._buried = None
            self.changed.emit(done.touched)
