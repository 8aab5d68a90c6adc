"""The helper's page of a round: which brew goes into which cup, and what was measured of it."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import BadInput
from halfclick.model.trial_kinds import Blinding
from halfclick.service.trial_views import RoundView, TrialView
from halfclick.wording import Wording
from halfclick_desktop import trial_words
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.cup_codes import CupCodes
from halfclick_desktop.widgets.field import NumberField
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.label import styled, typed
from halfclick_desktop.widgets.panel import Panel, scrolled

# From the brew into a small cup, until it is cool enough to judge; our own estimate, no source.
COOLING_MIN = 6.0
MINUTE_S = 60.0
MOST_CUPS = 5


class HelperSheet(QWidget):
    """Shows the cups of one round to the helper; Return hands over to the taster."""

    handed_over = Signal(object)  # dict of what was measured
    timer_asked = Signal(float)  # s
    left = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._heading = typed("heading")
        self._do = typed("body")
        self._cups = CupCodes()
        self._weights = [NumberField(words, "trial_helper.weight", unit="g") for _ in range(5)]
        self._strengths = [
            NumberField(words, "trial_helper.strength", unit="%", scale=100.0, decimals=2)
            for _ in range(MOST_CUPS)
        ]
        self._temperature = NumberField(words, "trial_helper.temperature", unit="°C")
        self._minutes = NumberField(words, "trial_helper.minutes", decimals=0)
        self._minutes.show_value(COOLING_MIN)
        self._timer = QPushButton(words("trial_helper.start_timer"))
        self._timer.clicked.connect(self._timer_clicked)
        self._time = styled("next")
        self._uncover = QPushButton(words("trial_helper.uncover"))
        self._uncover.clicked.connect(self._uncover_clicked)
        self._covered = True
        self._under: list[str] = []
        self._codes: tuple[str, ...] = ()
        self._hand_over = QPushButton()
        self._hand_over.setProperty("role", "main")
        self._hand_over.clicked.connect(self._hand_over_clicked)
        self._back = QPushButton(words("trial_helper.back"))
        self._back.clicked.connect(self.left)
        self._error = styled("caution")
        self._shown = 0
        self._lay_out()
        self.setFocusProxy(self._hand_over)

    def _lay_out(self) -> None:
        words = self._words
        measured = Panel(words("trial_helper.measured"))
        measured.add(styled("label", words("trial_helper.measured_why")))
        for fields in (self._weights, self._strengths):
            row = QHBoxLayout()
            row.setSpacing(GROUPS)
            for field in fields:
                row.addWidget(field, 1)
            measured.add(row)
        serving = Panel(words("trial_helper.serving"))
        serving.add(styled("label", words("trial_helper.serving_why")))
        row = QHBoxLayout()
        row.setSpacing(GROUPS)
        row.addWidget(self._minutes, 1)
        row.addWidget(self._temperature, 1)
        row.addWidget(self._timer, 1, Qt.AlignmentFlag.AlignBottom)
        serving.add(row)
        serving.add(self._time)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, GROUPS, 0)
        column.setSpacing(GROUPS)
        for widget in (self._do, self._cups, serving, measured):
            column.addWidget(widget)
        column.addStretch(1)
        keys = QHBoxLayout()
        keys.setSpacing(INSIDE)
        keys.addWidget(self._hand_over)
        keys.addWidget(self._uncover)
        keys.addWidget(self._back)
        keys.addWidget(self._error, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(self._heading)
        whole.addWidget(styled("caution", words("trial_helper.only")))
        whole.addWidget(scrolled(inside), 1)
        whole.addLayout(keys)

    def show_round(
        self,
        view: TrialView,
        one: RoundView,
        brews: tuple[int, ...],
        recipes: Sequence[str] = (),
    ) -> None:
        """Show a round, covered: Return pressed once too often must not tell a taster.

        Args:
            view: the trial.
            one: the round.
            brews: which brew goes into which cup.
            recipes: how the brews are made, where the journal knows.
        """
        words, trial = self._words, view.trial
        taster = trial_words.taster_name(view, one)
        self._heading.setText(words("trial_helper.title", number=one.round.number, name=taster))
        again = not trial.brews_each_round and any(
            other.round.sitting == one.round.sitting and other.round.number < one.round.number
            for other in view.rounds
        )
        code = "trial_helper.pour_again" if again or trial.split else "trial_helper.brew"
        if trial.blinding is Blinding.ALONE:
            code = "trial_helper.alone"
        said = [words(code, names=list(trial.names)), *recipes]
        self._do.setText("\n".join(said))
        self._codes = one.round.codes
        self._under = [
            words("trial_helper.cup", place=place, name=trial.names[brew])
            for place, brew in enumerate(brews, start=1)
        ]
        self._cover(covered=True)
        self._shown = len(brews)
        for fields in (self._weights, self._strengths):
            for place, field in enumerate(fields):
                field.setVisible(place < self._shown)
                field.show_value(None)
        self._temperature.show_value(None)
        self._error.setText("")
        self._hand_over.setText(words("trial_helper.hand_over", name=taster))

    def _cover(self, *, covered: bool) -> None:
        self._covered = covered
        hidden = [self._words("trial_helper.hidden") for _ in self._under]
        self._cups.show_cups(self._codes, hidden if covered else self._under)
        self._uncover.setEnabled(covered)
        self._hand_over.setEnabled(not covered)
        self.setFocusProxy(self._uncover if covered else self._hand_over)

    def _uncover_clicked(self) -> None:
        self._cover(covered=False)
        self._hand_over.setFocus()
        self._error.setText("")

    def say(self, sentence: str) -> None:
        """Say what cannot be."""
        self._error.setText(sentence)

    def show_time(self, text: str) -> None:
        """Show how long the cups still cool."""
        self._time.setText(text)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event) and self._covered and self.focusWidget() is not self._back:
            self._error.setText(self._words("trial_helper.press_s"))
        elif is_return(event):
            press_main(self, self._hand_over)
        elif event.text().lower() == "s":
            self._uncover.click()
        elif event.text().lower() == "t":
            self._timer.click()
        else:
            super().keyPressEvent(event)

    def _timer_clicked(self) -> None:
        try:
            minutes = self._minutes.value()
        except BadInput:
            return  # said beside the field
        self.timer_asked.emit((COOLING_MIN if minutes is None else minutes) * MINUTE_S)

    def _hand_over_clicked(self) -> None:
        try:
            measured = {
                "weights_g": tuple(field.value() for field in self._weights[: self._shown]),
                "strengths": tuple(field.value() for field in self._strengths[: self._shown]),
                "temperature_c": self._temperature.value(),
            }
        except BadInput:
            return  # said beside the field
        self.handed_over.emit(measured)
