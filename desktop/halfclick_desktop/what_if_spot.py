"""What a plan would be like by a person's own cups: asked on a key, then kept to the levers."""

from functools import partial
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton

from halfclick.errors import CoreError
from halfclick.model.recipe import Recipe
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.look import GROUPS
from halfclick_desktop.widgets.label import put_in, say_state, styled
from halfclick_desktop.widgets.panel import Panel

if TYPE_CHECKING:
    from datetime import date

    from halfclick.service.what_if import Heard, WhatIf
    from halfclick.store.journal import Store

NAMES = ("liking", "strength", "sour", "bitter", "thin", "harsh", "sweet")
Answer = tuple["Heard | None", "WhatIf | None"]
# The cups are heard once levers rest: the forecast of the brew comes first.
REST_MS = 400


class WhatIfSpot(Panel):
    """Asks off the main thread; the last answer stands, quieter, until the new one is there."""

    def __init__(self, desk: Desk) -> None:
        words = desk.words
        super().__init__(words("what_if.title"))
        self._desk = desk
        self._plan: tuple[Recipe, UUID] | None = None
        self._given: Recipe | None = None
        self._heard: Heard | None = None
        self._wanted = False
        self._has_numbers = False
        self._state, self._gain = styled("quiet"), styled("body")
        self._rests_on = styled("label")
        self._names: dict[str, QLabel] = {}
        self._values: dict[str, QLabel] = {}
        self._button = QPushButton(words("what_if.ask"))
        self._button.setShortcut("Ctrl+U")
        self._button.clicked.connect(self.begin)
        self._asking = Latest(desk.jobs, self, reckons=True)
        self._asking.done.connect(self._show)
        self._asking.failed.connect(self._failed)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._hear)
        self._lay_out()
        self._put_away()

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(GROUPS)
        grid.setVerticalSpacing(4)
        grid.setColumnStretch(1, 1)
        for place, name in enumerate(NAMES):
            title = styled("quiet", self._desk.words(f"what_if.name_{name}"), wrap=False)
            value = styled("body")
            value.setAccessibleName(title.text())
            self._names[name], self._values[name] = title, value
            grid.addWidget(title, place, 0)
            grid.addWidget(value, place, 1)
        key = QHBoxLayout()
        key.addWidget(self._button)
        key.addStretch(1)
        self.add(grid)
        self.add(self._gain)
        self.add(self._state)
        self.add(self._rests_on)
        self.add(key)

    def show_new(self, recipe: Recipe, bag_id: UUID) -> None:
        """Show another plan, the one that moves are held against; nothing is asked yet.

        The cups are heard anew when it is: they or the kit may be others than at the plan before.
        """
        self._heard = None
        self._plan, self._given = (recipe, bag_id), recipe
        self._put_away()

    def look(self, recipe: Recipe, bag_id: UUID) -> None:
        """Keep to a plan as it stands; its numbers follow where they were asked for."""
        same = self._plan == (recipe, bag_id)
        self._plan = recipe, bag_id
        if self._wanted and not same:
            self._ask()

    def forget(self) -> None:
        """Hear the cups anew: they or the kit were touched."""
        self._heard = None
        self._asking.drop()  # an answer under way was heard before
        if self._wanted:
            self._ask()

    def value(self, name: str) -> str:
        """Return what is shown of one quantity."""
        return self._values[name].text()

    def state(self) -> str:
        """Return the word on what is shown; empty where it is of the plan as it stands."""
        return self._state.text()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._wanted and self._state.text():
            self._ask()

    def _put_away(self) -> None:
        self._wanted = self._has_numbers = False
        self._rest.stop()
        self._asking.drop()
        self._show_there(())
        self._say(self._desk.words("what_if.about"))
        self._button.show()

    def begin(self) -> None:
        """Ask, and keep to the levers from now on."""
        if self._wanted:
            return
        self._wanted = True
        self._button.hide()
        self._ask()

    def _ask(self) -> None:
        if self._plan is None or self._given is None:
            return
        self._dim(stale=True)
        self._say(self._desk.words("what_if.stale" if self._has_numbers else "what_if.asking"))
        self._rest.start()

    def _hear(self) -> None:
        if self._plan is None or self._given is None or not self.isVisible():
            return  # out of sight it would be worked out for nobody
        question = (self._desk.store, self._desk.today(), self._heard, *self._plan, self._given)
        self._asking.ask(partial(_answer, *question))

    def _failed(self, error: CoreError) -> None:
        self._has_numbers = False
        self._show_there(())
        self._say(self._desk.words.sentence(error))

    def _show(self, answer: Answer) -> None:
        words = self._desk.words
        self._heard, found = answer
        if found is None:
            self._has_numbers = False
            self._show_there(())
            self._say(words("what_if.none" if self._heard is None else "what_if.not_here"))
            return
        self._has_numbers = True
        for name, message in found.rows:
            self._values[name].setText(words.sentence(message))
        self._gain.setText(words.sentence(found.gain) if found.gain else "")
        self._rests_on.setText(words.sentence(found.rests_on))
        self._dim(stale=False)
        self._show_there([name for name, _ in found.rows])
        self._say("")

    def _show_there(self, names: "tuple[()] | list[str]") -> None:
        for name in NAMES:
            self._names[name].setVisible(name in names)
            self._values[name].setVisible(name in names)
        self._gain.setVisible(bool(names) and bool(self._gain.text()))
        self._rests_on.setVisible(bool(names))

    def _say(self, sentence: str) -> None:
        say_state(self._state, sentence, keeps_place=self._has_numbers)
        self.setAccessibleDescription(sentence)

    def _dim(self, *, stale: bool) -> None:
        put_in("quiet" if stale else "body", (*self._values.values(), self._gain))


def _answer(
    store: "Store",
    today: "date",
    heard: "Heard | None",
    recipe: Recipe,
    bag_id: UUID,
    given: Recipe,
) -> Answer:
    """Hear the cups, where that was not done, and ask them; numpy is loaded here."""
    from halfclick.service.what_if import hear, what_if

    heard = heard if heard is not None else hear(store, bag_id, today=today)
    return heard, what_if(heard, recipe, given) if heard is not None else None
