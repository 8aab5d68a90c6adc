"""The first run: a conversation of a few questions, each of which can be skipped."""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.kit import DrainedRule, DripperShape, ScaleCarries
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitchenEntry, set_up_kitchen
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.dripper_form import shapes
from halfclick_desktop.widgets.field import ChoiceField, NumberField, YesNoField
from halfclick_desktop.widgets.form import Form
from halfclick_desktop.widgets.grinder_form import GrinderForm
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.panel import scrolled

STEPS = ("grinder", "dripper", "water", "scale")
FORM_PX = 460
HEIGHT_PX = 680
# What is named for the person until they name it.
NAMED = ("grinder", "dripper", "paper", "kettle", "water", "server")


class FirstRunPage(QWidget):
    """Asks one thing at a time; what is skipped keeps its default and is learned later."""

    changed = Signal(Touched)
    finished = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        words = desk.words
        self._grinder = GrinderForm(words, brief=True)
        self._forms: dict[str, Form] = {
            "grinder": self._grinder,
            "dripper": self._dripper_form(),
            "water": self._water_form(),
            "scale": self._scale_form(),
        }
        self._readers: dict[str, Callable[[], dict[str, object]]] = {
            "grinder": self._read_grinder,
            "dripper": self._read_dripper,
            "water": self._read_water,
            "scale": self._read_scale,
        }
        self._answers: dict[str, dict[str, object]] = {}
        self._stack = QStackedWidget()
        for form in self._forms.values():
            self._stack.addWidget(scrolled(form))
        self._title = QLabel()
        self._title.setProperty("role", "heading")
        self._why = QLabel()
        self._why.setWordWrap(True)
        self._count = QLabel()
        self._count.setProperty("role", "label")
        self._go_on = QPushButton()
        self._go_on.setProperty("role", "main")
        self._go_on.clicked.connect(self._answered)
        self._skip = QPushButton(words("first_run.skip"))
        self._skip.clicked.connect(self._skip_one)
        self._back = QPushButton(words("first_run.back"))
        self._back.clicked.connect(self._back_one)
        self._lay_out()
        self._show_step(0)

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        buttons.setSpacing(INSIDE)
        buttons.addWidget(self._go_on)
        buttons.addWidget(self._skip)
        buttons.addWidget(self._back)
        buttons.addStretch(1)
        inner = QWidget()
        inner.setMaximumSize(FORM_PX + THOUGHTS, HEIGHT_PX)
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GROUPS)
        for label in (self._count, self._title, self._why):
            column.addWidget(label)
        column.addWidget(self._stack, 1)
        column.addLayout(buttons)
        row = QHBoxLayout(self)
        row.setContentsMargins(THOUGHTS, THOUGHTS, THOUGHTS, THOUGHTS)
        row.addWidget(inner, 1, Qt.AlignmentFlag.AlignTop)
        row.addStretch(1)

    def reload(self, touched: Touched) -> None:
        """Read nothing: this page is there before anything else is."""

    def step(self) -> str:
        """Return which question is asked now."""
        return STEPS[self._stack.currentIndex()]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            press_main(self, self._go_on)
        elif event.key() == Qt.Key.Key_Escape and self._back.isEnabled():
            self._back_one()
        else:
            super().keyPressEvent(event)

    def _dripper_form(self) -> Form:
        self._shape = ChoiceField(self._desk.words, "kit.shape", shapes(self._desk.words))
        return Form(self._desk.words, {"shape": self._shape})

    def _water_form(self) -> Form:
        words = self._desk.words
        self._tells = YesNoField(words, "kit.thermometer", hint="kit.thermometer_hint")
        self._altitude = NumberField(
            words, "kit.altitude", unit="m", hint="kit.altitude_hint", decimals=0
        )
        fields = {"thermometer": self._tells, "altitude": self._altitude}
        return Form(words, fields, {"kitchen.": "altitude"})

    def _scale_form(self) -> Form:
        words = self._desk.words
        self._carries = ChoiceField(
            words,
            "kit.carries",
            [(words(f"kit.carries_{carries.value}"), carries) for carries in ScaleCarries],
        )
        self._capacity = NumberField(words, "kit.capacity", unit="g", hint="kit.capacity_hint")
        self._drained = ChoiceField(
            words,
            "kit.drained",
            [(words(f"kit.drained_{rule.value}"), rule) for rule in DrainedRule],
            hint="kit.drained_hint",
        )
        fields = {"carries": self._carries, "capacity": self._capacity, "drained": self._drained}
        return Form(words, fields, {"server.": "capacity"})

    def _show_step(self, index: int) -> None:
        words = self._desk.words
        self._stack.setCurrentIndex(index)
        name = STEPS[index]
        self._count.setText(words("first_run.count", number=index + 1, whole=len(STEPS)))
        self._title.setText(words(f"first_run.{name}"))
        self._why.setText(words(f"first_run.{name}_why"))
        last = index == len(STEPS) - 1
        self._go_on.setText(words("first_run.finish" if last else "first_run.go_on"))
        self._back.setEnabled(index > 0)
        self._forms[name].setFocus()
        self.setFocusProxy(self._forms[name])

    def _answered(self) -> None:
        step = self.step()
        try:
            self._answers[step] = self._readers[step]()
        except CoreError as error:
            self._forms[step].say(error)
            return
        self._step_on()

    def _skip_one(self) -> None:
        self._forms[self.step()].clear_errors()
        self._answers.pop(self.step(), None)
        self._step_on()

    def _back_one(self) -> None:
        self._show_step(max(self._stack.currentIndex() - 1, 0))

    def _step_on(self) -> None:
        index = self._stack.currentIndex()
        if index + 1 < len(STEPS):
            self._show_step(index + 1)
        else:
            self._set_up()

    def _read_grinder(self) -> dict[str, object]:
        form = self._grinder
        name = {"grinder_name": form.name()} if form.name() else {}
        return {**name, "numbering": form.numbering(), "finer": form.finer()}

    def _read_dripper(self) -> dict[str, object]:
        shape = DripperShape(str(self._shape.value()))
        name = self._desk.words(f"kit.shape_name_{shape.value}")
        return {"shape": shape, "dripper_name": name}

    def _read_water(self) -> dict[str, object]:
        altitude_m = self._altitude.value() or 0.0
        return {"kettle_has_thermometer": self._tells.value(), "altitude_m": altitude_m}

    def _read_scale(self) -> dict[str, object]:
        return {
            "scale_carries": ScaleCarries(str(self._carries.value())),
            "server_capacity_g": self._capacity.value(),
            "drained_rule": DrainedRule(str(self._drained.value())),
        }

    def _set_up(self) -> None:
        answers: dict[str, Any] = {
            f"{thing}_name": self._desk.words(f"kit.own_{thing}") for thing in NAMED
        }
        for given in self._answers.values():
            answers.update(given)
        try:
            done = set_up_kitchen(self._desk.store, KitchenEntry(**answers), clock=self._desk.clock)
        except CoreError as error:
            blamed = "water" if error.code.startswith("kitchen.") else self.step()
            self._show_step(STEPS.index(blamed))
            self._forms[blamed].say(error)
            return
        self.changed.emit(done.touched)
        self.finished.emit()
