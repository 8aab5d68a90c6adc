"""One word understood: what it stands for, or the one question that it raises."""

from collections.abc import Mapping
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout

from halfclick.model.tasting import Mark
from halfclick.taste.lexicon import Question, Target
from halfclick.taste.word_choices import WordRow
from halfclick.wording import Wording
from halfclick_desktop.look import INSIDE
from halfclick_desktop.widgets.key_row import KeyRow

TARGETS = tuple(Target)
ANSWER_KEYS = {"1": 0, "2": 1}


class MatchRow(KeyRow):
    """Space turns the word off and on, Left and Right change it, 1 and 2 answer its question."""

    turned = Signal(str)
    moved = Signal(str, object)
    answered = Signal(object, int)

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._row: WordRow | None = None
        self._text = QLabel()
        self._how = QLabel()
        self._how.setProperty("role", "label")
        self._how.setWordWrap(True)
        self._buttons = [QPushButton(), QPushButton()]
        self._line = line = QHBoxLayout()
        line.setSpacing(INSIDE)
        line.addWidget(self._text)
        for answer, button in enumerate(self._buttons):
            button.setCheckable(True)
            button.setProperty("role", "chip")
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            button.clicked.connect(partial(self._answer, answer))
            line.addWidget(button)
        line.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(INSIDE, 2, INSIDE, 2)
        column.setSpacing(2)
        column.addLayout(line)
        column.addWidget(self._how)

    def show_row(self, row: WordRow, marks: Mapping[Mark, object]) -> None:
        """Show a word, and whether a mark typed by hand stands before it."""
        self._row = row
        question = row.match.question if row.on else None
        if question is not None:
            self._show_question(row, question)
        else:
            self._text.setText(self._said(row, marks))
        # A long phrase breaks rather than pushes the page wider; a question keeps its answers near.
        self._text.setWordWrap(question is None)
        self._line.setStretch(0, 1 if question is None else 0)
        self._line.setStretch(self._line.count() - 1, 0 if question is None else 1)
        self._how.setVisible(question is not None)
        for button in self._buttons:
            button.setVisible(question is not None)
        self.setAccessibleName(self._text.text())
        keys = "word_row.question_keys" if question is not None else "word_row.keys"
        how = f"{self._how.text()} " if question is not None else ""
        self.setAccessibleDescription(how + self._words(keys))

    def text(self) -> str:
        """Return what is shown of the word."""
        return self._text.text()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, row = event.key(), self._row
        if row is None:
            super().keyPressEvent(event)
        elif key == Qt.Key.Key_Space:
            self.turned.emit(row.match.word)
        elif row.match.question is not None and row.on and event.text() in ANSWER_KEYS:
            self._answer(ANSWER_KEYS[event.text()])
            self.passed.emit()
        elif key in (Qt.Key.Key_Right, Qt.Key.Key_Left):
            self._move(1 if key == Qt.Key.Key_Right else -1)
        else:
            super().keyPressEvent(event)

    def _answer(self, answer: int) -> None:
        if self._row is not None and self._row.match.question is not None:
            self.answered.emit(self._row.match.question, answer)

    def _move(self, by: int) -> None:
        if self._row is None:
            return
        now = self._row.targets[:1]
        place = TARGETS.index(now[0]) if now else -1 if by > 0 else 0
        self.moved.emit(self._row.match.word, TARGETS[(place + by) % len(TARGETS)])

    def _show_question(self, row: WordRow, question: Question) -> None:
        words = self._words
        self._text.setText(words(f"word_row.ask_{question.value}", said=f"“{row.match.said}”"))
        self._how.setText(words(f"word_row.how_{question.value}"))
        for answer, button in enumerate(self._buttons):
            name = words(f"word_row.answer_{question.value}_{answer + 1}")
            button.setText(f"{name}  {answer + 1}")
            button.setChecked(row.answer == answer)
        if row.answer is not None:
            chosen = words(f"word_row.answer_{question.value}_{row.answer + 1}")
            self._text.setText(words("word_row.said", said=row.match.said, means=chosen))

    def _said(self, row: WordRow, marks: Mapping[Mark, object]) -> str:
        said = row.match.said
        if not row.on:
            return self._words("word_row.off", said=said)
        means = ", ".join(self._named(target, row.match.intensity) for target in row.targets)
        other = any(
            one.mark in marks and marks[one.mark] != row.match.intensity
            for one in row.targets
            if one.mark is not None
        )
        return self._words("word_row.own" if other else "word_row.said", said=said, means=means)

    def _named(self, target: Target, intensity: float) -> str:
        name = self._words(f"words.means.{target.value}")
        return f"{name} {intensity:.0f}" if target.mark is not None else name
