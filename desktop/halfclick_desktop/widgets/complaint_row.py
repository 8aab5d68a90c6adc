"""The complaints as ticks in one row: a letter each, and a button for who would rather click."""

from collections.abc import Iterable
from functools import partial

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton

from halfclick.model.tasting import Complaint
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.key_row import KeyRow
from halfclick_desktop.widgets.mark_row import LABEL_PX

COMPLAINT_KEYS = {
    "f": Complaint.FLAT,
    "m": Complaint.MUDDY,
    "h": Complaint.HOLLOW,
    "l": Complaint.SALTY,
    "p": Complaint.PAPERY,
    "g": Complaint.GRASSY,
    "y": Complaint.SMOKY,
    "n": Complaint.NOT_SWEET,
}
COLUMNS = 3


class ComplaintRow(KeyRow):
    """Ticks what else the cup is; what was ticked by hand stands before what words suggest."""

    edited = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._by_hand: dict[Complaint, bool] = {}
        self._suggested: frozenset[Complaint] = frozenset()
        self._label = QLabel(words("complaint_row.label"))
        self._label.setMinimumWidth(LABEL_PX)
        self._buttons: dict[Complaint, QPushButton] = {}
        grid = QGridLayout()
        grid.setSpacing(4)
        for place, (key, complaint) in enumerate(COMPLAINT_KEYS.items()):
            button = QPushButton(f"{words(f'words.means.{complaint.value}')}  {key.upper()}")
            button.setCheckable(True)
            button.setProperty("role", "chip")
            # The row has the keys; a button that took the focus would lose them.
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            button.clicked.connect(partial(self._turn, complaint))
            grid.addWidget(button, place // COLUMNS, place % COLUMNS)
            self._buttons[complaint] = button
        row = QHBoxLayout(self)
        row.setContentsMargins(GROUPS, 4, GROUPS, 4)
        row.setSpacing(INSIDE)
        row.addWidget(self._label)
        row.addLayout(grid, 1)
        self.setAccessibleDescription(words("complaint_row.keys"))
        self._tell()

    def value(self) -> tuple[Complaint, ...]:
        """Return the complaints that are ticked."""
        return tuple(one for one in Complaint if self._by_hand.get(one, one in self._suggested))

    def show_value(self, complaints: Iterable[Complaint]) -> None:
        """Show complaints as the person's own; no edit."""
        self._by_hand = dict.fromkeys(complaints, True)
        self._suggested = frozenset()
        self._tell()

    def suggest(self, complaints: frozenset[Complaint]) -> None:
        """Tick what the person's words suggest, but where they ticked or cleared it; no edit."""
        self._suggested = complaints
        self._tell()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        complaint = COMPLAINT_KEYS.get(event.text().lower())
        if complaint is not None and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._turn(complaint)
        else:
            super().keyPressEvent(event)

    def _turn(self, complaint: Complaint) -> None:
        self._by_hand[complaint] = complaint not in self.value()
        self._tell()
        self.edited.emit()

    def _tell(self) -> None:
        ticked = self.value()
        for complaint, button in self._buttons.items():
            with QSignalBlocker(button):
                button.setChecked(complaint in ticked)
        said = ", ".join(self._words(f"words.means.{one.value}") for one in ticked)
        name = self._label.text()
        self.setAccessibleName(f"{name}, {said}" if said else name)
