"""The rule book: every law and rule, searched as you type, switched off, and written by oneself."""

from functools import partial
from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.service.done import Touched
from halfclick.service.rule_book import (
    RuleView,
    add_own_rule,
    as_entry,
    built_in,
    change_own_rule,
    is_found,
    own_rule_text,
    read_own,
    remove_own_rule,
    restore_own_rule,
    rule_book,
    switch_rule,
)
from halfclick.taste.diagnosis import LAWS
from halfclick.taste.own_text import OwnRuleEntry
from halfclick.taste.rules import Rule
from halfclick.units import Units
from halfclick_desktop.desk import Desk
from halfclick_desktop.in_turns import InTurns
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.field import TextField
from halfclick_desktop.widgets.flow import Flow
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.own_rule_form import OwnRuleForm
from halfclick_desktop.widgets.panel import scrolled
from halfclick_desktop.widgets.rule_panel import RulePanel, capital, rule_texts, rule_title
from halfclick_desktop.widgets.rule_table import RuleTable

READ_PX = 360  # for a rule's text beside the list, at least
WORDED_AT_ONCE = 20  # rules, for the search, in a turn of the event loop


class RulesPage(QWidget):
    """Lists the rules on the left, the chosen one on the right; one key for each thing to do."""

    changed = Signal(Touched)
    left = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._views: dict[str, RuleView] = {}
        self._names: list[str] = []  # of the laws and the rules, in their order
        self._said: dict[str, str] = {}  # everything said of a rule, for the search
        self._titles: dict[tuple[str, Units], tuple[Rule, str]] = {}
        self._wording = InTurns(self)
        self._editing: UUID | None = None
        self._undoes: tuple[str, object] = ("", None)
        words = desk.words
        self._search = TextField(words, "rules_page.search", hint="rules_page.search_hint")
        self._search.edited.connect(self._find)
        self._count = QLabel()
        self._count.setProperty("role", "quiet")
        self._table = RuleTable(words)
        self._table.chosen.connect(self._show_chosen)
        self._panel = RulePanel(words)
        self._form = OwnRuleForm(words)
        self._form.kept.connect(self._keep)
        self._form.left.connect(self._leave_form)
        self._form.turned.connect(self._turn)
        self._notice = Notice(words)
        self._notice.undo_asked.connect(self._undo)
        self._buttons: dict[str, QPushButton] = {}
        for name, does in (
            ("switch", self._switch),
            ("new", self._new),
            ("edit", self._edit),
            ("remove", self._remove),
            ("find", self._search.setFocus),
            ("back", self.left.emit),
        ):
            code = "switch_off" if name == "switch" else name
            button = QPushButton(words(f"rules_page.{code}"))
            button.clicked.connect(does)
            self._buttons[name] = button
        self._lay_out()
        self.setFocusProxy(self._search)
        # Before the page is opened, so that it does not wait for all of them at once.
        self._wording.do(*(partial(self._title, rule) for rule in built_in()))

    def _lay_out(self) -> None:
        words = self._desk.words
        title = QLabel(words("rules_page.title"))
        title.setProperty("role", "heading")
        lead = QLabel(words("rules_page.lead"))
        lead.setProperty("role", "quiet")
        lead.setWordWrap(True)
        left_side = QWidget()
        left = QVBoxLayout(left_side)
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(INSIDE)
        left.addWidget(self._search)
        left.addWidget(self._count)
        left.addWidget(self._table, 1)
        self._read = scrolled(self._panel)
        self._write = scrolled(self._form)
        self._write.hide()
        for area in (self._read, self._write):
            area.keep_wide(READ_PX)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, GROUPS)
        whole.setSpacing(GROUPS)
        whole.addWidget(title)
        whole.addWidget(lead)
        whole.addWidget(self._notice)
        whole.addWidget(Columns((left_side, 6), (self._read, 5), (self._write, 5)), 1)
        whole.addLayout(Flow(*self._buttons.values()))

    def reload(self, touched: Touched) -> None:
        """Read the book again where it may have changed."""
        if not touched & Touched.SETTINGS:
            return
        views = rule_book(self._desk.store)
        self._views = {view.name: view for view in views}
        self._names = [*LAWS, *self._views]
        self._said = {}
        self._find()
        starts = range(0, len(self._names), WORDED_AT_ONCE)
        self._wording.do(*(partial(self._word_some, start) for start in starts))

    def show_rule(self, name: str) -> None:
        """Choose a rule or a law by its name; the search is emptied so that it is there."""
        self._leave_form()
        self._search.show_text("")
        self._find()
        if name in self._table.names():
            self._table.choose(name)
        self._show_chosen()
        self._table.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        keys = {"n": "new", "e": "edit", "f": "find"}
        name = keys.get(event.text().lower())
        if event.key() == Qt.Key.Key_Escape:
            self._escaped()
        elif event.key() == Qt.Key.Key_Delete:
            self._buttons["remove"].click()
        elif self._search.line.hasFocus() and (is_return(event) or event.key() == Qt.Key.Key_Down):
            self._table.setFocus()
        elif is_return(event):
            press_main(self, self._buttons["switch"])
        elif name is not None:
            self._buttons[name].click()
        else:
            super().keyPressEvent(event)

    def _escaped(self) -> None:
        if self._write.isHidden():
            self.left.emit()
        else:
            self._leave_form()

    def _find(self) -> None:
        """Show the rules that have every word sought, the laws first."""
        words, keep = self._desk.words, self._table.name()
        sought = self._search.text()
        found = [name for name in self._names if not sought or is_found(self._all_of(name), sought)]
        self._table.show_rows([(name, self._cells(name)) for name in found], keep)
        count = words("rules_page.shown", count=len(found)) if found else words("rules_page.none")
        self._count.setText(count)
        self._show_chosen()

    def _word_some(self, start: int) -> None:
        """Word some of the rules before they are sought."""
        for name in self._names[start : start + WORDED_AT_ONCE]:
            self._all_of(name)

    def _all_of(self, name: str) -> str:
        """Return everything said of a rule or a law."""
        if name not in self._said:
            words, view = self._desk.words, self._views.get(name)
            if view is None:
                said = [words(f"law.{name}"), words(f"why.{name}")]
            else:
                texts = rule_texts(words, view.rule).values() if view.rule else ()
                said = [self._title_of(view), *texts]
            self._said[name] = " ".join(said)
        return self._said[name]

    def _cells(self, name: str) -> tuple[str, ...]:
        words = self._desk.words
        view = self._views.get(name)
        if view is None:
            return (words("rules_page.law"), capital(words(f"law.{name}")), "")
        state = "on" if view.is_on else "off"
        if view.own is not None:
            state = f"own_{state}" if view.rule is not None else "unread"
        evidence = words(f"evidence.{view.rule.evidence.value}") if view.rule else ""
        return (words(f"rules_page.{state}"), self._title_of(view), evidence)

    def _title_of(self, view: RuleView) -> str:
        """Return a rule in one line; its name where its text cannot be read."""
        return self._title(view.rule) if view.rule is not None else view.name

    def _title(self, rule: Rule) -> str:
        """Return a rule in one line, worded once in the units a person reads."""
        words = self._desk.words
        kept = self._titles.get((rule.id, words.units))
        if kept is None or kept[0] is not rule:
            kept = self._titles[rule.id, words.units] = rule, rule_title(words, rule)
        return kept[1]

    def _show_chosen(self) -> None:
        words, name = self._desk.words, self._table.name()
        view = self._views.get(name)
        self._panel.setVisible(bool(name))
        if view is not None:
            self._panel.show_rule(view)
        elif name:
            self._panel.show_law(name)
        code = "switch_off" if view is None or view.is_on else "switch_on"
        self._buttons["switch"].setText(words(f"rules_page.{code}"))
        self._buttons["switch"].setEnabled(view is not None)
        is_own = view is not None and view.own is not None
        for button in ("edit", "remove"):
            self._buttons[button].setEnabled(is_own)

    def _chosen(self) -> RuleView | None:
        return self._views.get(self._table.name())

    def _switch(self) -> None:
        view = self._chosen()
        if view is not None:
            self._switch_to(view.name, on=not view.is_on)

    def _switch_to(self, name: str, *, on: bool) -> None:
        title = self._title_of(self._views[name])
        done = switch_rule(self._desk.store, name, on=on, clock=self._desk.clock)
        self._undoes = ("off" if on else "on", name)
        self._tell(done.touched)
        self._notice.say(
            self._desk.words(f"rules_page.was_{'on' if on else 'off'}", rule=title), undo=True
        )

    def _remove(self) -> None:
        view = self._chosen()
        if view is None or view.own is None:
            return
        title = self._title_of(view)
        done = remove_own_rule(self._desk.store, view.own.id, clock=self._desk.clock)
        self._undoes = ("removed", view.own.id)
        self._tell(done.touched)
        self._notice.say(self._desk.words("rules_page.removed", rule=title), undo=True)

    def _undo(self) -> None:
        what, of = self._undoes
        self._undoes = ("", None)
        if what in {"on", "off"} and str(of) in self._views:
            self._switch_to(str(of), on=what == "on")
        elif what == "removed" and isinstance(of, UUID):
            try:
                done = restore_own_rule(self._desk.store, of, clock=self._desk.clock)
            except CoreError as error:
                self._notice.say(self._desk.words.sentence(error))
                return
            self._tell(done.touched)

    def _new(self) -> None:
        self._editing = None
        self._open_form()
        self._form.show_entry(OwnRuleEntry(), is_new=True)

    def _edit(self) -> None:
        view = self._chosen()
        if view is None or view.own is None:
            return
        self._editing = view.own.id
        self._open_form()
        entry = as_entry(view.rule) if view.rule is not None else None
        if entry is not None:
            self._form.show_entry(entry, is_new=False)
        else:
            self._form.show_text(view.own.text, too_small=True)

    def _turn(self, text: bool) -> None:
        """Turn the form to text and back; what cannot be turned is said."""
        try:
            if text:
                self._form.show_text(self._typed())
            else:
                entry = as_entry(read_own(self._form.text()))
                if entry is None:
                    self._form.show_error(self._desk.words("own_rule.form_is_small"))
                else:
                    self._form.show_entry(entry, is_new=self._editing is None)
        except CoreError as error:
            self._form.show_error(self._desk.words.sentence(error))

    def _typed(self) -> str:
        """Return the rule's text, as it is typed or as the fields make it.

        Raises:
            BadInput: the fields are no rule.
        """
        if self._form.is_text():
            return self._form.text()
        names = [name for name, view in self._views.items() if view.own and self._is_edited(view)]
        return own_rule_text(self._desk.store, self._form.entry(), name="".join(names))

    def _is_edited(self, view: RuleView) -> bool:
        return view.own is not None and view.own.id == self._editing

    def _keep(self) -> None:
        store, clock = self._desk.store, self._desk.clock
        try:
            text = self._typed()
            if self._editing is None:
                done = add_own_rule(store, text, clock=clock)
            else:
                done = change_own_rule(store, self._editing, text, clock=clock)
        except CoreError as error:
            self._form.show_error(self._desk.words.sentence(error))
            return
        self._tell(done.touched)
        self.show_rule(done.value.name)
        said = self._desk.words("rules_page.kept", rule=self._panel.heading())
        self._notice.say(said)

    def _open_form(self) -> None:
        self._read.hide()
        self._write.show()
        for button in self._buttons.values():
            button.setEnabled(False)

    def _leave_form(self) -> None:
        if self._write.isHidden():
            return
        self._editing = None
        self._write.hide()
        self._read.show()
        for button in self._buttons.values():
            button.setEnabled(True)
        self._show_chosen()
        self._table.setFocus()

    def _tell(self, touched: Touched) -> None:
        self.reload(touched)
        self.changed.emit(touched)
