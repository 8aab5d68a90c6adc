"""The result of a trial that was done on paper: what was counted there, to be judged here."""

from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import BadInput, CoreError
from halfclick.model.trial_kinds import Blinding, Question, TrialKind
from halfclick.service.done import Touched
from halfclick.service.trial_paper import ON_PAPER, Counted, file_paper
from halfclick.service.trial_proposal import EXPECTED_D
from halfclick.service.trial_subjects import bags_to_try
from halfclick.service.trials import TrialPlan
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.field import ChoiceField, Field, NumberField, TextField, YesNoField
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel, scrolled, stacked

COLUMN_PX = 620
BLINDINGS = (Blinding.SERVED, Blinding.SHUFFLED, Blinding.ALONE, Blinding.OPEN)


class TrialPaperPage(QWidget):
    """Asks what stands on the paper; Return keeps it and shows its verdict."""

    changed = Signal(Touched)
    filed = Signal(object)  # trial id

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        words = desk.words
        self._kind = ChoiceField(
            words,
            "trial_paper.kind",
            [(words(f"trial.kind_{kind.value}"), kind) for kind in ON_PAPER],
        )
        self._first = TextField(words, "trial_paper.first")
        self._second = TextField(words, "trial_paper.second")
        self._bag = ChoiceField(words, "trial_start.bag")
        self._tasters = TextField(words, "trial_paper.tasters", hint="trial_start.tasters_hint")
        self._blinding = ChoiceField(
            words,
            "trial_paper.blinding",
            [(words(f"trial.blinding_{one.value}"), one) for one in BLINDINGS],
        )
        self._asked = NumberField(words, "trial_paper.asked", decimals=0)
        self._right = NumberField(words, "trial_paper.right", decimals=0)
        self._liked = {
            name: NumberField(words, f"trial_paper.liked_{name}", decimals=0)
            for name in ("first", "second", "neither")
        }
        self._split = YesNoField(words, "trial_start.split", hint="trial_start.split_hint")
        self._fixed = YesNoField(words, "trial_paper.fixed", hint="trial_paper.fixed_hint")
        self._keep = QPushButton(words("trial_paper.keep"))
        self._keep.setProperty("role", "main")
        self._keep.clicked.connect(self._keep_asked)
        self._error = styled("caution")
        self._lay_out()
        self.setFocusProxy(self._kind)

    def _lay_out(self) -> None:
        words = self._desk.words
        what = Panel(words("trial_paper.what"))
        what.add(self._kind)
        what.add(_side_by_side(self._first, self._second))
        for field in (self._bag, self._tasters, self._blinding, self._split):
            what.add(field)
        counted = Panel(words("trial_paper.counted"))
        counted.add(_side_by_side(self._asked, self._right))
        counted.add(self._fixed)
        counted.add(styled("label", words("trial_paper.liked")))
        counted.add(_side_by_side(*self._liked.values()))
        inside = stacked(what, counted)
        inside.setMaximumWidth(COLUMN_PX)
        keys = QHBoxLayout()
        keys.setSpacing(INSIDE)
        keys.addWidget(self._keep)
        keys.addWidget(self._error, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(styled("heading", words("trial_paper.title")))
        whole.addWidget(scrolled(inside), 1)
        whole.addLayout(keys)

    def start(self) -> None:
        """Begin with empty fields."""
        words = self._desk.words
        bags = bags_to_try(self._desk.store)
        nothing: list[tuple[str, object]] = [(words("trial_start.no_bag"), None)]
        self._bag.show_choices([(bag.name, bag.bag_id) for bag in bags] + nothing)
        for line in (self._first, self._second):
            line.show_text("")
        for number in (self._asked, self._right, *self._liked.values()):
            number.show_value(None)
        self._tasters.show_text(self._desk.store.person.name)
        self._fixed.show_value(True)
        self._error.setText("")

    def reload(self, touched: Touched) -> None:
        """Read the coffees again where they may have changed."""
        if touched & Touched.COFFEES:
            self.start()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            press_main(self, self._keep)
        else:
            super().keyPressEvent(event)

    def _keep_asked(self) -> None:
        desk = self._desk
        try:
            done = file_paper(desk.store, self._plan(), self._counted(), clock=desk.clock)
        except CoreError as error:
            self._error.setText(desk.words.sentence(error))
            return
        self.changed.emit(done.touched)
        self.filed.emit(done.value.trial.id)

    def _plan(self) -> TrialPlan:
        kind, bag_id, blinding = self._kind.value(), self._bag.value(), self._blinding.value()
        if not (self._first.text() and self._second.text()):
            raise BadInput("trial_start.needs_names")
        asked = self._asked.value()
        tasters = tuple(part.strip() for part in self._tasters.text().split(",") if part.strip())
        return TrialPlan(
            kind=kind if isinstance(kind, TrialKind) else TrialKind.TRIANGLE,
            question=Question.THESE_BREWS,
            names=(self._first.text(), self._second.text()),
            tasters=tasters,
            rounds_planned=max(round(asked or 1), 1),
            smaller_than_d=EXPECTED_D,
            blinding=blinding if isinstance(blinding, Blinding) else Blinding.OPEN,
            bag_id=bag_id if isinstance(bag_id, UUID) else None,
            split=self._split.value(),
        )

    def _counted(self) -> Counted:
        def whole(field: NumberField) -> int | None:
            value = field.value()
            return None if value is None else round(value)

        liked = {f"liked_{name}": whole(field) or 0 for name, field in self._liked.items()}
        return Counted(
            right=whole(self._right),
            asked=whole(self._asked),
            any_time=not self._fixed.value(),
            **liked,
        )


def _side_by_side(*fields: Field) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(GROUPS)
    for field in fields:
        row.addWidget(field, 1)
    return row
