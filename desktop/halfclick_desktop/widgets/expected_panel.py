"""What is expected of a plan: bands in words, what they rest on, and the brew by the clock."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel

from halfclick.errors import CoreError
from halfclick.service.expected import Picture, Row
from halfclick.wording import Message, Wording
from halfclick_desktop.look import GROUPS
from halfclick_desktop.widgets.brew_picture import BrewPicture
from halfclick_desktop.widgets.label import put_in, say_state, styled
from halfclick_desktop.widgets.panel import Panel

NAMES = (
    "time_s",
    "beverage_g",
    "strength",
    "extraction",
    "spread",
    "fractions",
    "free_height_m",
)


class ExpectedPanel(Panel):
    """Shows a forecast; one of an older plan is dimmed and says so, until the new one is there."""

    def __init__(self, words: Wording) -> None:
        super().__init__(words("expected.title"))
        self._words = words
        self._has_numbers = False
        self._state = styled("quiet")
        self._values: dict[str, QLabel] = {}
        self._names: list[QLabel] = []
        grid = QGridLayout()
        grid.setHorizontalSpacing(GROUPS)
        grid.setVerticalSpacing(4)
        grid.setColumnStretch(1, 1)
        for place, name in enumerate(NAMES):
            title = styled("quiet", words(f"expected.{name}"), wrap=False)
            value = styled("body")
            value.setAccessibleName(title.text())
            self._names.append(title)
            self._values[name] = value
            grid.addWidget(title, place, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(value, place, 1)
        self._picture = BrewPicture(words)
        self._summary = styled("label")
        self._rests_on = styled("label")
        self.add(grid)
        self.add(self._state)
        self.add(self._rests_on)
        self.add(self._picture)
        self.add(self._summary)
        self.show_waiting()

    def show_waiting(self) -> None:
        """Show that it is being worked out, and no number: those of another plan are gone."""
        self._has_numbers = False
        for value in self._values.values():
            value.setText("")
        self._picture.show_picture(None)
        self._summary.setText("")
        self._rests_on.setText("")
        self._show_there(there=False)
        self._say(self._words("expected.waiting"))

    def show_stale(self) -> None:
        """Dim what is shown, and say that it is of the plan before; wait where nothing is."""
        if not self._has_numbers:
            self.show_waiting()
            return
        self._dim(stale=True)
        self._say(self._words("expected.stale"))

    def show_failed(self, error: CoreError) -> None:
        """Say why there is none."""
        self.show_waiting()
        self._say(self._words("expected.failed", why=self._words.sentence(error)))

    def show_expected(self, rows: Sequence[Row], rests_on: Message, picture: Picture) -> None:
        """Show a forecast's bands, from how many brews they are, and the picture."""
        self._has_numbers = True
        self._rests_on.setText(self._words.sentence(rests_on))
        self._fill(rows, picture)
        self._dim(stale=False)
        self._say("")
        self._show_there(there=True)

    def show_near(self, rows: Sequence[Row], picture: Picture) -> None:
        """Show, dimmed, about what is expected where numbers stand already, and say so."""
        self._fill(rows, picture)
        self._dim(stale=True)
        self._say(self._words("expected.near"))

    def has_numbers(self) -> bool:
        """Return whether numbers are shown, of whichever plan."""
        return self._has_numbers

    def value(self, name: str) -> str:
        """Return what is shown of one quantity."""
        return self._values[name].text()

    def state(self) -> str:
        """Return the word on what is shown; empty where it is of the plan as it stands."""
        return self._state.text()

    def is_dimmed(self) -> bool:
        """Return whether what is shown is quieter, being of an older plan."""
        return self._picture.is_stale()

    def _fill(self, rows: Sequence[Row], picture: Picture) -> None:
        for row in rows:
            self._values[row.name].setText(self._words.sentence(row.message))
        self._summary.setText(self._words.sentence(picture.summary))
        self._picture.show_picture(picture)

    def _show_there(self, *, there: bool) -> None:
        beside = (self._picture, self._summary, self._rests_on)
        for part in (*self._names, *self._values.values(), *beside):
            part.setVisible(there)

    def _say(self, sentence: str) -> None:
        say_state(self._state, sentence, keeps_place=self._has_numbers)
        self.setAccessibleDescription(sentence)

    def _dim(self, *, stale: bool) -> None:
        put_in("quiet" if stale else "body", self._values.values())
        self._picture.show_stale(stale=stale)
