"""The kit: what is in the kitchen, added and changed; and what is measured of it."""

from collections.abc import Callable
from functools import partial
from typing import Any
from uuid import UUID, uuid4

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.grinder import Grinder
from halfclick.model.kit import Dripper, Kettle, Paper, Server, Water
from halfclick.service.coffees import coffees_brewed
from halfclick.service.done import Done, Touched
from halfclick.service.kettle_readings import bury_reading, unbury_reading
from halfclick.service.kitchens import (
    KitView,
    add_thing,
    change_thing,
    kit_in_use,
    list_kit,
    put_to_use,
)
from halfclick.service.preheating import keep_preheating
from halfclick.service.sievings import bury_sieving, unbury_sieving
from halfclick.wording import Wording
from halfclick_desktop.desk import Desk
from halfclick_desktop.kit_measured import KettlePanel, PaperPanel, SievingPanel
from halfclick_desktop.kit_model import ModelPanel
from halfclick_desktop.kit_place import PlacePanel
from halfclick_desktop.kit_side import KitSide
from halfclick_desktop.kit_zero import ZeroPanel
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.dripper_form import DripperForm
from halfclick_desktop.widgets.field import ChoiceField
from halfclick_desktop.widgets.hands_on import HandsOn
from halfclick_desktop.widgets.kettle_form import KettleForm, WaitForm
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.kit_forms import (
    GrinderThingForm,
    PaperForm,
    ServerForm,
    Thing,
    ThingForm,
    WaterForm,
)
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.panel import Panel, scrolled, stacked
from halfclick_desktop.widgets.paper_timing_form import PaperTimingForm
from halfclick_desktop.widgets.sieving_form import SievingForm
from halfclick_desktop.widgets.zero_form import ZeroForm

KINDS: dict[str, type[Thing]] = {
    "grinder": Grinder,
    "dripper": Dripper,
    "paper": Paper,
    "kettle": Kettle,
    "water": Water,
    "server": Server,
}
FORMS: dict[str, Callable[[Wording], QWidget]] = {
    "grinder": GrinderThingForm,
    "dripper": DripperForm,
    "paper": PaperForm,
    "kettle": KettleForm,
    "water": WaterForm,
    "server": ServerForm,
    "zero": ZeroForm,
    "wait": WaitForm,
    "sieving": SievingForm,
    "paper_timing": PaperTimingForm,
}
SAID_KEPT = {
    "zero": "kit.zero_taken",
    "wait": "kit_waits.kept",
    "sieving": "kit_sievings.kept",
    "paper_timing": "paper_timing.kept",
}
# A recipe goes along to these, where there is one.
BEGUN_ELSEWHERE = frozenset({"grinder", "dripper"})
# What takes a fact away and brings it back.
Burying = Callable[..., Done[UUID]]

LEFT_PX = 400  # so that the names of things can be read beside their keys


