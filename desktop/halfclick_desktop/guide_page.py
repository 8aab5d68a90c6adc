"""At the kettle: what to do now, the grams still to pour, and one key for each slip."""

from collections.abc import Callable, Sequence
from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QProgressBar, QVBoxLayout, QWidget

from halfclick.brewing.answers import event_told
from halfclick.brewing.finish import is_odd_reading
from halfclick.brewing.guide import Guide
from halfclick.brewing.screen import Phase, Screen, final_question, screen_at
from halfclick.brewing.slips import bypass_needed_g
from halfclick.errors import BadInput, CoreError
from halfclick.model.acts import acts_in
from halfclick.model.brew import Mode
from halfclick.model.changes import told
from halfclick.model.kit import ScaleCarries
from halfclick.model.under_way import GuideEventKind, UnderWay
from halfclick.service.done import Touched
from halfclick.service.guide import OpenGuide, begin, finish, note, under_way
from halfclick.service.kitchens import kit_in_use
from halfclick.service.plan import Planned
from halfclick.wording import Message
from halfclick_desktop.desk import Desk
from halfclick_desktop.heating import heating_text, readings_at_hand
from halfclick_desktop.look import INSIDE, THOUGHTS
from halfclick_desktop.slip_questions import ASKED, unit_of
from halfclick_desktop.text import minutes, weight
from halfclick_desktop.widgets.ask import Ask
from halfclick_desktop.widgets.field import parsed_measure
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.mark import ChangeMark, MarkKind
from halfclick_desktop.widgets.panel import fitted
from halfclick_desktop.widgets.ready_list import ReadyList
from halfclick_desktop.widgets.slip_list import SlipList
from halfclick_desktop.widgets.slip_row import SlipRow

REDRAW_MS = 100
LOW_PX = 560  # the page's height below which it keeps less empty room

_FELL_SHORT = ("slip.ask_bypass_after", "ask.keys_none")


