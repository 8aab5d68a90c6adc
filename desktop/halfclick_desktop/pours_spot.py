"""Pours that fit the dripper: looked for on a key, shown as a proposal to take or leave."""

from functools import partial
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.recipe import Recipe
from halfclick.service.done import Touched
from halfclick.service.rim import keep_rim_margin, rim_margin_m
from halfclick.store.journal import Store
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.field import NumberField
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.recipe_words import schedule_text

if TYPE_CHECKING:
    from halfclick.service.learned import Learned
    from halfclick.service.pour_planner import FoundPours
    from halfclick.wording import Message

SAME_M = 0.0005  # a margin is shown to the millimetre


class PoursSpot(QWidget):
    """Looks for pours that fit one recipe; nothing is changed until they are taken."""

    asked = Signal()
    changed = Signal(Touched)
    taken = Signal(object)  # Recipe

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        words = desk.words
        self._searched: Recipe | None = None
        self._second_change: bool | None = None
        self._found: Recipe | None = None
        self._find = QPushButton(words("pours.find"))
        self._find.setShortcut("Ctrl+F")
        self._find.clicked.connect(self.asked)
        self._margin = NumberField(words, "pours.margin", unit="mm", scale=1000.0, decimals=0)
        self._margin.line.editingFinished.connect(self._keep_margin)
        self._text = styled("body")
        self._pours = styled("body")
        self._counts = styled("quiet")
        self._take = QPushButton(words("pours.take"))
        self._take.clicked.connect(self._take_found)
        self._leave = QPushButton(words("pours.leave"))
        self._leave.clicked.connect(self._leave_found)
        self._lay_out()
        self.put_away()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(INSIDE)
        first = QHBoxLayout()
        first.setSpacing(GROUPS)
        first.addWidget(self._find, 0, Qt.AlignmentFlag.AlignBottom)
        first.addWidget(self._margin)
        first.addStretch(1)
        answers = QHBoxLayout()
        answers.setSpacing(INSIDE)
        answers.addWidget(self._take)
        answers.addWidget(self._leave)
        answers.addStretch(1)
        column.addLayout(first)
        for label in (self._text, self._pours, self._counts):
            column.addWidget(label)
        column.addLayout(answers)

    def look_for(self, recipe: Recipe, bag_id: UUID, *, second_change: bool | None) -> None:
        """Look for pours that fit a recipe.

        Args:
            recipe: as it stands on the page.
            bag_id: of which bag.
            second_change: whether another lever is moved already; None for a first cup, which
                tests nothing.
        """
        self.put_away()
        self._searched, self._second_change = recipe, second_change
        self._say(self._desk.words("pours.finding"))
        learned = self._desk.forecasts.learned()
        job = self._desk.jobs.reckon(partial(_found, self._desk.store, recipe, bag_id, learned))
        job.done.connect(self._show)
        job.failed.connect(self._could_not)

    def begin(self) -> None:
        """Show the button alone, and what the person keeps free below the rim."""
        self.put_away()
        self._margin.show_value(rim_margin_m(self._desk.store))

    def keep_to(self, recipe: Recipe) -> None:
        """Put away what was found for another recipe than this."""
        if self._searched is not None and self._searched != recipe:
            self.put_away()

    def put_away(self) -> None:
        """Show the button alone."""
        self._searched = self._found = None
        self._say("")
        for part in (self._pours, self._counts, self._take, self._leave):
            part.hide()

    def text(self) -> str:
        """Return what is said of the pours found; empty where none were looked for."""
        return self._text.text()

    def pours_text(self) -> str:
        """Return the pours proposed."""
        return self._pours.text() if self._found is not None else ""

    def _show(self, told: "Told") -> None:
        searched, found, said = told
        if self._searched is not searched:
            return  # the plan has gone on
        words = self._desk.words
        self._say(words.sentences(said))
        if found.recipe is None:
            return
        self._found = found.recipe
        self._pours.setText(schedule_text(words, found.recipe))
        self._counts.setVisible(self._second_change is not None)
        if self._second_change is not None:
            code = "pours.second_change" if self._second_change else "pours.is_the_change"
            self._counts.setText(words(code))
        for part in (self._pours, self._take, self._leave):
            part.show()
        self._take.setFocus()

    def _keep_margin(self) -> None:
        store = self._desk.store
        try:
            margin_m = self._margin.value()
            if margin_m is not None and abs(margin_m - rim_margin_m(store)) < SAME_M:
                return
            done = keep_rim_margin(store, margin_m, clock=self._desk.clock)
        except CoreError as error:
            self._margin.show_error(self._desk.words.sentence(error))
            return
        self._margin.show_error("")
        self.begin()
        self.changed.emit(done.touched)

    def _could_not(self, error: CoreError) -> None:
        if self._searched is not None and self._found is None:
            self._say(self._desk.words.sentence(error))

    def _say(self, sentence: str) -> None:
        self._text.setText(sentence)
        self._text.setVisible(bool(sentence))
        self.setAccessibleDescription(sentence)

    def _take_found(self) -> None:
        found = self._found
        self.put_away()
        self._find.setFocus()
        if found is not None:
            self.taken.emit(found)

    def _leave_found(self) -> None:
        self.put_away()
        self._find.setFocus()


if TYPE_CHECKING:
    # For which recipe, what was found, and what is said of it.
    Told = tuple[Recipe, FoundPours, tuple[Message, ...]]


def _found(store: Store, recipe: Recipe, bag_id: UUID, learned: "Learned | None") -> "Told":
    # numpy with it; in the job, not before.
    from halfclick.service.pour_planner import look_for_pours, said_of

    found = look_for_pours(store, recipe, bag_id, learned=learned)
    return recipe, found, said_of(found)
