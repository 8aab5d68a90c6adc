"""An advice as a person reads it: the one change first, then why, what to expect, what else."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QLineEdit, QPushButton

from halfclick.model.advice import LEARNER, Advice, Outcome, RunnerUp
from halfclick.model.changes import told
from halfclick.model.recipe import Recipe
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.mark import ChangeMark, MarkKind
from halfclick_desktop.widgets.panel import Panel
from halfclick_desktop.widgets.recipe_words import lever_text, recipe_levers


class AdvicePanel(Panel):
    """Shows an advice and, once it may be answered, takes the answer."""

    accepted = Signal()
    rule_asked = Signal(str)  # which rule the advice rests on
    refused = Signal(str)  # the person's reason, maybe empty

    def __init__(self, words: Wording, *, with_headline: bool = True) -> None:
        super().__init__(words("advice_panel.title" if with_headline else "advice_panel.reasons"))
        self._with_headline = with_headline
        self._words = words
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._mark = ChangeMark(words, MarkKind.CHANGED, 28)
        self._headline = _label("number")
        self._was = _label("changed")
        self._held = _label("quiet")
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(GROUPS)
        self._grid.setVerticalSpacing(INSIDE)
        self._grid.setColumnStretch(1, 1)
        self._texts: dict[str, tuple[QLabel, QLabel]] = {}
        for row, name in enumerate(
            (
                "why",
                "for",
                "against",
                "contested",
                "evidence",
                "rule",
                "expect",
                "mind",
                "runner",
                "cup",
            )
        ):
            title = _label("label")
            title.setText(words(f"advice_panel.{name}"))
            title.setAlignment(Qt.AlignmentFlag.AlignTop)
            text = _label("body")
            text.setAlignment(Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(title, row, 0)
            self._grid.addWidget(text, row, 1)
            self._texts[name] = (title, text)
        # Beside a page's own main action, accepting is a key of its own.
        self._accept = QPushButton(
            words("advice_panel.accept" if with_headline else "advice_panel.accept_later")
        )
        if with_headline:
            self._accept.setProperty("role", "main")
        self._accept.clicked.connect(self.accepted)
        self._refuse = QPushButton(words("advice_panel.refuse"))
        self._refuse.clicked.connect(self.ask_reason)
        self._rule = ""
        self._which = QPushButton(words("advice_panel.which"))
        self._which.clicked.connect(self.ask_rule)
        self._which.hide()
        self._reason = QLineEdit()
        self._reason.setPlaceholderText(words("advice_panel.reason"))
        self._reason.setAccessibleName(words("advice_panel.reason"))
        self._reason.hide()
        self._lay_out()
        self.show_answerable(False)

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.setSpacing(INSIDE)
        top.addWidget(self._mark)
        top.addWidget(self._headline, 1)
        buttons = QHBoxLayout()
        buttons.setSpacing(INSIDE)
        buttons.addWidget(self._accept)
        buttons.addWidget(self._refuse)
        buttons.addWidget(self._which)
        buttons.addStretch(1)
        self.body.addLayout(top)
        for widget in (self._mark, self._headline, self._was, self._held):
            widget.setVisible(self._with_headline)
        self.body.addWidget(self._was)
        self.body.addWidget(self._held)
        self.body.addSpacing(INSIDE)
        if not self._with_headline:
            # Beside the change itself only the reasons stand here, and they may be long: the
            # answer is in sight before them.
            self.body.addLayout(buttons)
            self.body.addWidget(self._reason)
        self.body.addLayout(self._grid)
        if self._with_headline:
            self.body.addSpacing(INSIDE)
            self.body.addLayout(buttons)
            self.body.addWidget(self._reason)
        self.body.addStretch(1)

    def show_advice(self, advice: Advice | None, before: Recipe | None) -> None:
        """Show an advice that starts from a recipe; without one, what is wanted first."""
        words = self._words
        if advice is None or before is None:
            self._headline.setText(words("advice_panel.none"))
            self._headline.show()
            self._mark.hide()
            self._was.setText("")
            self._held.setText("")
            self._show_texts({})
            self._rule = ""
            self._which.hide()
            return
        self._show_change(advice, before)
        # A person's own cups are no rule of the book.
        self._rule = "" if advice.rule == LEARNER else advice.rule
        self._which.setVisible(bool(self._rule))
        evidence = words(f"evidence.{advice.evidence.value}")
        expect = words.sentences(advice.expect)
        if advice.changes:
            expect = f"{expect} {words(f'noticed.{advice.noticed.value}')}"
        self._show_texts(
            {
                "why": words.sentences(advice.why),
                "for": words.sentences(advice.spoke_for),
                "against": words.sentences(advice.spoke_against),
                "contested": words.sentence(advice.contested) if advice.contested else "",
                "evidence": ""
                if advice.outcome is Outcome.NOTHING
                else " · ".join([evidence, *advice.sources]),
                "rule": self._rule_text(advice),
                "expect": expect,
                "mind": words.sentence(advice.mind_changer) if advice.mind_changer else "",
                "runner": self._runner_text(advice.runner_up),
                "cup": words.sentences(advice.this_cup),
            }
        )

    def _rule_text(self, advice: Advice) -> str:
        if advice.title is None:
            return _capital(self._words(f"law.{advice.rule}"))
        title = _capital(self._words.sentence(advice.title))
        return self._words("advice_panel.own_rule", rule=title) if advice.own_rule else title

    def _runner_text(self, second: RunnerUp | None) -> str:
        words = self._words
        if second is None:
            return ""
        change = ", ".join(words.sentence(told(one)) for one in second.changes)
        if second.act is not None:
            change = words(f"act.{second.act.value}")
        evidence = words(f"evidence.{second.evidence.value}")
        return words("advice_panel.runner_up", change=change, evidence=evidence)

    def _show_change(self, advice: Advice, before: Recipe) -> None:
        words = self._words
        levers = [change.lever for change in advice.changes]
        self._mark.setVisible(self._with_headline or not levers)
        self._headline.setVisible(self._with_headline or not levers)
        if levers:
            after = ", ".join(lever_text(words, lever, advice.recipe) for lever in levers)
            was = ", ".join(lever_text(words, lever, before) for lever in levers)
            moved = ", ".join(words.sentence(told(change)) for change in advice.changes)
            self._headline.setText(after)
            self._was.setText(words("advice_panel.was", was=was, moved=moved))
        else:
            code = f"act.{advice.act.value}" if advice.act else f"outcome.{advice.outcome.value}"
            self._headline.setText(_capital(words(code)))
            self._was.setText("")
        self._was.setVisible(bool(levers) and self._with_headline)
        kind = MarkKind.CHANGED if levers or advice.act else MarkKind.HELD
        if advice.outcome in {Outcome.HOLD, Outcome.CONFIRM}:
            kind = MarkKind.KEPT
        self._mark.show_kind(kind)
        if advice.outcome is Outcome.NOTHING:
            self._held.setText("")
            return
        held = [lever for lever in recipe_levers(before) if lever not in levers]
        held_text = ", ".join(lever_text(words, lever, before) for lever in held)
        self._held.setText(words("advice_panel.held", levers=held_text))

    def ask_rule(self) -> None:
        """Ask which rule this advice rests on."""
        if self._rule:
            self.rule_asked.emit(self._rule)

    def show_answerable(self, answerable: bool) -> None:
        """Offer to accept or refuse, or not yet."""
        self._accept.setVisible(answerable)
        self._refuse.setVisible(answerable)
        self._reason.hide()
        self._reason.clear()

    def text_of(self, name: str) -> str:
        """Return what one part of the panel says; empty where it is not shown."""
        title, text = self._texts[name]
        return "" if title.isHidden() else text.text()

    def headline(self) -> str:
        """Return the change, or what to do, as it is shown."""
        return self._headline.text()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if self._accept.isHidden():
            super().keyPressEvent(event)
        elif is_return(event) and self._reason.hasFocus():
            self.refused.emit(self._reason.text().strip())
        elif is_return(event) and (self._with_headline or self._accept.hasFocus()):
            self.accepted.emit()
        elif event.text().lower() == "n" and not self._reason.hasFocus():
            self.ask_reason()
        else:
            super().keyPressEvent(event)

    def ask_reason(self) -> None:
        """Ask why not; asked again, take what is typed."""
        if self._reason.isHidden():
            self._reason.show()
            self._reason.setFocus()
        else:
            self.refused.emit(self._reason.text().strip())

    def _show_texts(self, texts: dict[str, str]) -> None:
        for name, (title, text) in self._texts.items():
            said = texts.get(name, "")
            title.setVisible(bool(said))
            text.setVisible(bool(said))
            text.setText(said)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _label(role: str) -> QLabel:
    label = styled(role)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label