class GuidePage(QWidget):
    """Leads one brew; every key is kept in the journal before the page shows it."""

    changed = Signal(Touched)
    finished = Signal(object)  # the brew's id

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._under_way: UnderWay | None = None
        self._guide: Guide | None = None
        self._leaving = False
        self._doubted = ""
        self._trouble = ""  # why the last key could not be kept
        self._undone = ""  # what the last key took back
        self._timer = QTimer(self)
        self._timer.setInterval(REDRAW_MS)
        self._timer.timeout.connect(self._redraw)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(desk.words("guide_page.name"))
        self._build()

    def _build(self) -> None:
        words = self._desk.words
        self._mark = ChangeMark(words, MarkKind.CHANGED, 22)
        self._testing = styled("changed")
        self._clock = styled("number", wrap=False)
        self._clock.setAccessibleName(words("guide_page.clock"))
        self._ready = ReadyList(words)
        self._do = styled("number")
        self._left = styled("kettle", wrap=False)
        self._left_words = styled("next", wrap=False)
        self._stop = styled("number", wrap=False)
        self._next = styled("next")
        self._bar = QProgressBar()
        self._bar.setTextVisible(False)
        self._bar.setRange(0, 1000)
        self._bar.setFixedHeight(4)
        self._bar.setAccessibleName(words("guide_page.step"))
        self._notices = styled("slip")
        self._ask = Ask(words)
        self._ask.answered.connect(self._answered)
        self._ask.left.connect(self._take_keys)
        self._slips = SlipRow(words)
        self._slips.asked.connect(self._slip)
        self._slips.more_asked.connect(self._open_more)
        self._more = SlipList(words)
        self._more.asked.connect(self._slip)
        self._more.left.connect(self._take_keys)
        self._lay_out()

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.setSpacing(INSIDE)
        top.addWidget(self._mark)
        top.addWidget(self._testing, 1)
        top.addWidget(self._clock)
        self._area = fitted(self._ready)
        numbers = QGridLayout()
        numbers.setHorizontalSpacing(THOUGHTS)
        numbers.addWidget(self._left, 0, 0, Qt.AlignmentFlag.AlignBottom)
        numbers.addWidget(self._stop, 0, 1, Qt.AlignmentFlag.AlignBottom)
        numbers.addWidget(self._left_words, 1, 0, 1, 2)
        numbers.setColumnStretch(1, 1)
        whole = self._whole = QVBoxLayout(self)
        whole.setContentsMargins(48, THOUGHTS, 48, 24)
        whole.setSpacing(INSIDE)
        whole.addLayout(top)
        whole.addStretch(1)
        whole.addWidget(self._do)
        whole.addWidget(self._area, 100)  # before the empty room around it
        whole.addSpacing(INSIDE)
        whole.addLayout(numbers)
        whole.addWidget(self._bar)
        whole.addWidget(self._next)
        whole.addStretch(1)
        whole.addWidget(self._notices)
        whole.addWidget(self._ask)
        whole.addWidget(self._more)
        whole.addWidget(self._slips)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        low = self.height() < LOW_PX
        self._ready.show_small(low)
        beside, above = (24, 12) if low else (48, THOUGHTS)
        self._whole.setContentsMargins(beside, above, beside, min(above, 24))

    def start(self, planned: Planned) -> None:
        """Begin a planned brew on the kit in use."""
        kit = kit_in_use(self._desk.store)
        if kit is None:
            return
        try:
            done = begin(self._desk.store, planned, kit, clock=self._desk.clock)
        except CoreError as error:
            self._show_trouble(error)
            return
        begun = under_way(self._desk.store)
        if begun is not None:
            self.resume(begun)
        self.changed.emit(done.touched)

    def resume(self, open_guide: OpenGuide) -> None:
        """Go on with a brew that was begun before."""
        self._under_way, self._guide = open_guide.under_way, open_guide.guide
        self._ask.leave()
        self._more.leave()
        self._trouble = self._undone = ""
        words = self._desk.words
        changes = ", ".join(words.sentence(told(one)) for one in self._under_way.changes)
        acts = (words(f"act.{act.value}") for act in sorted(acts_in(self._under_way.why)))
        changes = changes or ", ".join(acts)
        held = MarkKind.KEPT if self._under_way.mode is Mode.GOOD_ONE else MarkKind.HELD
        self._mark.show_kind(MarkKind.CHANGED if changes else held)
        is_first = self._under_way.parent_id is None
        mode = words("guide_page.first" if is_first else f"mode.{self._under_way.mode.value}")
        self._testing.setText(words("guide_page.testing", change=changes) if changes else mode)
        self._testing.setProperty("role", "changed" if changes else "quiet")
        self._testing.style().polish(self._testing)
        self._ready.show_brew(self._under_way, self._purge_g(), self._heating())
        self._doubted = ""
        self._expect()
        self._redraw()
        self.setFocus()

    def reload(self, touched: Touched) -> None:
        """Print the brew it leads anew, where the units may be others."""
        if touched & Touched.SETTINGS:
            self._redraw()
        if touched & (Touched.BREWS | Touched.KIT):
            self._expect()

    def _expect(self) -> None:
        """Have what is expected of the brew worked out, to be kept with it."""
        if self._under_way is not None:
            self._desk.forecasts.ask(self._under_way.plan, self._under_way.bag_id)

    def now_shown(self) -> Screen | None:
        """Return what is shown now; None where no brew is led."""
        return screen_at(self._guide, self._desk.clock()) if self._guide else None

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._timer.start()

    def hideEvent(self, event: QHideEvent) -> None:
        self._leaving = False
        super().hideEvent(event)
        self._timer.stop()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.isAutoRepeat():
            return  # a key held down is one press
        if event.key() == Qt.Key.Key_Space or (is_return(event) and self._is_still()):
            self._try(self._go_on)
        elif event.key() == Qt.Key.Key_Escape and self._under_way is not None and not self._leaving:
            self._leaving = True
            self._redraw()
        elif not self._slips.press(event.text()):
            super().keyPressEvent(event)

    def _is_still(self) -> bool:
        """Return whether Return may go on too: never while water runs."""
        screen = self.now_shown()
        return screen is not None and screen.phase in {Phase.GET_READY, Phase.READ, Phase.DONE}

    def _try(self, does: Callable[[], None]) -> None:
        """Do what a key asks; what could not be kept is said, and the key works again."""
        try:
            does()
        except CoreError as error:
            self._show_trouble(error)

    def _show_trouble(self, error: CoreError) -> None:
        self._trouble = self._desk.words.sentence(error)
        self._show_notices(())
        self._redraw()

    def _go_on(self) -> None:
        screen = self.now_shown()
        if screen is None or self._guide is None:
            return
        if screen.phase is Phase.GET_READY:
            self._note(GuideEventKind.CLOCK_STARTED)
        elif screen.next_pour is not None:
            self._note(GuideEventKind.POUR_STARTED, float(screen.next_pour))
        elif screen.phase in {Phase.DRAIN, Phase.STEEP}:
            self._note(GuideEventKind.DRAINED)
            self._ask_final()
        elif screen.phase is Phase.READ:
            self._ask_final()
        elif screen.phase is Phase.DONE:
            self._finish()

    def _ask_final(self) -> None:
        if self._guide is not None:
            self._ask.ask(final_question(self._guide).code, self._final, skip=True)

    def _final(self, text: str) -> None:
        value = self._told(GuideEventKind.LIFTED, text)[1]
        odd = value is not None and self._guide is not None and is_odd_reading(self._guide, value)
        if odd and text != self._doubted:
            # Said once; the same reading given again is taken at its word.
            self._doubted = text
            raise BadInput("guide_page.odd_weight", given_g=value)
        self._note(GuideEventKind.FINAL_READING, value)
        needed_g = float(round(bypass_needed_g(self._guide))) if self._guide else 0.0
        if needed_g and not odd and not self._was_noted(GuideEventKind.BYPASS):
            self._ask_bypass(needed_g)
        else:
            self._finish()

    def _ask_bypass(self, needed_g: float) -> None:
        planned = self._guide is not None and bool(self._guide.bypass_g)
        code, empty = ("guide.ask_bypass", "ask.keys_planned") if planned else _FELL_SHORT
        self._ask.ask(code, self._bypass, empty=empty, needed_g=needed_g)

    def _bypass(self, text: str) -> None:
        if text or (self._guide is not None and self._guide.bypass_g):
            self._note(*self._told(GuideEventKind.BYPASS, text))
        self._finish()

    def _was_noted(self, kind: GuideEventKind) -> bool:
        return self._guide is not None and self._guide.noted(kind) is not None

    def _finish(self) -> None:
        if self._under_way is None:
            return
        begun = self._under_way
        expected = self._desk.forecasts.find(begun.plan, begun.bag_id)  # nobody waits for it
        done = finish(self._desk.store, begun.id, clock=self._desk.clock, expected=expected)
        self._under_way = self._guide = None
        self.changed.emit(done.touched)
        self.finished.emit(done.value.id)

    def _slip(self, kind: GuideEventKind) -> None:
        screen = self.now_shown()
        if screen is None or self._guide is None or kind not in screen.can:
            return
        self._ask.leave()  # a slip clicked while something is asked comes before it
        self._take_keys()
        if kind in ASKED:
            code, empty = ASKED[kind]
            self._ask.ask(code, partial(self._answer_slip, kind), empty=empty)
        else:
            self._try(partial(self._answer_slip, kind, ""))

    def _open_more(self) -> None:
        self._ask.leave()
        self._more.open_with(self._slips.rest())

    def _answer_slip(self, kind: GuideEventKind, text: str) -> None:
        kind, value = self._told(kind, text)
        self._note(kind, value)
        if kind is GuideEventKind.LIFTED:
            self._after_lift(value)

    def _told(self, kind: GuideEventKind, text: str) -> tuple[GuideEventKind, float | None]:
        value = None
        if text not in {"", "?"}:
            value = parsed_measure(self._desk.words, unit_of(kind), text)
        if self._guide is None:
            return kind, value
        return event_told(self._guide, kind, value, self._desk.clock())

    def _after_lift(self, held_g: float | None) -> None:
        """Ask for the server where it is still to be weighed; else the brew is over."""
        guide = self._guide
        alone = guide is not None and guide.carries is ScaleCarries.SERVER_ALONE
        lost = guide is not None and guide.total_is_lost
        if held_g is None and (alone or lost):
            self._ask_final()
            return
        # The server was weighed, or the dripper is off the scale: nothing more can be read.
        self._note(GuideEventKind.FINAL_READING, held_g if alone and not lost else None)
        self._finish()

    def _answered(self, text: str, does: Callable[[str], None]) -> None:
        try:
            does(text)
        except CoreError as error:
            self._ask.show_error(self._desk.words.sentence(error))
            return
        if not self._ask.was_asked_anew(does):
            self._ask.leave()
            self._take_keys()

    def _take_keys(self) -> None:
        """Close what was open, and take the keys again."""
        self._more.leave()
        self.setFocus()

    def _note(self, kind: GuideEventKind, value: float | None = None) -> None:
        if self._under_way is None:
            return
        before = self._guide.held if self._guide else ()
        done = note(self._desk.store, self._under_way.id, kind, value, clock=self._desk.clock)
        self._guide = done.value
        self._trouble = self._undone = ""
        if kind is GuideEventKind.TAKEN_BACK and before:
            what = Message(f"taken_back.{before[-1].kind.value}")
            self._undone = self._desk.words("taken_back.said", what=what)
        self._redraw()

    def _heating(self) -> str:
        """Return how this kettle gets water as hot as planned; empty where it is not planned."""
        kit = kit_in_use(self._desk.store)
        if self._under_way is None or kit is None:
            return ""
        plan, readings = self._under_way.plan, readings_at_hand(self._desk, kit)
        return heating_text(self._desk, kit, plan, "guide_page.heat", readings)

    def _purge_g(self) -> float:
        kit = kit_in_use(self._desk.store)
        return kit.grinder.purge_g if kit is not None else 0.0

    def _redraw(self) -> None:
        screen = self.now_shown()
        if screen is None:
            return
        words = self._desk.words
        self._do.setText(words.sentence(screen.do))
        self._area.setVisible(screen.phase is Phase.GET_READY)
        pouring = screen.left_to_pour_g is not None
        left_g = float(round(screen.left_to_pour_g or 0))
        self._left.setText(weight(words, left_g) if pouring else "")
        self._left.setVisible(pouring)
        self._stop.setVisible(pouring and screen.stop_at_g is not None)
        self._left_words.setVisible(pouring)
        if pouring and screen.stop_at_g is not None:
            self._stop.setText(words("guide_page.stop_at", stop_g=screen.stop_at_g))
            code = "guide_page.left_now" if screen.phase is Phase.POUR else "guide_page.left_next"
            self._left_words.setText(words(code))
        self._next.setText(words.sentence(screen.next) if screen.next else "")
        self._bar.setValue(round(screen.step_share * 1000))
        self._bar.setVisible(screen.phase in {Phase.POUR, Phase.WAIT, Phase.STEEP})
        self._clock.setText(self._clock_text(screen))
        self._show_notices(screen.notices)
        self._slips.show_can(screen.can)
        self._redraw_more()

    def _redraw_more(self) -> None:
        if not self._more.isVisible():
            return
        if self._slips.rest():
            self._more.show_slips(self._slips.rest())
        else:
            self._take_keys()

    def _show_notices(self, notices: Sequence[Message]) -> None:
        lines = [self._desk.words.sentence(one) for one in notices]
        lines = [*filter(None, (self._trouble, self._undone)), *lines]
        if self._leaving:
            lines.append(self._desk.words("guide_page.leaving"))
        self._notices.setText("\n".join(lines))
        # The list stands where they are, and only until it is answered.
        self._notices.setVisible(bool(lines) and self._more.isHidden())

    def _clock_text(self, screen: Screen) -> str:
        if not screen.clock_known:
            return self._desk.words("guide_page.clock_unknown")
        return minutes(float(int(screen.clock_s))) if screen.clock_s is not None else ""

    def under_way_id(self) -> UUID | None:
        """Return which brew is led; None where none is."""
        return self._under_way.id if self._under_way else None
