"""A brew that was under way when the program ended: go on, keep what is known, or put it by."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.service.coffees import coffee_of_bag
from halfclick.service.done import Touched
from halfclick.service.guide import OpenGuide, finish, give_up, under_way
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.keys import is_return, press_main

TEXT_PX = 640


class ResumePage(QWidget):
    """Offers what can be done with a brew that was not closed."""

    changed = Signal(Touched)
    go_on_asked = Signal()
    kept = Signal(object)  # brew id
    given_up = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        words = desk.words
        self._open: OpenGuide | None = None
        title = QLabel(words("resume.title"))
        title.setProperty("role", "heading")
        self._text = QLabel()
        self._text.setWordWrap(True)
        self._text.setMaximumWidth(TEXT_PX)
        self._error = QLabel()
        self._error.setWordWrap(True)
        self._error.setProperty("role", "caution")
        self._go_on = QPushButton(words("resume.go_on"))
        self._go_on.setProperty("role", "main")
        self._go_on.clicked.connect(self.go_on_asked)
        self._keep = QPushButton(words("resume.keep"))
        self._keep.clicked.connect(self._keep_known)
        self._drop = QPushButton(words("resume.give_up"))
        self._drop.clicked.connect(self._put_by)
        buttons = QHBoxLayout()
        buttons.setSpacing(INSIDE)
        for button in (self._go_on, self._keep, self._drop):
            buttons.addWidget(button)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(THOUGHTS, THOUGHTS, THOUGHTS, THOUGHTS)
        column.setSpacing(GROUPS)
        column.addWidget(title)
        column.addWidget(self._text)
        column.addWidget(self._error)
        column.addLayout(buttons)
        column.addStretch(1)
        self.setFocusProxy(self._go_on)

    def reload(self, touched: Touched) -> None:
        """Read again whether a brew is under way."""
        if not touched & Touched.GUIDE:
            return
        self._open = under_way(self._desk.store)
        if self._open is None:
            return
        begun = self._open.under_way
        coffee = coffee_of_bag(self._desk.store, begun.bag_id)
        local = begun.begun_at.astimezone()
        self._error.setText("")
        self._text.setText(
            self._desk.words(
                "resume.text", name=coffee.name, day=local.date(), time=f"{local:%H:%M}"
            )
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            press_main(self, self._go_on)
        elif event.text().lower() == "k":
            self._keep.click()
        elif event.text().lower() == "x":
            self._drop.click()
        else:
            super().keyPressEvent(event)

    def _keep_known(self) -> None:
        if self._open is None:
            return
        try:
            done = finish(self._desk.store, self._open.under_way.id, clock=self._desk.clock)
        except CoreError as error:
            self._error.setText(self._desk.words.sentence(error))
            return
        self.changed.emit(done.touched)
        self.kept.emit(done.value.id)

    def _put_by(self) -> None:
        if self._open is None:
            return
        done = give_up(self._desk.store, self._open.under_way.id, clock=self._desk.clock)
        self.changed.emit(done.touched)
        self.given_up.emit()
