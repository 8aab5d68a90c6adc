"""What is expected of the plan on a page: asked for, shown when it is there, dimmed when not."""

from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QShowEvent

from halfclick.errors import CoreError
from halfclick.model.recipe import Recipe
from halfclick.service.expected import picture_of, rests_on, rows_of
from halfclick_desktop.desk import Desk
from halfclick_desktop.widgets.expected_panel import ExpectedPanel

if TYPE_CHECKING:
    from halfclick.service.forecast import Expected


class ExpectedSpot(ExpectedPanel):
    """Shows the forecast of one plan, and never that of another as if it were its own."""

    known = Signal()  # the forecast of the plan as it stands is there

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk.words)
        self._forecasts = desk.forecasts
        self._plan: tuple[Recipe, UUID] | None = None
        # What was typed is painted first; what is near follows in the next turn.
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._show_what_is_near)
        self._forecasts.ready.connect(self._answered)
        self._forecasts.failed.connect(self._could_not)

    def show_new(self, recipe: Recipe, bag_id: UUID) -> None:
        """Show another plan: what was shown of the one before is gone."""
        self.show_waiting()
        self.look(recipe, bag_id)

    def look(self, recipe: Recipe, bag_id: UUID) -> None:
        """Show the forecast of a plan, or ask for it and show what is near it, dimmed, at once."""
        self._plan = recipe, bag_id
        # Out of sight nothing is asked for: it would be worked out for nobody.
        ask = self._forecasts.ask if self.isVisible() else self._forecasts.find
        if ask(recipe, bag_id) is not None:
            self._show()
            return
        self.show_stale()
        if self.has_numbers():
            self._soon.start()

    def look_again(self) -> None:
        """Ask anew: what forecasts rest on was touched."""
        if self._plan is not None:
            self.look(*self._plan)

    def expected(self) -> "Expected | None":
        """Return the forecast of the plan as it stands; None where it is not there yet."""
        return self._forecasts.find(*self._plan) if self._plan else None

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        # Another page may have asked for another plan in between.
        self.look_again()
        if self.expected() is not None:
            self.known.emit()

    def _show_what_is_near(self) -> None:
        if self._plan is None or self.expected() is not None or not self.is_dimmed():
            return  # its own numbers came first
        near = self._forecasts.near(*self._plan)
        if near is not None:
            self.show_near(rows_of(near), picture_of(near, self._plan[0]))

    def _answered(self) -> None:
        if self.expected() is not None:
            self._show()
            self.known.emit()

    def _could_not(self, error: CoreError) -> None:
        if self.expected() is None:
            self.show_failed(error)

    def _show(self) -> None:
        expected = self.expected()
        if expected is not None and self._plan is not None:
            picture = picture_of(expected, self._plan[0])
            self.show_expected(rows_of(expected), rests_on(expected), picture)
