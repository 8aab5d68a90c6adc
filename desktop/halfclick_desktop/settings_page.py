"""Settings: who you are, how it looks, what drained means, and where the journal lies."""

from functools import partial
from pathlib import Path

from PySide6.QtCore import QUrl, Signal
from PySide6.QtGui import QDesktopServices, QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.kit import DrainedRule
from halfclick.service.done import Touched
from halfclick.service.kitchens import kit_in_use
from halfclick.service.settings import copies, copy_now, rename_person, say_drained, who
from halfclick_desktop.cautions_panel import CautionsPanel
from halfclick_desktop.desk import Desk
from halfclick_desktop.look import GROUPS, THOUGHTS, Theme
from halfclick_desktop.widgets.field import ChoiceField, TextField
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.panel import Panel, scrolled

COLUMN_PX = 640
COPIES_SHOWN = 5


class SettingsPage(QWidget):
    """Every choice is kept at once, except the name, which is kept by Return."""

    changed = Signal(Touched)
    theme_asked = Signal(str)
    rules_asked = Signal()
    take_out_asked = Signal()
    bring_in_asked = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        words = desk.words
        self._name = TextField(words, "settings.person", hint="settings.person_hint")
        self._device = QLabel()
        self._device.setProperty("role", "quiet")
        self._theme = ChoiceField(
            words, "settings.theme", [(words(f"theme.{t.value}"), t) for t in Theme]
        )
        self._theme.edited.connect(self._theme_chosen)
        self._drained = ChoiceField(
            words,
            "kit.drained",
            [(words(f"kit.drained_{rule.value}"), rule) for rule in DrainedRule],
            hint="kit.drained_hint",
        )
        self._drained.edited.connect(self._drained_chosen)
        self._place = QLabel()
        self._place.setWordWrap(True)
        self._copies = QLabel()
        self._copies.setWordWrap(True)
        self._copies.setProperty("role", "quiet")
        self._notice = Notice(words)
        self._name_kept = QPushButton(words("settings.keep_name"))
        self._name_kept.clicked.connect(self._keep_name)
        self._folder = QPushButton(words("settings.open_folder"))
        self._folder.clicked.connect(self._open_folder)
        self._copy = QPushButton(words("settings.copy_now"))
        self._copy.clicked.connect(self._copy_asked)
        self._rules_says = QLabel(words("settings.rules_says"))
        self._rules_says.setWordWrap(True)
        self._rules = QPushButton(words("settings.open_rules"))
        self._rules.clicked.connect(self.rules_asked)
        self._cautions = CautionsPanel(desk)
        self._cautions.changed.connect(self.changed)
        self._exchange = QLabel(words("settings.in_and_out_told"))
        self._exchange.setWordWrap(True)
        self._take_out = QPushButton(words("settings.take_out"))
        self._take_out.clicked.connect(self.take_out_asked)
        self._bring_in = QPushButton(words("settings.bring_in"))
        self._bring_in.clicked.connect(self.bring_in_asked)
        self._lay_out()
        self.setFocusProxy(self._name)

    def _lay_out(self) -> None:
        words = self._desk.words
        title = QLabel(words("settings.title"))
        title.setProperty("role", "heading")
        inside = QWidget()
        inside.setMaximumWidth(COLUMN_PX)
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GROUPS)
        parts: tuple[tuple[str, tuple[QWidget, ...], tuple[QPushButton, ...]], ...] = (
            ("settings.you", (self._name, self._device), (self._name_kept,)),
            ("settings.look", (self._theme,), ()),
            ("settings.brewing", (self._drained,), ()),
            ("settings.rules", (self._rules_says,), (self._rules,)),
            ("settings.journal", (self._place, self._copies), (self._folder, self._copy)),
            ("settings.in_and_out", (self._exchange,), (self._take_out, self._bring_in)),
        )
        for code, shown, buttons in parts:
            panel = Panel(words(code))
            for widget in shown:
                panel.add(widget)
            row = QHBoxLayout()
            for button in buttons:
                row.addWidget(button)
            row.addStretch(1)
            panel.add(row)
            column.addWidget(panel)
        column.addWidget(self._cautions)
        column.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(title)
        whole.addWidget(self._notice)
        whole.addWidget(scrolled(inside), 1)

    def reload(self, touched: Touched) -> None:
        """Read the choices again where they may have changed."""
        if not touched & (Touched.SETTINGS | Touched.KIT):
            return
        self._cautions.reload(touched)
        words = self._desk.words
        person, device = who(self._desk.store)
        self._name.show_text(person.name)
        self._device.setText(words("settings.device", name=device.name))
        kit = kit_in_use(self._desk.store)
        self._drained.setEnabled(kit is not None)
        if kit is not None:
            self._drained.show_value(kit.kitchen.drained_rule)
        self._place.setText(words("settings.place", path=str(self._desk.store.path)))
        self._show_copies()

    def show_theme(self, theme: Theme) -> None:
        """Show which theme is in use."""
        self._theme.show_value(theme)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event) and self._name.control.hasFocus():
            self._keep_name()
        else:
            super().keyPressEvent(event)

    def _show_copies(self) -> None:
        words = self._desk.words
        found = copies(self._desk.store)
        lines = [words("settings.copies", count=len(found))] if found else []
        lines += [path.name for path in found[:COPIES_SHOWN]]
        self._copies.setText("\n".join(lines) if lines else words("settings.no_copies"))

    def _keep_name(self) -> None:
        try:
            done = rename_person(self._desk.store, self._name.text(), clock=self._desk.clock)
        except CoreError as error:
            self._name.show_error(self._desk.words.sentence(error))
            return
        self._notice.say(self._desk.words("settings.name_kept"))
        self.changed.emit(done.touched)

    def _theme_chosen(self) -> None:
        self.theme_asked.emit(Theme(str(self._theme.value())).value)

    def _drained_chosen(self) -> None:
        rule = DrainedRule(str(self._drained.value()))
        done = say_drained(self._desk.store, rule, clock=self._desk.clock)
        self._notice.say(self._desk.words("settings.drained_kept"))
        self.changed.emit(done.touched)

    def _open_folder(self) -> None:
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(self._desk.store.path.parent)))

    def _copy_asked(self) -> None:
        self._copy.setEnabled(False)
        self._notice.say(self._desk.words("settings.copying"))
        job = self._desk.jobs.run(partial(copy_now, self._desk.store, clock=self._desk.clock))
        job.done.connect(self._copied)
        job.failed.connect(self._not_copied)

    def _copied(self, path: Path) -> None:
        self._copy.setEnabled(True)
        self._notice.say(self._desk.words("settings.copied", path=str(path)))
        self._show_copies()

    def _not_copied(self, error: CoreError) -> None:
        self._copy.setEnabled(True)
        self._notice.say(self._desk.words.sentence(error))
