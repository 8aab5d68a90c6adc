"""What was expected of a brew against what happened, and what the kit learned from it."""

from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject, Qt

from halfclick.errors import CoreError
from halfclick.service.held import Reckoning, reckon
from halfclick_desktop.desk import Desk
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel, scrolled


class HeldPanel(Panel):
    """Shows one brew's reckoning, worked out by a job."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk.words("held.title"))
        self._desk = desk
        self._job: QObject | None = None
        self._said = styled("")
        self._said.setTextFormat(Qt.TextFormat.PlainText)
        self._said.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.add(scrolled(self._said), 1)

    def show_brew(self, brew_id: UUID) -> None:
        """Show a brew; what was asked for before is forgotten."""
        self._said.setText(self._desk.words("held.working"))
        job = self._desk.jobs.reckon(partial(reckon, self._desk.store, brew_id))
        self._job = job
        job.done.connect(self._show)
        job.failed.connect(self._failed)

    def text(self) -> str:
        """Return what is said."""
        return self._said.text()

    def _show(self, found: Reckoning) -> None:
        if self.sender() is not self._job:
            return  # another brew was asked for meanwhile
        words = self._desk.words
        lines = [words.sentence(one.told()) for one in found.held]
        lines = lines or [words("held.no_forecast")]
        share = found.share_told()
        if share is not None:
            lines.append(words.sentence(share))
        if found.learned:
            lines += [words("held.learned"), *(words.sentence(one) for one in found.learned)]
        self._said.setText("\n".join(lines))

    def _failed(self, error: CoreError) -> None:
        if self.sender() is self._job:
            self._said.setText(self._desk.words.sentence(error))
