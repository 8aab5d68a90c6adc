"""The taster's page of a round: codes and questions, each answered by one key; nothing else."""

from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from functools import partial
from itertools import combinations, pairwise
from uuid import uuid4

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from halfclick.model.trial import Trial
from halfclick.model.trial_kinds import Blinding, Sureness, TrialKind
from halfclick.model.trial_round import MOST_GRADE, TrialAnswer, TrialRound
from halfclick.service.trial_views import RoundView, TrialView
from halfclick.wording import Wording
from halfclick_desktop import trial_words
from halfclick_desktop.letting_go import let_go
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.cup_codes import CupCodes
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.label import styled, typed
from halfclick_desktop.widgets.mark_row import MarkRow
from halfclick_desktop.widgets.panel import Panel

NEITHER = "neither"
SURENESS_KEYS = {"g": Sureness.GUESS, "l": Sureness.LEANING, "s": Sureness.SURE}
NOT_YET = datetime.min.replace(tzinfo=UTC)  # when it is locked, the journal says when


class TasterSheet(QWidget):
    """Asks one round of its taster; Return locks the answer."""

    locked = Signal(object)  # TrialAnswer
    told_otherwise = Signal()  # something but taste told: the round is set aside
    left = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._view: TrialView | None = None
        self._round: RoundView | None = None
        self._rows: dict[str, MarkRow] = {}
        self._heading = typed("heading")
        self._how = typed("body")
        self._time = styled("next")
        self._cups = CupCodes()
        self._panel = Panel(words("trial_taster.answers"))
        self._lock = QPushButton(words("trial_taster.lock"))
        self._lock.setProperty("role", "main")
        self._lock.clicked.connect(self._lock_clicked)
        self._back = QPushButton(words("trial_helper.back"))
        self._back.clicked.connect(self.left)
        self._error = styled("caution")
        keys = QHBoxLayout()
        keys.setSpacing(INSIDE)
        keys.addWidget(self._lock)
        keys.addWidget(self._back)
        keys.addWidget(self._error, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        for widget in (self._heading, self._how, self._time, self._cups, self._panel):
            whole.addWidget(widget)
        whole.addStretch(1)
        whole.addLayout(keys)

    def show_round(self, view: TrialView, one: RoundView) -> None:
        """Ask a round."""
        self._view, self._round = view, one
        words, trial = self._words, view.trial
        name = trial_words.taster_name(view, one)
        self._heading.setText(
            words(f"trial_taster.ask_{trial.kind.value}", name=name, first=trial.names[0])
        )
        codes = one.round.codes
        how = words(f"trial_taster.how_{trial.kind.value}", first=trial.names[0])
        if trial.blinding is Blinding.ALONE:
            how = f"{how} {words('trial_taster.alone')}"
        if trial.kind is TrialKind.GROUPING:
            how = "\n".join((how, *ways_of(codes).values()))
        self._how.setText(how)
        under = [words("trial_taster.cup", place=place) for place in range(1, len(codes) + 1)]
        self._cups.show_cups(codes, under)
        self._show_rows(rows_of(words, trial, one.round))
        self._error.setText("")

    def show_time(self, text: str) -> None:
        """Show how long the cups still cool."""
        self._time.setText(text)
        self._time.setVisible(bool(text))

    def say(self, sentence: str) -> None:
        """Say what cannot be."""
        self._error.setText(sentence)

    def focus_first(self) -> None:
        """Put the keys on the first question."""
        next(iter(self._rows.values())).setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            self._back.click() if self._back.hasFocus() else self._lock.click()
        else:
            super().keyPressEvent(event)

    def _show_rows(self, rows: dict[str, MarkRow]) -> None:
        for row in self._rows.values():
            self._panel.body.removeWidget(row)
            row.hide()
            let_go(row)
        self._rows = rows
        for row in rows.values():
            self._panel.add(row)
            row.show()
        inside = list(rows.values())
        order = [*inside, self._lock, self._back]
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)
        for place, row in enumerate(inside):
            following: QWidget = inside[place + 1] if place + 1 < len(inside) else self._lock
            row.passed.connect(partial(_focus, following))
            row.gone_back.connect(partial(_focus, inside[max(place - 1, 0)]))
        self.setFocusProxy(inside[0])

    def _lock_clicked(self) -> None:
        view, one = self._view, self._round
        if view is None or one is None:
            return
        values = {name: row.value() for name, row in self._rows.items()}
        missing = [name for name, value in values.items() if value is None]
        if missing:
            self._error.setText(self._words("trial_taster.missing"))
            self._rows[missing[0]].setFocus()
            return
        if values.pop("told") is True:
            self.told_otherwise.emit()
            return
        answer = _answer(view.trial.kind, one, values)
        if answer is None:
            self._error.setText(self._words("trial_taster.twice"))
            return
        self.locked.emit(answer)


def rows_of(words: Wording, trial: Trial, asked: TrialRound) -> dict[str, MarkRow]:
    """Return the questions of a round, in the order they are asked."""
    rows = _QUESTIONS[trial.kind](words, asked.codes)
    if trial.asks_liking and trial.kind is not TrialKind.PREFERENCE:
        rows["liked"] = _cup_row(words, "trial_taster.liked", asked.codes, neither=True)
    told = {"n": False, "y": True}
    shown: Mapping[object, str] = {False: words("trial_taster.no"), True: words("trial_taster.yes")}
    rows["told"] = MarkRow(words, "trial_taster.told", told, shown, hint="trial_taster.told_keys")
    return rows


