"""The row of slips: the four commonest that can be now, a key for the rest, and one to undo."""

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QPushButton, QWidget

from halfclick.model.under_way import GuideEventKind
from halfclick.wording import Wording
from halfclick_desktop.widgets.flow import Flow

# The commonest first: our own guess from what the trade's advice speaks of most.
KEYS = {
    "d": GuideEventKind.UNTARED_DOSE,
    "o": GuideEventKind.OVERSHOOT,
    "c": GuideEventKind.LATE_CLOCK,
    "l": GuideEventKind.LIFTED,
    "s": GuideEventKind.STALLED,
    "t": GuideEventKind.TARED_AFTER_BLOOM,
    "n": GuideEventKind.UNDERSHOOT,
    "w": GuideEventKind.LOST_TOTAL,
    "b": GuideEventKind.BYPASS,
    "v": GuideEventKind.UNTARED_SERVER,
    "g": GuideEventKind.LONG_BLOOM,
    "r": GuideEventKind.RINSE_LEFT,
    "h": GuideEventKind.COLD_DRIPPER,
    "k": GuideEventKind.LOST_CLOCK,
    "p": GuideEventKind.PAPER_LEAKED,
    "f": GuideEventKind.OTHER_PAPER,
    "u": GuideEventKind.TAKEN_BACK,
}
MORE = "m"
SHOWN = 4


class SlipRow(QWidget):
    """Says which slip was pressed; those that cannot be now are not there."""

    asked = Signal(object)  # GuideEventKind
    more_asked = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._can: frozenset[GuideEventKind] | None = None
        self._buttons: dict[GuideEventKind, QPushButton] = {}
        for key, kind in KEYS.items():
            button = _button(f"{words(f'slip_row.{kind.value}')}  {key.upper()}")
            button.clicked.connect(partial(self.asked.emit, kind))
            self._buttons[kind] = button
        self._more = _button(f"{words('slip_row.more')}  {MORE.upper()}")
        self._more.clicked.connect(self.more_asked)
        back = self._buttons[GuideEventKind.TAKEN_BACK]
        self.setLayout(Flow(*self._slips().values(), self._more, back))

    def press(self, text: str) -> bool:
        """Take a typed letter for its slip; return whether it was one that can be."""
        kind = KEYS.get(text.lower())
        if text.lower() == MORE and self.rest():
            self.more_asked.emit()
            return True
        if kind is None or kind not in (self._can or ()):
            return False
        self.asked.emit(kind)
        return True

    def rest(self) -> tuple[tuple[str, GuideEventKind], ...]:
        """Return the slips that can be now and have no button, with their keys."""
        possible = [(key, kind) for key, kind in KEYS.items() if kind in self._slips_that_can()]
        return tuple(possible[SHOWN:])

    def show_can(self, can: frozenset[GuideEventKind]) -> None:
        """Show which slips can be noted now."""
        if can == self._can:
            return
        self._can = can
        shown = self._slips_that_can()[:SHOWN]
        for kind, button in self._slips().items():
            button.setVisible(kind in shown)
        self._more.setVisible(bool(self.rest()))
        self._buttons[GuideEventKind.TAKEN_BACK].setVisible(GuideEventKind.TAKEN_BACK in can)

    def _slips(self) -> dict[GuideEventKind, QPushButton]:
        back = GuideEventKind.TAKEN_BACK
        return {kind: button for kind, button in self._buttons.items() if kind is not back}

    def _slips_that_can(self) -> list[GuideEventKind]:
        return [kind for kind in self._slips() if kind in (self._can or ())]


def _button(text: str) -> QPushButton:
    button = QPushButton(text)
    button.setProperty("role", "slip")
    # Space belongs to the page: a button that had the focus would take it.
    button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    button.hide()  # until it is known to make sense
    return button
