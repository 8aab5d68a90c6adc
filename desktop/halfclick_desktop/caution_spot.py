"""A place on a page where a caution is shown once, and remembered as seen."""

from PySide6.QtCore import Signal

from halfclick.errors import CoreError
from halfclick.service.cautions import Place, ToldCaution, caution_due, caution_seen
from halfclick.service.done import Touched
from halfclick_desktop.desk import Desk
from halfclick_desktop.widgets.caution_line import CautionLine


class CautionSpot(CautionLine):
    """Shows the caution due at a place.

    Args:
        desk: the journal and the clock.
        place: where it stands.
    """

    changed = Signal(Touched)

    def __init__(self, desk: Desk, place: Place) -> None:
        super().__init__(desk.words)
        self._desk = desk
        self._place = place
        self._told: ToldCaution | None = None
        self.put_away.connect(self.see)

    def look(self) -> None:
        """Show the caution that is due here, if one is."""
        self._told = caution_due(self._desk.store, self._place)
        self.show_told(self._told)

    def see(self) -> None:
        """Remember the caution shown as seen, and put it away; nothing where none is shown."""
        told, self._told = self._told, None
        self.show_told(None)
        if told is None:
            return
        try:
            done = caution_seen(self._desk.store, told.caution, clock=self._desk.clock)
        except CoreError:
            return  # a journal that cannot be written shows it once more the next time
        self.changed.emit(done.touched)
