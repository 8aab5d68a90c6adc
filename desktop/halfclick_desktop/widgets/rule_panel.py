"""One rule as a person reads it: what it is about, its one change, and what stands behind it."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel

from halfclick.service.rule_book import RuleView
from halfclick.taste.reasons import because, contested_by
from halfclick.taste.rule_words import also_of, causes_of, conditions_of, does, title_of
from halfclick.taste.rules import Rule
from halfclick.wording import Message, Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel

ROWS = (
    "about",
    "also",
    "does",
    "how",
    "why",
    "causes",
    "evidence",
    "sources",
    "contested",
    "note",
    "exception",
    "fault",
    "text",
)


class RulePanel(Panel):
    """Shows one rule or one law; nothing can be edited in it."""

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._heading = _label("heading")
        self._state = _label("quiet")
        self.add(self._heading)
        self.add(self._state)
        self.body.addSpacing(INSIDE)
        grid = QGridLayout()
        grid.setHorizontalSpacing(GROUPS)
        grid.setVerticalSpacing(INSIDE)
        grid.setColumnStretch(1, 1)
        self._texts: dict[str, tuple[QLabel, QLabel]] = {}
        for row, name in enumerate(ROWS):
            title, text = _label("label"), _label("body")
            title.setText(words(f"rule_panel.{name}"))
            title.setWordWrap(False)
            grid.addWidget(title, row, 0)
            grid.addWidget(text, row, 1)
            self._texts[name] = (title, text)
        self.body.addLayout(grid)
        self.body.addStretch(1)

    def show_rule(self, view: RuleView) -> None:
        """Show a rule of the book."""
        words = self._words
        state = words("rules_page.own_says" if view.own else "rules_page.built_in")
        if not view.is_on:
            state = f"{state} {words('rules_page.off_says')}"
        rule = view.rule
        self._show(rule_title(words, rule) if rule is not None else view.name, state)
        if view.rule is not None:
            self._show_texts(rule_texts(words, view.rule))
        if view.own is not None:
            self._show_texts({"text": view.own.text.strip()}, more=view.rule is not None)
        if view.fault is not None:
            text = view.own.text if view.own else ""
            self._show_texts({"fault": words.sentence(view.fault), "text": text.strip()})

    def show_law(self, law: str) -> None:
        """Show a law."""
        words = self._words
        self._show(capital(words(f"law.{law}")), words("rules_page.law_says"))
        self._show_texts({"why": words(f"why.{law}")})

    def text_of(self, name: str) -> str:
        """Return what one part says; empty where it is not shown."""
        title, text = self._texts[name]
        return "" if title.isHidden() else text.text()

    def heading(self) -> str:
        """Return the rule in one line."""
        return self._heading.text()

    def state(self) -> str:
        """Return whose the rule is, and whether it is off."""
        return self._state.text()

    def _show(self, heading: str, state: str) -> None:
        self._heading.setText(heading)
        self._state.setText(state)
        self.setAccessibleName(heading)

    def _show_texts(self, texts: dict[str, str], *, more: bool = False) -> None:
        for name, (title, text) in self._texts.items():
            if more and name not in texts:
                continue
            said = texts.get(name, "")
            title.setVisible(bool(said))
            text.setVisible(bool(said))
            text.setText(said)


def rule_title(words: Wording, rule: Rule) -> str:
    """Return a rule in one line."""
    return capital(words.sentence(title_of(rule)))


def rule_texts(words: Wording, rule: Rule) -> dict[str, str]:
    """Return everything a rule says, by the part of the panel it stands in."""
    contested = contested_by(rule)
    about = conditions_of(rule) or (Message("rule.any_cup"),)
    return {
        "about": _listed(words, about),
        "also": _listed(words, also_of(rule)),
        "does": capital(words.sentence(does(rule))),
        "how": words(f"act.do_{rule.act.value}") if rule.act else "",
        "why": words.sentence(because(rule)),
        "causes": _listed(words, causes_of(rule)),
        "evidence": words(f"evidence.{rule.evidence.value}"),
        "sources": "\n".join(rule.sources),
        "contested": words.sentence(contested) if contested else "",
        "note": " ".join(words(f"note.{note.value}") for note in rule.notes),
        "exception": words(f"exception.{rule.exception.value}") if rule.exception else "",
    }


def capital(text: str) -> str:
    """Return a text with its first letter large."""
    return text[:1].upper() + text[1:]


def _listed(words: Wording, messages: tuple[Message, ...]) -> str:
    return capital(", ".join(words.sentence(one) for one in messages))


def _label(role: str) -> QLabel:
    label = styled(role)
    label.setAlignment(Qt.AlignmentFlag.AlignTop)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label