class KitPage(HandsOn):
    """Shows what is in use; a form at the right adds or changes one thing at a time."""

    changed = Signal(Touched)
    taught_asked = Signal()
    convert_asked = Signal()
    page_asked = Signal(str)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._kit: KitView | None = None
        self._edited: tuple[str, UUID | None] | None = None
        self._take_back: Callable[[], Done[Any]] | None = None
        words = desk.words
        self._choices = {kind: ChoiceField(words, f"kit.{kind}") for kind in KINDS}
        self._side = KitSide(desk, {name: partial(form, words) for name, form in FORMS.items()})
        self._forms = self._side.forms
        self._place = PlacePanel(words)
        self._zeros = ZeroPanel(desk)
        self._waits = KettlePanel(desk)
        self._sievings = SievingPanel(desk)
        self._timings = PaperPanel(desk)
        # Each keeps what its own form holds.
        self._measured: dict[str, Any] = {
            "zero": self._zeros,
            "wait": self._waits,
            "sieving": self._sievings,
            "paper_timing": self._timings,
        }
        self._model = ModelPanel(words)
        self._notice = Notice(words)
        self._connect()
        self._lay_out()
        self.begin_at(self._choices["grinder"])

    def _connect(self) -> None:
        self._notice.undo_asked.connect(self._undo)
        self._side.changed.connect(self.changed)
        self._side.save_asked.connect(self._save_edited)
        self._side.left.connect(self._put_away)
        self._place.keep_asked.connect(self._keep_place)
        self._model.asked.connect(partial(self.page_asked.emit, "model_check"))
        self._zeros.add_asked.connect(self._open_zero)
        self._waits.add_asked.connect(self._open_wait)
        self._waits.removed.connect(
            partial(self._remove, bury_reading, unbury_reading, "kit_waits.removed")
        )
        self._sievings.add_asked.connect(self._open_sieving)
        self._sievings.removed.connect(
            partial(self._remove, bury_sieving, unbury_sieving, "kit_sievings.removed")
        )

        self._timings.add_asked.connect(self._open_timing)
        self._timings.removed.connect(self._remove_timing)

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
        self._place.show_kitchen(self._kit.kitchen, preheats=self._kit.preheats)
        self._zeros.show_kit(self._kit)
        self._waits.show_kit(self._kit)
        self._sievings.show_kit(self._kit)
        self._timings.show_kit(self._kit)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event) and self._edited is not None:
            press_main(self, self._side.save)
        elif is_return(event) and self._place.has_keys(self.focusWidget()):
            self._keep_place()
        elif event.key() == Qt.Key.Key_Escape and self._edited is not None:
            self._put_away()
        else:
            super().keyPressEvent(event)

    def _lay_out(self) -> None:
        words = self._desk.words
        in_use = Panel(words("kit.in_use"))
        for kind, choice in self._choices.items():
            in_use.add(self._row_of(kind, choice))
        measured = (self._zeros, self._waits, self._timings, self._sievings)
        inside = stacked(in_use, *measured, self._place, self._model)
        inside.setContentsMargins(0, 0, GROUPS, 0)
        left = scrolled(inside)
        left.keep_wide(LEFT_PX)
        columns = QHBoxLayout()
        columns.setSpacing(GROUPS)
        columns.addWidget(left, 1)
        columns.addWidget(self._side, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addLayout(self._head())
        whole.addWidget(self._notice)
        whole.addLayout(columns, 1)

    def _head(self) -> QHBoxLayout:
        words = self._desk.words
        taught = QPushButton(words("kit.taught"))
        taught.setShortcut("Ctrl+T")
        taught.clicked.connect(self.taught_asked)
        elsewhere = QPushButton(words("kit.convert"))
        elsewhere.setShortcut("Ctrl+B")
        elsewhere.clicked.connect(self.convert_asked)
        row = QHBoxLayout()
        row.addWidget(styled("heading", words("kit.title"), wrap=False))
        row.addStretch(1)
        row.addWidget(taught)
        row.addWidget(elsewhere)
        return row

    def open_measuring(self, form: str) -> None:
        """Open the form of a measurement: of the kettle, of the paper, or a sieving."""
        {
            "wait": self._open_wait,
            "sieving": self._open_sieving,
            "paper_timing": self._open_timing,
        }[form]()

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
        words = self._desk.words
        self._side.open(kind, words(title, of=words(f"kit.{kind}").lower()))

    def _open_zero(self) -> None:
        if self._kit is None:
            return
        self._edited = ("zero", None)
        self._zero.show_grinder(self._kit.grinder)
        self._side.open("zero", self._desk.words("kit.zero_title", of=self._kit.grinder.name))

    def _open_wait(self) -> None:
        if self._kit is None or self._kit.kettle is None:
            return
        self._edited = ("wait", None)
        self._wait.show_new(self._kit.kitchen.room_c)
        self._side.open("wait", self._desk.words("kit_waits.form", of=self._kit.kettle.name))

    def _open_sieving(self) -> None:
        if self._kit is None:
            return
        self._edited = ("sieving", None)
        self._sievings.begin(self._kit, self._sieving)
        self._side.open("sieving", self._desk.words("kit_sievings.form", of=self._kit.grinder.name))

    def _open_timing(self) -> None:
        if self._kit is None or self._kit.paper is None:
            return
        self._edited = ("paper_timing", None)
        self._timing.show_new()
        title = self._desk.words("paper_timing.form", of=self._kit.paper.name)
        self._side.open("paper_timing", title)

    @property
    def _timing(self) -> PaperTimingForm:
        return self._forms["paper_timing"]  # type: ignore[return-value]

    @property
    def _zero(self) -> ZeroForm:
        return self._forms["zero"]  # type: ignore[return-value]

    @property
    def _wait(self) -> WaitForm:
        return self._forms["wait"]  # type: ignore[return-value]

    @property
    def _sieving(self) -> SievingForm:
        return self._forms["sieving"]  # type: ignore[return-value]

    def _put_away(self) -> None:
        self._edited = None
        self._side.put_away()
        self._choices["grinder"].setFocus()

    def _save_edited(self) -> None:
        if self._edited is None or self._kit is None:
            return
        kind, record_id = self._edited
        if kind in self._measured:
            if self._measured[kind].save(self._kit, self._forms[kind]):
                self._saved(SAID_KEPT[kind])
        else:
            self._save_thing(kind, record_id)

    def _saved(self, code: str) -> None:
        self._put_away()
        self._notice.say(self._desk.words(code))
        self._say(Touched.KIT)

    def _save_thing(self, kind: str, record_id: UUID | None) -> None:
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
            code = "kit.added_begin" if self._can_begin(kind) else "kit.added"
            self._notice.say(words(code, name=thing.name))
            return touched
        before = self._chosen(kind)
        touched = change_thing(store, thing, clock=clock).touched
        if before is not None:
            self._take_back = partial(change_thing, store, before, clock=clock)
        self._notice.say(words("kit.changed", name=thing.name), undo=before is not None)
        return touched

    def _can_begin(self, kind: str) -> bool:
        """Return whether there is a recipe that could go along to a new thing of a kind."""
        return kind in BEGUN_ELSEWHERE and bool(coffees_brewed(self._desk.store))

    def _keep_place(self) -> None:
        if self._kit is None:
            return
        try:
            kitchen = self._place.kitchen(self._kit.kitchen)
            touched = change_thing(self._desk.store, kitchen, clock=self._desk.clock).touched
            warm = self._place.preheats.value()
            if warm is not self._kit.preheats:
                touched |= keep_preheating(self._desk.store, warm, clock=self._desk.clock).touched
        except CoreError as error:
            self._place.say(error)
            return
        self._notice.say(self._desk.words("kit.place_kept"))
        self._say(touched)

    def _remove(self, bury: Burying, unbury: Burying, said: str, record_id: UUID) -> None:
        store, clock = self._desk.store, self._desk.clock
        try:
            done = bury(store, record_id, clock=clock)
        except CoreError as error:
            self._notice.say(self._desk.words.sentence(error))
            return
        self._take_back = partial(unbury, store, record_id, clock=clock)
        self._notice.say(self._desk.words(said), undo=True)
        self._say(done.touched)

    def _remove_timing(self, paper_id: UUID) -> None:
        self._take_back = self._timings.taken_away(paper_id)
        self._notice.say(self._desk.words("paper_timing.removed"), undo=True)
        self._say(Touched.KIT)

    def _undo(self) -> None:
        if self._take_back is not None:
            done = self._take_back()
            self._take_back = None
            self._say(done.touched)

    def _say(self, touched: Touched) -> None:
        self.changed.emit(touched)
