"""What a person's own cups say after a taste, beside what the rules say."""

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import QElapsedTimer, QTimer, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QPushButton

from halfclick.errors import CoreError
from halfclick.model.advice import Advice, Outcome
from halfclick.model.changes import told
from halfclick.service.record import TastingEntry
from halfclick.wording import Wording
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel
from halfclick_desktop.widgets.recipe_words import lever_text

if TYPE_CHECKING:
    from halfclick.service.next_brew import Voices

# A page may be told of several changes at once; the cups are asked so long after the last, ms.
REST_MS = 100
# A key so soon after the advice has changed was meant for the one before (our own default).
TURNED_MS = 500


class CupsVoice(Panel):
    """Asks off the main thread, and shows the last answer until the new one is there.

    The advice that stands is shown beside it by the page; here is why it stands, and what the
    other voice would do.
    """

    taken = Signal(object)  # the Advice of the other voice, which the person takes
    heard = Signal()  # both voices are there: what stands may be another advice

    def __init__(self, desk: Desk, *, with_side: bool = True) -> None:
        """Make it; `with_side` says here whose advice stands, and not among the reasons."""
        words = desk.words
        super().__init__(words("cups_voice.title"))
        self._with_side = with_side
        self._desk = desk
        self._question: tuple[UUID, TastingEntry | None] | None = None
        self._voices: Voices | None = None
        self._answerable = False
        self._since = QElapsedTimer()
        self._headline, self._side = styled("body"), styled("body")
        self._why = styled("quiet")
        self._take = QPushButton()
        self._take.clicked.connect(self._taken)
        for widget in (self._side, self._headline, self._why, self._take):
            self.body.addWidget(widget)
        self._asking = Latest(desk.jobs, self, reckons=True)
        self._asking.done.connect(self._show)
        self._asking.failed.connect(self._failed)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(REST_MS)
        self._soon.timeout.connect(self._ask)
        self.clear()

    def voices(self) -> "Voices | None":
        """Return both voices on the cup asked about; None until they are there."""
        return self._voices

    def standing(self) -> Advice | None:
        """Return the advice that stands, as it is to be shown; None until both are heard."""
        voices = self._voices
        if voices is None:
            return None
        advice = voices.advice
        if not self._with_side:
            return advice
        return replace(advice, why=tuple(one for one in advice.why if one not in voices.why))

    def has_just_turned(self) -> bool:
        """Return whether the advice became the cups' so lately that a key was meant before."""
        voices = self._voices
        turned = voices is not None and voices.is_cups and self._since.isValid()
        return turned and self._since.elapsed() < TURNED_MS

    def clear(self) -> None:
        """Show nothing: there is no tasted cup."""
        self._soon.stop()
        self._asking.drop()
        self._question, self._voices = None, None
        self.hide()

    def look(self, brew_id: UUID, entry: TastingEntry | None = None) -> None:
        """Ask what the cups say after a cup, with its taste as it is typed perhaps."""
        self._voices = None  # the taste may be another: until they answer the rules' stands
        self._question = brew_id, entry
        self._say("cups_voice.asking")
        self.show()
        self._soon.start()

    def show_answerable(self, answerable: bool) -> None:
        """Say whether the other voice's advice may be taken now."""
        self._answerable = answerable
        voices = self._voices
        offers = voices is not None and voices.cups is not None and not voices.is_bound
        self._take.setVisible(answerable and offers and _other(voices) is not None)

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
        self._side.show()
        self._why.setText("")
        self._take.hide()

    def _show(self, voices: "Voices | None") -> None:
        self._voices = voices
        words = self._desk.words
        self._since.start()
        if voices is None or voices.cups is None:
            self._say("cups_voice.not_asked")
            self.heard.emit()
            return
        self._side.setText(words.sentences(voices.why) if self._with_side else "")
        self._side.setVisible(self._with_side)
        other = _other(voices)
        who = "rules" if voices.is_cups else "cups"
        self._headline.setVisible(other is not None)
        self._why.setText("" if voices.is_cups else words.sentences(voices.cups.why))
        self._why.setVisible(bool(self._why.text()))
        if other is not None:
            change = _change_text(words, other)
            self._headline.setText(words(f"cups_voice.{who}_would", change=change))
            self._take.setText(words(f"cups_voice.take_{who}"))
            self._take.setShortcut("Ctrl+U")  # a new text takes the shortcut away
        self.show_answerable(self._answerable)
        self.heard.emit()

    def _taken(self) -> None:
        other = _other(self._voices)
        if self._answerable and other is not None:
            self.taken.emit(other)


def _other(voices: "Voices | None") -> Advice | None:
    """Return the advice that does not stand, where it says another thing."""
    if voices is None or voices.cups is None or voices.agree:
        return None
    other = voices.rules if voices.is_cups else voices.cups
    return other if other.outcome is not Outcome.NOTHING else None


def _change_text(words: Wording, advice: Advice) -> str:
    levers = [change.lever for change in advice.changes]
    if advice.act is not None:
        return words(f"act.{advice.act.value}")
    if not levers:
        return words(f"outcome.{advice.outcome.value}")
    after = ", ".join(lever_text(words, lever, advice.recipe) for lever in levers)
    moved = ", ".join(words.sentence(told(change)) for change in advice.changes)
    return words("cups_voice.change", after=after, moved=moved)


def _voices(*question: object, **named: object) -> "Voices | None":
    """Ask the cups; numpy is loaded here, off the main thread."""
    from halfclick.service.next_brew import advise_by_cups

    return advise_by_cups(*question, **named)  # type: ignore[arg-type]
