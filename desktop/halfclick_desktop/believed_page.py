"""What a coffee's cups have taught: where it is liked, liking along each lever, how far to go."""

from functools import partial
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from halfclick.errors import CoreError
from halfclick.service.done import Touched
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.letting_go import let_go
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.plots.plane_plot import PlanePlot
from halfclick_desktop.widgets.checked_picture import CheckedCup, CheckedPicture
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.liking_curves import Curve, curves_of
from halfclick_desktop.widgets.panel import Panel, scrolled

if TYPE_CHECKING:
    from halfclick.service.believed import CoffeeBelieved
    from halfclick.service.coverage import Checked, Coverage

IN_A_ROW = 3
PLANE_PX, PLANE_LEAST_PX = 300, 280
BESIDE_PX = 780


class BelievedPage(QWidget):
    """Asks off the main thread; the last answer stands until the new one is there."""

    changed = Signal(Touched)
    plan_asked = Signal(object)  # coffee id, to move levers of its next cup
    plane_asked = Signal(object)  # coffee id

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._coffee: tuple[UUID, str] | None = None
        self._found: CoffeeBelieved | None = None
        self._stale = True
        words = desk.words
        self._title, self._said = styled("heading"), styled("quiet")
        self._zone, self._sure = styled("body"), styled("body")
        self._how, self._held = styled("quiet"), styled("body")
        self._plane = PlanePlot(words)
        self._plane.show_classic(False)
        self._plane.setMinimumSize(PLANE_LEAST_PX, PLANE_PX)
        self._where = Panel(words("believed.zone"))
        self._where.add(self._plane)
        self._where.add(self._zone)
        self._far = Panel(words("believed.how_sure"))
        self._far.add(self._sure)
        self._right = Panel(words("believed.was_right"))
        self._checked = CheckedPicture(words("believed.checked"))
        self._checking = styled("quiet")
        for part in (self._checked, self._checking, self._held):
            self._right.add(part)
        self._along = Panel(words("believed.along"))
        self._grid = QGridLayout()
        self._grid.setSpacing(GROUPS)
        self._along.add(self._how)
        self._along.add(self._grid)
        self._what_if = QPushButton(words("believed.what_if"))
        self._what_if.setProperty("role", "main")
        self._what_if.clicked.connect(self._ask_plan)
        self._measured = QPushButton(words("believed.measured"))
        self._measured.clicked.connect(self._ask_plane)
        self._asking = Latest(desk.jobs, self, reckons=True)
        self._asking.done.connect(self._show)
        self._asking.failed.connect(self._failed)
        self._looking_back = Latest(desk.jobs, self, reckons=True)
        self._looking_back.done.connect(self._show_checked)
        self._looking_back.failed.connect(self._not_checked)
        self._lay_out()

    def _lay_out(self) -> None:
        self._top = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._top.setSpacing(GROUPS)
        beside = QVBoxLayout()
        beside.setSpacing(GROUPS)
        beside.addWidget(self._far)
        beside.addWidget(self._right, 1)
        self._top.addWidget(self._where, 1)
        self._top.addLayout(beside, 1)
        keys = QHBoxLayout()
        keys.setSpacing(INSIDE)
        keys.addWidget(self._what_if)
        keys.addWidget(self._measured)
        keys.addStretch(1)
        self._inside = QWidget()
        column = QVBoxLayout(self._inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GROUPS)
        column.addLayout(self._top)
        column.addWidget(self._along)
        column.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(self._title)
        whole.addWidget(self._said)
        whole.addWidget(scrolled(self._inside), 1)
        whole.addLayout(keys)
        self._show_parts(visible=False)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the zone above the rest where they have no room side by side."""
        super().resizeEvent(event)
        way = QBoxLayout.Direction
        self._top.setDirection(way.LeftToRight if self.width() >= BESIDE_PX else way.TopToBottom)

    def show_coffee(self, coffee_id: UUID, name: str) -> None:
        """Show what the cups of a coffee say."""
        if self._coffee is None or self._coffee[0] != coffee_id:
            self._found = None
            self._show_parts(visible=False)
        self._coffee = coffee_id, name
        self._stale = True
        if self.isVisible():
            self._ask()

    def reload(self, touched: Touched) -> None:
        """Ask anew where cups or the kit were touched."""
        if touched & (Touched.BREWS | Touched.KIT | Touched.SETTINGS):
            self._stale = True
            if self.isVisible():
                self._ask()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._stale:
            self._ask()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        keys = {"w": self._what_if, "s": self._measured}
        button = self._what_if if is_return(event) else keys.get(event.text().lower())
        if button is not None and button.isVisible():
            button.click()
        else:
            super().keyPressEvent(event)

    def _ask_plan(self) -> None:
        if self._coffee is not None:
            self.plan_asked.emit(self._coffee[0])

    def _ask_plane(self) -> None:
        if self._coffee is not None:
            self.plane_asked.emit(self._coffee[0])

    def _ask(self) -> None:
        if self._coffee is None:
            self._title.setText(self._desk.words("believed.title_none"))
            self._said.setText(self._desk.words("believed.none"))
            return
        self._stale = False
        self._said.setText(self._desk.words("believed.working"))
        self._said.show()
        self._checking.setText(self._desk.words("believed.checking"))
        self._checking.show()
        if self._found is None:
            self._title.setText(self._coffee[1])
        store, today = self._desk.store, self._desk.today()
        self._asking.ask(partial(_believed, store, self._coffee[0], today=today))
        self._looking_back.ask(partial(_coverage, store, self._coffee[0], today=today))

    def _failed(self, error: CoreError) -> None:
        self._said.setText(self._desk.words.sentence(error))

    def _not_checked(self, error: CoreError) -> None:
        self._checking.setText(self._desk.words.sentence(error))

    def _show(self, found: "CoffeeBelieved | None") -> None:
        words = self._desk.words
        self._found = found
        if found is None or self._coffee is None:
            self._said.setText(words("believed.none"))
            self._show_parts(visible=False)
            return
        self._said.setText("")
        self._title.setText(words("believed.title", name=self._coffee[1], number=found.cup))
        zone = words.sentences(found.zone)
        self._plane.show_plane(found.plane, zone)
        self._zone.setText(zone)
        self._sure.setText(words.sentences(found.sure))
        self._how.setText(words("believed.how"))
        self._show_curves(found)
        self._show_parts(visible=True)

    def _show_curves(self, found: "CoffeeBelieved") -> None:
        words = self._desk.words
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                let_go(widget)
        pictures = curves_of(
            [
                Curve(
                    title=words(f"believed.lever_{one.lever}"),
                    points=one.points,
                    now=one.now,
                    best=one.best,
                    ends=(words.sentence(one.ends[0]), words.sentence(one.ends[1])),
                    said=words.sentence(one.said),
                )
                for one in found.curves
            ]
        )
        for place, picture in enumerate(pictures):
            under = styled("label", picture.said())
            row, column = 2 * (place // IN_A_ROW), place % IN_A_ROW
            self._grid.addWidget(picture, row, column)
            self._grid.addWidget(under, row + 1, column)

    def _show_checked(self, found: "Coverage") -> None:
        words = self._desk.words
        cups = [self._checked_cup(one) for one in found.cups if "liking" in one.bands]
        self._checked.show_cups(cups)
        self._checked.setVisible(bool(cups))
        self._checking.setText(words("believed.checked_how" if cups else "believed.none_checked"))
        self._held.setText(words.sentences(found.said))
        self._held.setVisible(bool(found.said))

    def _checked_cup(self, one: "Checked") -> CheckedCup:
        (low, high), seen = one.bands["liking"]
        code = "inside" if low <= seen <= high else "outside"
        told = self._desk.words(
            f"believed.cup_{code}", number=one.number, low=low, high=high, seen=seen
        )
        return CheckedCup(
            number=one.number, low=low, high=high, seen=seen, said=one.said, words=told
        )

    def _show_parts(self, *, visible: bool) -> None:
        self._said.setVisible(not visible or bool(self._said.text()))
        self._inside.setVisible(visible)
        self._what_if.setVisible(visible)
        self._measured.setVisible(visible)


def _believed(*question: object, **named: object) -> "CoffeeBelieved | None":
    """Ask the cups; numpy is loaded here, off the main thread."""
    from halfclick.service.believed import believed

    return believed(*question, **named)  # type: ignore[arg-type]


def _coverage(*question: object, **named: object) -> "Coverage":
    """Look back at the cups; numpy is loaded here, off the main thread."""
    from halfclick.service.coverage import coverage_of

    return coverage_of(*question, **named)  # type: ignore[arg-type]
