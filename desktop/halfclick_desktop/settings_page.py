"""Settings: who you are, what you read, how it looks, how you brew, and where the journal lies."""

from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import QUrl, Signal
from PySide6.QtGui import QDesktopServices, QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.kit import DrainedRule
from halfclick.service.advise import allow_two_changes, two_changes_allowed
from halfclick.service.copies import copies, copies_kept, copy_now, keep_copies, tidy_copies
from halfclick.service.done import Done, Touched
from halfclick.service.kitchens import kit_in_use
from halfclick.service.settings import (
    choose_units,
    rename_device,
    rename_person,
    say_drained,
    who,
)
from halfclick.units import TemperatureUnit, Units, WeightUnit
from halfclick.wording import languages
from halfclick_desktop.cautions_panel import CautionsPanel
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, THOUGHTS, Theme
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.field import ChoiceField, TextField, YesNoField
from halfclick_desktop.widgets.journal_panel import CopiesPanel, JournalPanel
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.panel import Panel, stacked

WIDTH_PX = 1240


class SettingsPage(QWidget):
    """Every choice is kept at once, except the names, which are kept by Return."""

    changed = Signal(Touched)
    theme_asked = Signal(str)
    language_asked = Signal(str)
    units_chosen = Signal(object)  # Units
    page_asked = Signal(str)
    take_out_asked = Signal()
    bring_in_asked = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        words = desk.words
        self._name = TextField(words, "settings.person", hint="settings.person_hint")
        self._device = TextField(words, "settings.device", hint="settings.device_hint")
        self._keep = QPushButton(words("settings.keep_names"))
        self._language = ChoiceField(
            words,
            "settings.language",
            [(name, code) for code, name in languages()],
            hint="settings.language_hint",
        )
        self._temperature = ChoiceField(
            words,
            "settings.temperature",
            [(words(f"settings.unit_{unit.value}"), unit) for unit in TemperatureUnit],
        )
        self._weight = ChoiceField(
            words,
            "settings.weight",
            [(words(f"settings.unit_{unit.value}"), unit) for unit in WeightUnit],
            hint="settings.units_hint",
        )
        self._theme = ChoiceField(
            words, "settings.theme", [(words(f"theme.{t.value}"), t) for t in Theme]
        )
        self._drained = ChoiceField(
            words,
            "kit.drained",
            [(words(f"kit.drained_{rule.value}"), rule) for rule in DrainedRule],
            hint="kit.drained_hint",
        )
        self._two = YesNoField(words, "settings.two_changes", hint="settings.two_changes_hint")
        self._journal = JournalPanel(words)
        self._copies = CopiesPanel(words)
        self._notice = Notice(words)
        self._cautions = CautionsPanel(desk)
        self._cautions.changed.connect(self.changed)
        self._exchange = QLabel(words("settings.in_and_out_told"))
        self._exchange.setWordWrap(True)
        self._take_out = QPushButton(words("settings.take_out"))
        self._take_out.clicked.connect(self.take_out_asked)
        self._bring_in = QPushButton(words("settings.bring_in"))
        self._bring_in.clicked.connect(self.bring_in_asked)
        self._lay_out()
        self._connect()
        self.setFocusProxy(self._name)

    def _lay_out(self) -> None:
        words = self._desk.words
        title = QLabel(words("settings.title"))
        title.setProperty("role", "heading")
        left = (
            _panel(words("settings.you"), self._name, self._device, _row(self._keep)),
            _panel(words("settings.reading"), self._language, self._temperature, self._weight),
            _panel(words("settings.look"), self._theme),
            self._cautions,
        )
        right = [_panel(words("settings.brewing"), self._drained, self._two)]
        right += [self._journal, self._copies, self._exchange_panel(), self._rules_panel()]
        inside = Columns((stacked(*left), 1), (stacked(*right), 1), as_one=True)
        inside.setMaximumWidth(WIDTH_PX)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(title)
        whole.addWidget(self._notice)
        whole.addWidget(inside, 1)

    def _exchange_panel(self) -> Panel:
        title = self._desk.words("settings.in_and_out")
        return _panel(title, self._exchange, _row(self._take_out, self._bring_in))

    def _rules_panel(self) -> Panel:
        """Return the way to the rules, which stand nowhere on the rail."""
        words = self._desk.words
        says = QLabel(words("settings.rules_says"))
        says.setWordWrap(True)
        self._rules = QPushButton(words("settings.open_rules"))
        self._rules.clicked.connect(partial(self.page_asked.emit, "rules"))
        return _panel(words("settings.rules"), says, _row(self._rules))

    def _connect(self) -> None:
        self._keep.clicked.connect(self._keep_names)
        self._language.edited.connect(self._language_chosen)
        self._temperature.edited.connect(self._units_were_chosen)
        self._weight.edited.connect(self._units_were_chosen)
        self._theme.edited.connect(self._theme_chosen)
        self._drained.edited.connect(self._drained_chosen)
        self._two.edited.connect(self._two_chosen)
        self._journal.folder_asked.connect(self._open_folder)
        self._copies.copy_asked.connect(self._copy_asked)
        self._copies.kept_edited.connect(self._kept_chosen)

    def reload(self, touched: Touched) -> None:
        """Read the choices again where they may have changed."""
        if not touched & (Touched.SETTINGS | Touched.KIT):
            return
        self._cautions.reload(touched)
        store = self._desk.store
        person, device = who(store)
        self._name.show_text(person.name)
        self._device.show_text(device.name)
        units = self._desk.words.units
        self._temperature.show_value(units.temperature)
        self._weight.show_value(units.weight)
        kit = kit_in_use(store)
        self._drained.setEnabled(kit is not None)
        if kit is not None:
            self._drained.show_value(kit.kitchen.drained_rule)
        with store.reading() as r:
            self._two.show_value(two_changes_allowed(r))
        self._journal.show_place(store.path)
        self._show_copies()

    def show_theme(self, theme: Theme) -> None:
        """Show which theme is in use."""
        self._theme.show_value(theme)

    def show_language(self, code: str) -> None:
        """Show which language is spoken from the next start on."""
        if code in dict(languages()):
            self._language.show_value(code)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        typing = self._name.control.hasFocus() or self._device.control.hasFocus()
        if is_return(event) and typing:
            self._keep_names()
        else:
            super().keyPressEvent(event)

    def _show_copies(self) -> None:
        store = self._desk.store
        self._copies.show_copies(copies(store), copies_kept(store))

    def _keep_names(self) -> None:
        store, clock = self._desk.store, self._desk.clock
        touched = Touched.NOTHING
        for field, rename in ((self._name, rename_person), (self._device, rename_device)):
            try:
                touched |= rename(store, field.text(), clock=clock).touched
            except CoreError as error:
                field.show_error(self._desk.words.sentence(error))
                field.control.setFocus()
                return
        self._notice.say(self._desk.words("settings.names_kept"))
        self.changed.emit(touched)

    def _language_chosen(self) -> None:
        self.language_asked.emit(str(self._language.value()))
        self._notice.say(self._desk.words("settings.language_kept"))

    def _units_were_chosen(self) -> None:
        units = Units(
            temperature=TemperatureUnit(str(self._temperature.value())),
            weight=WeightUnit(str(self._weight.value())),
        )
        try:
            done = choose_units(self._desk.store, units, clock=self._desk.clock)
        except CoreError as error:
            self._notice.say(self._desk.words.sentence(error))
            return
        self._notice.say(self._desk.words("settings.units_kept"))
        self.units_chosen.emit(done.value)

    def _theme_chosen(self) -> None:
        self.theme_asked.emit(Theme(str(self._theme.value())).value)

    def _drained_chosen(self) -> None:
        rule = DrainedRule(str(self._drained.value()))
        self._kept("settings.drained_kept", partial(say_drained, self._desk.store, rule))

    def _two_chosen(self) -> None:
        allowed = self._two.value()
        code = "settings.two_changes_yes" if allowed else "settings.two_changes_no"
        self._kept(code, partial(allow_two_changes, self._desk.store, allowed))

    def _kept_chosen(self, count: int) -> None:
        if self._kept("copies.count_kept", partial(keep_copies, self._desk.store, count)):
            job = self._desk.jobs.run(partial(tidy_copies, self._desk.store))
            job.done.connect(self._tidied)
            job.failed.connect(self._not_copied)

    def _kept(self, code: str, verb: partial[Done[Any]]) -> bool:
        """Do a verb and say so; return whether it was done."""
        try:
            done = verb(clock=self._desk.clock)
        except CoreError as error:
            self._notice.say(self._desk.words.sentence(error))
            self.reload(Touched.SETTINGS)
            return False
        self._notice.say(self._desk.words(code))
        self.changed.emit(done.touched)
        return True

    def _open_folder(self) -> None:
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(self._desk.store.path.parent)))

    def _copy_asked(self) -> None:
        self._copies.setEnabled(False)
        self._notice.say(self._desk.words("settings.copying"))
        job = self._desk.jobs.run(partial(_copied, self._desk))
        job.done.connect(self._copied)
        job.failed.connect(self._not_copied)

    def _copied(self, path: Path) -> None:
        self._copies.setEnabled(True)
        self._notice.say(self._desk.words("settings.copied", path=str(path)))
        self._show_copies()

    def _tidied(self, removed: tuple[Path, ...]) -> None:
        if removed:
            self._notice.say(self._desk.words("copies.removed", count=len(removed)))
        self._show_copies()

    def _not_copied(self, error: CoreError) -> None:
        self._copies.setEnabled(True)
        self._notice.say(self._desk.words.sentence(error))
        self._show_copies()


def _copied(desk: Desk) -> Path:
    """Make a copy, then let go of old ones; runs off the main thread."""
    path = copy_now(desk.store, clock=desk.clock)
    tidy_copies(desk.store)
    return path


def _panel(title: str, *content: QWidget | QHBoxLayout) -> Panel:
    panel = Panel(title)
    panel.body.setSpacing(GROUPS)
    for one in content:
        panel.add(one)
    return panel


def _row(*buttons: QPushButton) -> QHBoxLayout:
    row = QHBoxLayout()
    for button in buttons:
        row.addWidget(button)
    row.addStretch(1)
    return row
