"""What a coffee's cups have taught: where it is liked, liking along each lever, how far to go."""

from functools import partial
from typing import TYPE_CHECKING
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.service.done import Touched
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.look import GROUPS, THOUGHTS
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.liking_curves import Curve, LikingCurve, curves_of
from halfclick_desktop.widgets.panel import Panel, scrolled

if TYPE_CHECKING:
    from halfclick.service.believed import CoffeeBelieved

IN_A_ROW = 3


class BelievedPage(QWidget):
    """Asks off the main thread; the last answer stands until the new one is there."""

    changed = Signal(Touched)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._coffee: tuple[UUID, str] | None = None
        self._found: CoffeeBelieved | None = None
        self._stale = True
        self._pictures: list[LikingCurve] = []
        words = desk.words
        self._title = styled("heading")
        self._said = styled("quiet")
        self._zone, self._sure = styled("body"), styled("body")
        self._how, self._held = styled("quiet"), styled("body")
        self._where = Panel(words("believed.zone"))
        self._where.add(self._zone)
        self._far = Panel(words("believed.how_sure"))
        self._far.add(self._sure)
        self._far.add(self._held)
        self._along = Panel(words("believed.along"))
        self._grid = QGridLayout()
        self._grid.setSpacing(GROUPS)
        self._along.add(self._how)
        self._along.add(self._grid)
        self._asking = Latest(desk.jobs, self, reckons=True)
        self._asking.done.connect(self._show)
        self._asking.failed.connect(self._failed)
        self._lay_out()

    def _lay_out(self) -> None:
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GROUPS)
        for part in (self._where, self._far, self._along):
            column.addWidget(part)
        column.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(self._title)
        whole.addWidget(self._said)
        whole.addWidget(scrolled(inside), 1)
        self._show_parts(visible=False)

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

    def _ask(self) -> None:
        if self._coffee is None:
            self._title.setText(self._desk.words("believed.title_none"))
            self._said.setText(self._desk.words("believed.none"))
            return
        self._stale = False
        self._said.setText(self._desk.words("believed.working"))
        if self._found is None:
            self._title.setText(self._coffee[1])
        self._asking.ask(
            partial(_believed, self._desk.store, self._coffee[0], today=self._desk.today())
        )

    def _failed(self, error: CoreError) -> None:
        self._said.setText(self._desk.words.sentence(error))

    def _show(self, found: "CoffeeBelieved | None") -> None:
        words = self._desk.words
        self._found = found
        if found is None or self._coffee is None:
            self._said.setText(words("believed.none"))
            self._show_parts(visible=False)
            return
        self._said.setText("")
        self._title.setText(words("believed.title", name=self._coffee[1], number=found.cup))
        self._zone.setText(words.sentences(found.zone))
        self._sure.setText(words.sentences(found.sure))
        self._held.setText(words.sentences(found.held))
        self._how.setText(words("believed.how"))
        for picture in self._pictures:
            picture.deleteLater()
        self._pictures = curves_of(
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
        for place, picture in enumerate(self._pictures):
            self._grid.addWidget(picture, place // IN_A_ROW, place % IN_A_ROW)
        self._show_parts(visible=True)

    def _show_parts(self, *, visible: bool) -> None:
        self._said.setVisible(not visible or bool(self._said.text()))
        for part in (self._where, self._far, self._along):
            part.setVisible(visible)


def _believed(*question: object, **named: object) -> "CoffeeBelieved | None":
    """Ask the cups; numpy is loaded here, off the main thread."""
    from halfclick.service.believed import believed

    return believed(*question, **named)  # type: ignore[arg-type]
