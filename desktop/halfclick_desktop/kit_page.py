"""The kit: what is in the kitchen, added and changed; and a grinder's zero taken again."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from uuid import UUID, uuid4

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from halfclick.errors import CoreError
from halfclick.model.grinder import Grinder
from halfclick.model.kit import Dripper, Kettle, Paper, ScaleCarries, Server, Water
from halfclick.service.cautions import Place
from halfclick.service.done import Touched
from halfclick.service.grinders import take_zero, zeros_of
from halfclick.service.kitchens import (
    KitView,
    add_thing,
    change_thing,
    kit_in_use,
    list_kit,
    put_to_use,
)
from halfclick_desktop.caution_spot import CautionSpot
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.field import ChoiceField, NumberField
from halfclick_desktop.widgets.form import Form
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.kit_forms import (
    DripperForm,
    GrinderThingForm,
    KettleForm,
    PaperForm,
    ServerForm,
    Thing,
    ThingForm,
    WaterForm,
)
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.panel import Panel, scrolled
from halfclick_desktop.widgets.zero_form import ZeroForm

KINDS: dict[str, type[Thing]] = {
    "grinder": Grinder,
    "dripper": Dripper,
    "paper": Paper,
    "kettle": Kettle,
    "water": Water,
    "server": Server,
}
COLUMN_PX = 480


class MadeWhenAsked(dict[str, QWidget]):
    """Widgets by name, each made when it is first asked for."""

    def __init__(self, makers: Mapping[str, Callable[[], QWidget]]) -> None:
        super().__init__()
        self._makers = makers

    def __missing__(self, name: str) -> QWidget:
        self[name] = self._makers[name]()
        return self[name]


class KitPage(QWidget):
    """Shows what is in use; a form at the right adds or changes one thing at a time."""

    changed = Signal(Touched)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._kit: KitView | None = None
        self._edited: tuple[str, UUID | None] | None = None
        self._undone: Thing | None = None
        words = desk.words
        self._choices = {kind: ChoiceField(words, f"kit.{kind}") for kind in KINDS}
        # Six forms take longer to make than a window may stand still: each when it is first asked.
        self._forms = MadeWhenAsked(
            {
                "grinder": partial(GrinderThingForm, words),
                "dripper": partial(DripperForm, words),
                "paper": partial(PaperForm, words),
                "kettle": partial(KettleForm, words),
                "water": partial(WaterForm, words),
                "server": partial(ServerForm, words),
            }
        )
        self._scrolls: dict[str, QScrollArea] = {}
        self._zero = ZeroForm(words)
        self._notice = Notice(words)
        self._notice.undo_asked.connect(self._undo)
        self._build_place()
        self._build_side()
        self._lay_out()
        self.setFocusProxy(self._choices["grinder"])

    def reload(self, touched: Touched) -> None:
        """Read the kit again where it may have changed."""
        if not touched & (Touched.KIT | Touched.SETTINGS):
            return
        self._kit = kit_in_use(self._desk.store)
        if self._kit is None:
            return
        for kind, choice in self._choices.items():
            things = list_kit(self._desk.store, KINDS[kind])  # type: ignore[type-var]
            choice.show_choices([(thing.name, thing.id) for thing in things])
            used = getattr(self._kit.kitchen, f"{kind}_id")
            if used is not None:
                choice.show_value(used)
        self._altitude.show_value(self._kit.kitchen.altitude_m)
        self._carries.show_value(self._kit.kitchen.scale_carries)
        self._show_zero()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event) and self._edited is not None:
            press_main(self, self._save)
        elif is_return(event) and self._place_form.isAncestorOf(self.focusWidget()):
            self._keep_place()
        elif event.key() == Qt.Key.Key_Escape and self._edited is not None:
            self._put_away()
        else:
            super().keyPressEvent(event)

    def _build_place(self) -> None:
        words = self._desk.words
        self._altitude = NumberField(
            words, "kit.altitude", unit="m", hint="kit.altitude_hint", decimals=0
        )
        self._carries = ChoiceField(
            words,
            "kit.carries",
            [(words(f"kit.carries_{carries.value}"), carries) for carries in ScaleCarries],
        )
        fields = {"altitude": self._altitude, "carries": self._carries}
        self._place_form = Form(words, fields, {"kitchen.": "altitude"})
        self._keep = QPushButton(words("kit.keep_place"))
        self._keep.clicked.connect(self._keep_place)

    def _build_side(self) -> None:
        words = self._desk.words
        self._stack = QStackedWidget()
        nothing = QLabel(words("kit.nothing_open"))
        nothing.setWordWrap(True)
        nothing.setProperty("role", "quiet")
        nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._stack.addWidget(nothing)
        self._save = QPushButton(words("kit.save"))
        self._save.setProperty("role", "main")
        self._save.clicked.connect(self._save_edited)
        self._cancel = QPushButton(words("kit.cancel"))
        self._cancel.clicked.connect(self._put_away)
        self._side = Panel()
        self._spots = {
            "zero": CautionSpot(self._desk, Place.ZERO),
            "water": CautionSpot(self._desk, Place.WATER),
        }
        for spot in self._spots.values():
            spot.changed.connect(self.changed)
            self._side.add(spot)
        self._side.add(self._stack, 1)
        row = QHBoxLayout()
        row.addWidget(self._save)
        row.addWidget(self._cancel)
        row.addStretch(1)
        self._side.add(row)
        self._save.hide()
        self._cancel.hide()

    def _lay_out(self) -> None:
        words = self._desk.words
        title = QLabel(words("kit.title"))
        title.setProperty("role", "heading")
        inside = QWidget()
        left = QVBoxLayout(inside)
        left.setContentsMargins(0, 0, GROUPS, 0)
        left.setSpacing(GROUPS)
        in_use = Panel(words("kit.in_use"))
        for kind, choice in self._choices.items():
            in_use.add(self._row_of(kind, choice))
        left.addWidget(in_use)
        left.addWidget(self._zero_panel())
        place = Panel(words("kit.place"))
        place.add(self._place_form)
        keep = QHBoxLayout()
        keep.addWidget(self._keep)
        keep.addStretch(1)
        place.add(keep)
        left.addWidget(place)
        left.addStretch(1)
        area = scrolled(inside)
        columns = QHBoxLayout()
        columns.setSpacing(GROUPS)
        columns.addWidget(area, 1)
        columns.addWidget(self._side, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(title)
        whole.addWidget(self._notice)
        whole.addLayout(columns, 1)

    def _row_of(self, kind: str, choice: ChoiceField) -> QHBoxLayout:
        words = self._desk.words
        choice.edited.connect(partial(self._use, kind))
        row = QHBoxLayout()
        row.setSpacing(INSIDE)
        row.addWidget(choice, 1)
        for verb, does in (("change", self._change), ("add", self._add)):
            button = QPushButton(words(f"kit.{verb}"))
            button.setAccessibleName(f"{words(f'kit.{verb}')} {words(f'kit.{kind}')}")
            button.clicked.connect(partial(does, kind))
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignBottom)
        return row

    def _zero_panel(self) -> Panel:
        words = self._desk.words
        panel = Panel(words("kit.zero"))
        self._zero_said = QLabel()
        self._zero_said.setWordWrap(True)
        take = QPushButton(words("kit.take_zero"))
        take.clicked.connect(self._open_zero)
        panel.add(self._zero_said)
        row = QHBoxLayout()
        row.addWidget(take)
        row.addStretch(1)
        panel.add(row)
        return panel

    def _show_zero(self) -> None:
        if self._kit is None:
            return
        words = self._desk.words
        zeros = zeros_of(self._desk.store, self._kit.grinder.id)
        lines = [
            words(
                "kit.zero_line",
                day=zero.found_on,
                reason=words(f"kit.zero_{zero.reason.value}"),
                found=words(f"kit.found_{zero.found.value}"),
            )
            for zero in reversed(zeros)
        ]
        self._zero_said.setText("\n".join(lines))

    def _use(self, kind: str) -> None:
        thing = self._chosen(kind)
        if thing is not None:
            self._say(put_to_use(self._desk.store, thing, clock=self._desk.clock).touched)

    def _chosen(self, kind: str) -> Thing | None:
        chosen = self._choices[kind].value()
        things = list_kit(self._desk.store, KINDS[kind])  # type: ignore[type-var]
        return next((thing for thing in things if thing.id == chosen), None)

    def _form(self, kind: str) -> ThingForm:
        form: object = self._forms[kind]
        return form  # type: ignore[return-value]  # each is one, which Qt's classes hide

    def _change(self, kind: str) -> None:
        thing = self._chosen(kind)
        self._open(kind, thing, "kit.change_title" if thing else "kit.add_title")

    def _add(self, kind: str) -> None:
        self._open(kind, None, "kit.add_title")

    def _open(self, kind: str, thing: Thing | None, title: str) -> None:
        self._edited = (kind, thing.id if thing else None)
        self._form(kind).clear_errors()
        self._form(kind).show_thing(thing)
        self._show_side(kind, title, self._desk.words(f"kit.{kind}").lower())
        self._forms[kind].setFocus()

    def _open_zero(self) -> None:
        if self._kit is None:
            return
        self._edited = ("zero", self._kit.grinder.id)
        self._zero.show_grinder(self._kit.grinder)
        self._show_side("zero", "kit.zero_title", self._kit.grinder.name)
        self._zero.setFocus()

    def _show_side(self, name: str, title: str, of: str) -> None:
        self._side.show_title(self._desk.words(title, of=of))
        if name not in self._scrolls:
            self._scrolls[name] = scrolled(self._zero if name == "zero" else self._forms[name])
            self._stack.addWidget(self._scrolls[name])
        self._stack.setCurrentWidget(self._scrolls[name])
        self._show_spot(name)
        self._save.show()
        self._cancel.show()

    def _show_spot(self, name: str) -> None:
        for place, spot in self._spots.items():
            if place == name:
                spot.look()
            else:
                spot.show_told(None)

    def _put_away(self) -> None:
        self._edited = None
        self._show_spot("")
        self._side.show_title("")
        self._stack.setCurrentIndex(0)
        self._save.hide()
        self._cancel.hide()
        self._choices["grinder"].setFocus()

    def _save_edited(self) -> None:
        if self._edited is None:
            return
        kind, record_id = self._edited
        if kind == "zero":
            self._save_zero()
            return
        try:
            thing = self._form(kind).thing(record_id or uuid4())
            touched = self._keep_thing(kind, thing, is_new=record_id is None)
        except CoreError as error:
            self._form(kind).say(error)
            return
        self._put_away()
        self._say(touched)

    def _keep_thing(self, kind: str, thing: Thing, *, is_new: bool) -> Touched:
        store, clock, words = self._desk.store, self._desk.clock, self._desk.words
        if is_new:
            add_thing(store, thing, clock=clock)
            touched = put_to_use(store, thing, clock=clock).touched
            self._notice.say(words("kit.added", name=thing.name))
        else:
            self._undone = self._chosen(kind)
            touched = change_thing(store, thing, clock=clock).touched
            self._notice.say(words("kit.changed", name=thing.name), undo=True)
        return touched

    def _save_zero(self) -> None:
        if self._kit is None:
            return
        try:
            done = take_zero(
                self._desk.store,
                self._kit.grinder.id,
                reading_text=self._zero.reading_text(),
                found=self._zero.found(),
                reason=self._zero.reason(),
                note=self._zero.note(),
                clock=self._desk.clock,
            )
        except CoreError as error:
            self._zero.say(error)
            return
        self._put_away()
        self._notice.say(self._desk.words("kit.zero_taken"))
        self._say(done.touched)

    def _keep_place(self) -> None:
        if self._kit is None:
            return
        try:
            kitchen = replace(
                self._kit.kitchen,
                altitude_m=self._altitude.value() or 0.0,
                scale_carries=ScaleCarries(str(self._carries.value())),
            )
            done = change_thing(self._desk.store, kitchen, clock=self._desk.clock)
        except CoreError as error:
            self._place_form.say(error)
            return
        self._notice.say(self._desk.words("kit.place_kept"))
        self._say(done.touched)

    def _undo(self) -> None:
        if self._undone is not None:
            done = change_thing(self._desk.store, self._undone, clock=self._desk.clock)
            self._undone = None
            self._say(done.touched)

    def _say(self, touched: Touched) -> None:
        self.changed.emit(touched)
