"""The zeros of the grinder in use, and the key that takes a new one."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton

from halfclick.errors import CoreError
from halfclick.service.grinders import take_zero, zeros_of
from halfclick.service.kitchens import KitView
from halfclick_desktop.desk import Desk
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel
from halfclick_desktop.widgets.zero_form import ZeroForm


class ZeroPanel(Panel):
    """Lists the zeros, the newest first, over the key."""

    add_asked = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk.words("kit.zero"))
        self._desk = desk
        self._said = styled("body")
        take = QPushButton(desk.words("kit.take_zero"))
        take.clicked.connect(self.add_asked)
        self.add(self._said)
        row = QHBoxLayout()
        row.addWidget(take)
        row.addStretch(1)
        self.add(row)

    def show_kit(self, kit: KitView) -> None:
        """List the zeros of a kit's grinder."""
        words = self._desk.words
        zeros = zeros_of(self._desk.store, kit.grinder.id)
        lines = [
            words(
                "kit.zero_line",
                day=zero.found_on,
                reason=words(f"kit.zero_{zero.reason.value}"),
                found=words(f"kit.found_{zero.found.value}"),
            )
            for zero in reversed(zeros)
        ]
        self._said.setText("\n".join(lines))

    def said(self) -> str:
        """Return what is listed."""
        return self._said.text()

    def save(self, kit: KitView, form: ZeroForm) -> bool:
        """Keep what is typed; False where it cannot be, which is said beside its field."""
        try:
            take_zero(
                self._desk.store,
                kit.grinder.id,
                reading_text=form.reading_text(),
                found=form.found(),
                reason=form.reason(),
                note=form.note(),
                clock=self._desk.clock,
            )
        except CoreError as error:
            form.say(error)
            return False
        return True
