"""What a person's own cups say after a taste, beside what the rules say."""

from functools import partial
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QPushButton

from halfclick.errors import CoreError
from halfclick.model.changes import told
from halfclick.service.record import TastingEntry
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel
from halfclick_desktop.widgets.recipe_words import lever_text

if TYPE_CHECKING:
    from halfclick.service.next_brew import Voices

# What is typed rests for so long before the cups are asked, ms: they take up to a second.
REST_MS = 500


class CupsVoice(Panel):
    """Asks off the main thread, and shows the last answer until the new one is there."""

    taken = Signal(object)  # the Advice that the person takes

    def __init__(self, desk: Desk) -> None:
        words = desk.words
        super().__init__(words("cups_voice.title"))
        self._desk = desk
        self._question: tuple[UUID, TastingEntry | None] | None = None
        self._voices: Voices | None = None
        self._answerable = False
        self._headline, self._side = styled("heading"), styled("body")
        self._why = styled("quiet")
        self._take = QPushButton(words("cups_voice.take"))
        self._take.setShortcut("Ctrl+U")
        self._take.clicked.connect(self._taken)
        for widget in (self._headline, self._side, self._why, self._take):
            self.body.addWidget(widget)
        self._asking = Latest(desk.jobs, self, reckons=True)
        self._asking.done.connect(self._show)
        self._asking.failed.connect(self._failed)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(REST_MS)
        self._soon.timeout.connect(self._ask)
        self.clear()

    def clear(self) -> None:
        """Show nothing: there is no tasted cup."""
        self._soon.stop()
        self._asking.drop()
        self._question, self._voices = None, None
        self.hide()

    def look(self, brew_id: UUID, entry: TastingEntry | None = None) -> None:
        """Ask what the cups say after a cup, with its taste as it is typed perhaps."""
        if self._question is None or self._question[0] != brew_id:
            self._voices = None
        self._question = brew_id, entry
        if self._voices is None:
            self._say("cups_voice.asking")
        self.show()
        self._soon.start()

    def show_answerable(self, answerable: bool) -> None:
        """Say whether the cups' advice may be taken now."""
        self._answerable = answerable
        voices = self._voices
        offers = voices is not None and voices.cups is not None and not voices.is_bound
        self._take.setVisible(answerable and offers and not self._agrees())

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._question is not None and self._voices is None:
            self._soon.start()

    def hideEvent(self, event: QHideEvent) -> None:
        self._soon.stop()
        super().hideEvent(event)

    def _ask(self) -> None:
        if self._question is None or not self.isVisible():
            return
        brew_id, entry = self._question
        work = partial(_voices, self._desk.store, brew_id, entry, today=self._desk.today())
        self._asking.ask(work)

    def _failed(self, error: CoreError) -> None:
        self._say("cups_voice.not_asked")
        self._why.setText(self._desk.words.sentence(error))

    def _say(self, code: str) -> None:
        self._headline.setText("")
        self._headline.hide()
        self._side.setText(self._desk.words(code))
        self._why.setText("")
        self._take.hide()

    def _show(self, voices: "Voices | None") -> None:
        self._voices = voices
        words = self._desk.words
        if voices is None or voices.cups is None:
            self._say("cups_voice.not_asked")
            return
        cups = voices.cups
        levers = [change.lever for change in cups.changes]
        if levers:
            after = ", ".join(lever_text(words, lever, cups.recipe) for lever in levers)
            moved = ", ".join(words.sentence(told(change)) for change in cups.changes)
            self._headline.setText(words("cups_voice.change", after=after, moved=moved))
        else:
            self._headline.setText(words(f"outcome.{cups.outcome.value}").capitalize())
        self._headline.show()
        self._side.setText(words.sentences(voices.why))
        reasons = cups.why[: len(cups.why) - len(voices.why)] if voices.is_cups else cups.why
        self._why.setText(words.sentences(reasons))
        self.show_answerable(self._answerable)

    def _agrees(self) -> bool:
        voices = self._voices
        return voices is not None and voices.cups is not None and voices.agree

    def _taken(self) -> None:
        if self._answerable and self._voices is not None and self._voices.cups is not None:
            self.taken.emit(self._voices.cups)


def _voices(*question: object, **named: object) -> "Voices | None":
    """Ask the cups; numpy is loaded here, off the main thread."""
    from halfclick.service.next_brew import advise_by_cups

    return advise_by_cups(*question, **named)  # type: ignore[arg-type]
