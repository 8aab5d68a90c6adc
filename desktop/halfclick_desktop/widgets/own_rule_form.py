"""A rule of one's own: a small plain form, or its text where the form is too small."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFontDatabase, QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from halfclick.model.advice import Act
from halfclick.model.tasting import Complaint, Mark
from halfclick.taste.own_text import MOVES, OwnRuleEntry
from halfclick.taste.rules import ClockPlace, Felt, Move
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.field import ChoiceField, TextField
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.panel import Panel
from halfclick_desktop.widgets.rule_panel import capital

ACROSS = 3  # ticks in a row


class OwnRuleForm(Panel):
    """Takes a rule as fields or as text; Ctrl+Return keeps it, Escape leaves it."""

    kept = Signal()
    left = Signal()
    turned = Signal(bool)  # whether the text is wanted now

    def __init__(self, words: Wording) -> None:
        super().__init__(words("own_rule.title_new"))
        self._words = words
        self._ticks: dict[Mark | Complaint, QCheckBox] = {
            one: QCheckBox(words(f"{topic}.{one.value}"))
            for topic, kind in (("mark", Mark), ("heard", Complaint))
            for one in kind
        }
        anything = [(words("own_rule.any"), None)]
        self._clock = ChoiceField(
            words,
            "own_rule.clock",
            [*anything, *((words(f"rule.clock_{one.value}"), one) for one in ClockPlace)],
        )
        self._strength = ChoiceField(
            words,
            "own_rule.strength",
            [*anything, *((words(f"rule.felt_{one.value}"), one) for one in Felt)],
        )
        self._deed = ChoiceField(words, "own_rule.deed", _deeds(words))
        self._why = TextField(words, "own_rule.words", hint="own_rule.words_hint")
        self._text = QPlainTextEdit()
        self._text.setAccessibleName(words("own_rule.text"))
        self._text.setFont(QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont))
        self._text.setTabChangesFocus(True)
        self._error = _quiet("", "caution")
        self._turn = QPushButton()
        self._turn.clicked.connect(self._turn_asked)
        self._keep = QPushButton(words("own_rule.keep"))
        self._keep.setProperty("role", "main")
        self._keep.clicked.connect(self.kept)
        self._leave = QPushButton(words("own_rule.leave"))
        self._leave.clicked.connect(self.left)
        shortcut = QShortcut(QKeySequence("Ctrl+T"), self)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(self._turn.click)
        self._lay_out()

    def _lay_out(self) -> None:
        words = self._words
        form = QVBoxLayout()
        form.setContentsMargins(0, 0, 0, 0)
        form.setSpacing(INSIDE)
        form.addWidget(_quiet(words("own_rule.tastes"), "label"))
        ticks = QGridLayout()
        ticks.setVerticalSpacing(0)
        for number, box in enumerate(self._ticks.values()):
            # The marks in the first rows, the other words below them.
            place = number if number < len(Mark) else number - len(Mark) + 2 * ACROSS
            ticks.addWidget(box, place // ACROSS, place % ACROSS)
        form.addLayout(ticks)
        form.addWidget(_quiet(words("own_rule.tastes_hint"), "label"))
        pair = QHBoxLayout()
        pair.setSpacing(GROUPS)
        pair.addWidget(self._clock, 1)
        pair.addWidget(self._strength, 1)
        form.addLayout(pair)
        form.addWidget(self._deed)
        form.addWidget(self._why)
        form.addStretch(1)
        text = QVBoxLayout()
        text.setContentsMargins(0, 0, 0, 0)
        text.setSpacing(INSIDE)
        text.addWidget(_quiet(words("own_rule.text"), "label"))
        text.addWidget(self._text, 1)
        self._text_hint = _quiet(words("own_rule.text_hint"), "label")
        text.addWidget(self._text_hint)
        self._sides = QStackedWidget()
        for side in (form, text):
            holder = QWidget()
            holder.setLayout(side)
            self._sides.addWidget(holder)
        buttons = QHBoxLayout()
        buttons.setSpacing(INSIDE)
        for button in (self._keep, self._turn, self._leave):
            buttons.addWidget(button)
        buttons.addStretch(1)
        self.add(self._sides, 1)
        self.add(self._error)
        self.add(buttons)

    def show_entry(self, entry: OwnRuleEntry, *, is_new: bool) -> None:
        """Show a rule as fields; no edit."""
        title = "own_rule.title_new" if is_new else "own_rule.title_edit"
        self.show_title(self._words(title))
        for one, box in self._ticks.items():
            box.setChecked(one in entry.marks or one in entry.complaints)
        self._clock.show_value(entry.clock)
        self._strength.show_value(entry.strength)
        self._deed.show_value(entry.deed)
        self._why.show_text(entry.words)
        self._show_side(text=False)

    def show_text(self, text: str, *, too_small: bool = False) -> None:
        """Show a rule as text; `too_small` says that the form cannot hold it."""
        self._text.setPlainText(text)
        code = "own_rule.form_is_small" if too_small else "own_rule.text_hint"
        self._text_hint.setText(self._words(code))
        self._show_side(text=True)

    def show_error(self, sentence: str) -> None:
        """Show what is wrong; nothing where the sentence is empty."""
        self._error.setText(sentence)
        self._error.setVisible(bool(sentence))
        self._keep.setAccessibleDescription(sentence)

    def error(self) -> str:
        """Return what is said to be wrong."""
        return self._error.text()

    def is_text(self) -> bool:
        """Return whether the rule is shown as text."""
        return self._sides.currentIndex() == 1

    def text(self) -> str:
        """Return the text as it is typed."""
        return self._text.toPlainText()

    def entry(self) -> OwnRuleEntry:
        """Return what the fields hold."""
        ticked = [one for one, box in self._ticks.items() if box.isChecked()]
        clock, strength, deed = (
            field.value() for field in (self._clock, self._strength, self._deed)
        )
        return OwnRuleEntry(
            marks=frozenset(one for one in ticked if isinstance(one, Mark)),
            complaints=frozenset(one for one in ticked if isinstance(one, Complaint)),
            clock=clock if isinstance(clock, ClockPlace) else None,
            strength=strength if isinstance(strength, Felt) else None,
            deed=deed if isinstance(deed, Move | Act) else None,
            words=self._why.text(),
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        strong = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        elif is_return(event) and (strong or not self.is_text()):
            self._return_pressed(strong=strong)
        else:
            super().keyPressEvent(event)

    def _return_pressed(self, *, strong: bool) -> None:
        focused = self.focusWidget()
        if isinstance(focused, QPushButton) and not strong:
            focused.click()
        else:
            self.kept.emit()

    def _turn_asked(self) -> None:
        self.turned.emit(not self.is_text())

    def _show_side(self, *, text: bool) -> None:
        self._sides.setCurrentIndex(int(text))
        code = "own_rule.as_form" if text else "own_rule.as_text"
        self._turn.setText(self._words(code))
        self.show_error("")
        if text:
            self._text.setFocus()
        else:
            next(iter(self._ticks.values())).setFocus()


def _deeds(words: Wording) -> list[tuple[str, object]]:
    deeds: list[tuple[str, object]] = [(words("own_rule.choose"), None)]
    deeds += [(words(f"rule.{one.lever.value}_{one.way.value}"), one) for one in MOVES]
    deeds += [(words(f"act.{one.value}"), one) for one in Act]
    return [(capital(text), deed) for text, deed in deeds]


def _quiet(text: str, role: str) -> QLabel:
    label = QLabel(text)
    label.setProperty("role", role)
    label.setWordWrap(True)
    return label