def _named(words: Wording, codes: tuple[str, ...]) -> dict[str, MarkRow]:
    shown: Mapping[object, str] = {
        one: words(f"trial_taster.{one.value}") for one in SURENESS_KEYS.values()
    }
    sure = MarkRow(
        words, "trial_taster.sureness", SURENESS_KEYS, shown, hint="trial_taster.sureness_keys"
    )
    return {"cup": _cup_row(words, "trial_taster.which", codes), "sureness": sure}


def _graded(words: Wording, codes: tuple[str, ...]) -> dict[str, MarkRow]:
    grades = range(-MOST_GRADE, MOST_GRADE + 1)
    keys = {str(place): grade for place, grade in enumerate(grades, start=1)}
    shown: dict[object, str] = {}
    for grade in grades:
        code = codes[0] if grade < 0 else codes[1]
        shown[grade] = words(f"trial_taster.grade_{abs(grade)}", cup=code)
    return {
        "grade": MarkRow(words, "trial_taster.grade", keys, shown, hint="trial_taster.grade_keys")
    }


def ways_of(codes: tuple[str, ...]) -> dict[tuple[int, ...], str]:
    """Return the three ways to make two groups of two of four cups, each with its key."""
    told: dict[tuple[int, ...], str] = {}
    for key, way in enumerate((pair for pair in combinations(range(4), 2) if 0 in pair), start=1):
        rest = [place for place in range(4) if place not in way]
        one, other = (" + ".join(codes[place] for place in group) for group in (way, rest))
        told[way] = f"{key}:  {one}   |   {other}"
    return told


def _grouped(words: Wording, codes: tuple[str, ...]) -> dict[str, MarkRow]:
    ways = ways_of(codes)
    keys: dict[str, object] = {str(key): way for key, way in enumerate(ways, start=1)}
    shown: dict[object, str] = {way: told.partition(":  ")[2] for way, told in ways.items()}
    return {
        "groups": MarkRow(words, "trial_taster.groups", keys, shown, hint="trial_taster.group_keys")
    }


def _odd(words: Wording, codes: tuple[str, ...]) -> dict[str, MarkRow]:
    return {"cup": _cup_row(words, "trial_taster.odd", codes)}


def _preferred(words: Wording, codes: tuple[str, ...]) -> dict[str, MarkRow]:
    return {"liked": _cup_row(words, "trial_taster.liked", codes, neither=True)}


def _ranked(words: Wording, codes: tuple[str, ...]) -> dict[str, MarkRow]:
    return {
        f"place_{place}": _cup_row(words, f"trial_taster.place_{place}", codes)
        for place in range(1, len(codes) + 1)
    }


_QUESTIONS: dict[TrialKind, Callable[[Wording, tuple[str, ...]], dict[str, MarkRow]]] = {
    TrialKind.NAMED_PAIR: _named,
    TrialKind.GRADED_PAIRS: _graded,
    TrialKind.GROUPING: _grouped,
    TrialKind.TRIANGLE: _odd,
    TrialKind.PREFERENCE: _preferred,
    TrialKind.RANKING: _ranked,
}


def _cup_row(
    words: Wording, label: str, codes: tuple[str, ...], *, neither: bool = False
) -> MarkRow:
    keys: dict[str, object] = {str(place): place - 1 for place in range(1, len(codes) + 1)}
    shown: dict[object, str] = dict(enumerate(codes))
    hint = f"trial_taster.keys_{len(codes)}"
    if neither:
        keys["0"] = NEITHER
        shown[NEITHER] = words("trial_taster.neither")
        hint = f"trial_taster.keys_{len(codes)}_neither"
    return MarkRow(words, label, keys, shown, hint=hint)


def _answer(kind: TrialKind, one: RoundView, values: dict[str, object]) -> TrialAnswer | None:
    """Return an answer as it will be locked; None where a cup was ranked twice."""
    chosen: tuple[int, ...] = ()
    if kind is TrialKind.RANKING:
        chosen = tuple(_whole(value) for name, value in values.items() if name.startswith("place"))
        if len(set(chosen)) != len(chosen):
            return None
    elif kind is TrialKind.GROUPING:
        groups = values["groups"]
        chosen = groups if isinstance(groups, tuple) else ()
    elif "cup" in values:
        chosen = (_whole(values["cup"]),)
    liked, sureness = values.get("liked"), values.get("sureness")
    return TrialAnswer(
        id=uuid4(),
        round_id=one.round.id,
        locked_at=NOT_YET,
        chosen=chosen,
        sureness=sureness if isinstance(sureness, Sureness) else None,
        grade=_whole(values["grade"]) if "grade" in values else None,
        liked=liked if isinstance(liked, int) else None,
    )


def _whole(value: object) -> int:
    if not isinstance(value, int):
        raise TypeError(f"no number: {value}")
    return value


def _focus(widget: QWidget) -> None:
    widget.setFocus()
