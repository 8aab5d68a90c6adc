"""What the brews on the kit in use taught of it, and what would be worth measuring."""

from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.service.done import Touched
from halfclick.service.kit_constants import GROUPS as ABOUT
from halfclick.service.kit_constants import Constant, Taught, taught_of
from halfclick.service.kitchens import KitView, kit_in_use
from halfclick.service.learned import Learned, learn
from halfclick.service.untangle import Measurement, measurements
from halfclick.store.journal import Store
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.text import percent
from halfclick_desktop.widgets.band_bar import BandBar
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel, scrolled, stacked

# The form of the kit page where a measurement is kept.
FORMS = {
    "sieve": "sieving",
    "sieve_another": "sieving",
    "kettle": "wait",
    "paper": "paper_timing",
}
# So many measurements are named: the best, and two that stand next.
NAMED = 3
# So that a constant's name has a line or two beside its bar.
LEFT_PX, RIGHT_PX = 440, 240
SCROLLS = {
    Qt.Key.Key_PageDown: 1.0,
    Qt.Key.Key_PageUp: -1.0,
    Qt.Key.Key_Down: 0.1,
    Qt.Key.Key_Up: -0.1,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    kit: KitView
    taught: Taught
    worth: tuple[Measurement, ...]


class TaughtPage(QWidget):
    """Shows each constant's band now against before any brew; Escape goes back to the kit."""

    changed = Signal(Touched)
    kit_asked = Signal()
    measure_asked = Signal(str)  # a form of the kit page

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._stale = True
        words = desk.words
        self._said = styled("quiet", words("taught.working"))
        self._said.setMinimumHeight(2 * self._said.fontMetrics().lineSpacing())
        back = QPushButton(words("taught.back"))
        back.clicked.connect(self.kit_asked)
        head = QHBoxLayout()
        head.addWidget(styled("heading", words("taught.title"), wrap=False))
        head.addStretch(1)
        head.addWidget(back)
        self._left = scrolled(QWidget())
        self._right = scrolled(QWidget())
        self._left.keep_wide(LEFT_PX)
        self._right.keep_wide(RIGHT_PX)
        self._columns = Columns((self._left, 3), (self._right, 2))
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addLayout(head)
        whole.addWidget(self._said)
        whole.addWidget(self._columns, 1)
        self.setFocusProxy(back)

    def reload(self, touched: Touched) -> None:
        """Learn again where a brew or the kit may have changed, once somebody looks."""
        if touched & (Touched.BREWS | Touched.KIT | Touched.SETTINGS):
            self._stale = True
            if self.isVisible():
                self._learn()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._stale:
            self._learn()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        pages = SCROLLS.get(Qt.Key(event.key()))
        if pages is None:
            super().keyPressEvent(event)
            return
        # One below the other they scroll as one.
        area = self._left if self._columns.is_beside() else self._columns
        bar = area.verticalScrollBar()
        bar.setValue(bar.value() + round(pages * area.viewport().height()))

    def _learn(self) -> None:
        self._stale = False
        self._said.setText(self._desk.words("taught.working"))
        job = self._desk.jobs.reckon(
            partial(_found, self._desk.store, self._desk.forecasts.learned())
        )
        job.done.connect(self._show)
        job.failed.connect(self._failed)

    def _failed(self, error: CoreError) -> None:
        self._said.setText(self._desk.words.sentence(error))

    def _show(self, found: _Found | None) -> None:
        words = self._desk.words
        if found is None:
            self._said.setText(words("taught.no_kit"))
            return
        kit, taught = found.kit, found.taught
        names = {"grinder": kit.grinder.name, "dripper": kit.dripper.name}
        code = "taught.brews" if taught.brews else "taught.none"
        self._said.setText(words(code, count=taught.brews, **names))
        groups = [self._group(name, taught) for name in ABOUT]
        left, right = stacked(*groups), stacked(self._together(taught), self._worth(found.worth))
        left.setContentsMargins(0, 0, GROUPS, 0)
        self._left.setWidget(left)
        self._right.setWidget(right)

    def _group(self, name: str, taught: Taught) -> Panel:
        panel = Panel(self._desk.words(f"taught.group_{name}"))
        grid = QGridLayout()
        grid.setHorizontalSpacing(GROUPS)
        grid.setVerticalSpacing(INSIDE // 2)
        grid.setColumnStretch(0, 1)
        for one in taught.constants:
            if one.group == name:
                self._add_row(grid, one)
        panel.add(grid)
        return panel

    def _add_row(self, grid: QGridLayout, one: Constant) -> None:
        words, row = self._desk.words, grid.rowCount()
        grid.addWidget(styled("", words(f"taught.{one.name}")), row, 0)
        top = Qt.AlignmentFlag.AlignTop
        grid.addWidget(BandBar(one.before, one.now), row, 1, top)
        told = words(
            f"taught.{one.state}",
            now=words.sentence(one.told(one.now)),
            before=words.sentence(one.told(one.before)),
        )
        grid.addWidget(styled("", told), row + 1, 0, 1, 2)
        ground = words(one.source)
        if one.unknown_to_all:
            ground = f"{words('taught.unknown')} {ground}"
        grid.addWidget(styled("label", ground), row + 2, 0, 1, 2)
        grid.setRowMinimumHeight(row + 3, INSIDE)

    def _together(self, taught: Taught) -> Panel:
        words = self._desk.words
        panel = Panel(words("taught.together"))
        if taught.together is None:
            panel.add(styled("", words("taught.not_together")))
            return panel
        code = "opposed" if taught.together.opposed else "alike"
        one, other = (
            words(f"taught.{name}") for name in (taught.together.one, taught.together.other)
        )
        panel.add(styled("", words(f"taught.together_{code}", one=one, other=other)))
        return panel

    def _worth(self, worth: tuple[Measurement, ...]) -> Panel:
        words = self._desk.words
        panel = Panel(words("taught.worth"))
        if not worth:
            panel.add(styled("", words("taught.nothing_worth")))
        for number, one in enumerate(worth[:NAMED]):
            what = words(f"taught.measure_{one.name}")
            code = "taught.worth_best" if number == 0 else "taught.worth_next"
            said = words(code, what=what, narrows=percent(one.narrows_share))
            panel.add(styled("" if number == 0 else "quiet", said))
            panel.add(styled("label", words(f"taught.how_{one.name}")))
            if one.name in FORMS:
                self._add_way(panel, one.name)
        panel.add(styled("label", words("taught.worth_how")))
        return panel

    def _add_way(self, panel: Panel, name: str) -> None:
        button = QPushButton(self._desk.words(f"taught.open_{name}"))
        button.clicked.connect(partial(self.measure_asked.emit, FORMS[name]))
        row = QHBoxLayout()
        row.addWidget(button)
        row.addStretch(1)
        panel.add(row)


def _found(store: Store, known: Learned | None) -> _Found | None:
    """Learn from the brews, unless that is known already; called off the main thread."""
    kit = kit_in_use(store)
    if kit is None:
        return None
    learned = known or learn(store, kit)
    return _Found(kit=kit, taught=taught_of(learned), worth=measurements(store, kit, learned))
