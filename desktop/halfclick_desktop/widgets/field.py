"""Fields of every form: a label, an input with its unit, and a line for what is wrong."""

import re
from collections.abc import Sequence
from datetime import date, datetime, timedelta

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from halfclick.errors import BadInput
from halfclick.units import Unit
from halfclick.wording import Message, Wording
from halfclick_desktop.look import INSIDE
from halfclick_desktop.text import typed
from halfclick_desktop.widgets.choice_box import ChoiceBox

_NUMBER = re.compile(r"-? ?((\d{1,12}|\d{1,3}( \d{3}){1,3})(\.\d*)?|\.\d+)", re.ASCII)

# Base units that a person may read in others, and the suffix their names end in.
SUFFIXES = {"g": "g", "g/s": "g_s", "°C": "c", "°C apart": "size_c"}

DATE_FORMATS = ("%Y-%m-%d", "%d.%m.%Y", "%d/%m/%Y", "%d %b %Y", "%d %B %Y")


class Field(QWidget):
    """A label over an input; subclasses say what is typed.

    Args:
        words: the wording.
        label: catalogue code of the label, or the message where it has values.
        unit: what stands after the input in quiet, e.g. "g".
        hint: catalogue code of a quiet sentence under the input.
    """

    edited = Signal()  # the person changed it; showing a value is no edit

    def __init__(
        self,
        words: Wording,
        label: str | Message,
        control: QWidget,
        *,
        unit: str = "",
        hint: str = "",
    ) -> None:
        super().__init__()
        self.words = words
        self.control = control
        self._label = QLabel(words(label) if isinstance(label, str) else words.sentence(label))
        self._label.setProperty("role", "label")
        self._label.setBuddy(control)
        self._unit = QLabel()
        self._unit.setProperty("role", "quiet")
        self.show_unit(unit)
        self._hint = QLabel(words(hint) if hint else "")
        self._hint.setProperty("role", "label")
        self._hint.setWordWrap(True)
        self._hint.setVisible(bool(hint))
        self._error = QLabel()
        self._error.setProperty("role", "caution")
        self._error.setWordWrap(True)
        self._error.hide()
        self.setFocusProxy(control)
        self._lay_out()

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(INSIDE)
        row.addWidget(self.control, 1)
        row.addWidget(self._unit)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(INSIDE // 2)
        column.addWidget(self._label)
        column.addLayout(row)
        column.addWidget(self._hint)
        column.addWidget(self._error)

    def show_unit(self, unit: str) -> None:
        """Show what stands after the input in quiet; nothing where it is empty."""
        self._unit.setText(unit)
        self._unit.setVisible(bool(unit))
        name = self._label.text()
        self.control.setAccessibleName(f"{name}, {unit}" if unit else name)

    def show_hint(self, sentence: str) -> None:
        """Show a quiet sentence under the input; none where it is empty."""
        self._hint.setText(sentence)
        self._hint.setVisible(bool(sentence))

    def show_error(self, sentence: str) -> None:
        """Show what is wrong with what was typed; nothing where the sentence is empty."""
        self._error.setText(sentence)
        self._error.setVisible(bool(sentence))
        self.control.setAccessibleDescription(sentence)
        self.control.setProperty("wrong", bool(sentence))
        self.control.style().unpolish(self.control)
        self.control.style().polish(self.control)

    def error(self) -> str:
        """Return what is said to be wrong; empty where nothing is."""
        return self._error.text() if not self._error.isHidden() else ""

    def _was_edited(self) -> None:
        if self.error():
            self.show_error("")
        self.edited.emit()


class _Line(Field):
    """A field with one typed line."""

    def __init__(
        self,
        words: Wording,
        label: str | Message,
        line: QLineEdit | None = None,
        *,
        unit: str = "",
        hint: str = "",
    ) -> None:
        self.line = line if line is not None else QLineEdit()
        super().__init__(words, label, self.line, unit=unit, hint=hint)
        self.line.textEdited.connect(self._was_edited)

    def text(self) -> str:
        """Return what is typed, without spaces around it."""
        return self.line.text().strip()

    def show_text(self, text: str) -> None:
        """Show a text; no edit."""
        with QSignalBlocker(self.line):
            self.line.setText(text)
        self.show_error("")


class TextField(_Line):
    """A line of words."""


class NumberField(_Line):
    """A number, typed with either decimal mark; empty where not known.

    Args:
        words: the wording.
        label: catalogue code of the label.
        unit: the base unit; "g", "g/s", "°C" and "°C apart", a difference, are shown and typed as
            the person reads them.
        hint: catalogue code of a quiet sentence.
        scale: printed = value x scale, e.g. 1000 for metres shown as millimetres; only for units
            that a person has no choice of.
        decimals: how many are shown; likewise.
    """

    def __init__(
        self,
        words: Wording,
        label: str | Message,
        *,
        unit: str = "",
        hint: str = "",
        scale: float = 1.0,
        decimals: int = 1,
    ) -> None:
        super().__init__(words, label, unit=unit, hint=hint)
        self._base = unit
        self._fixed = Unit(sign=unit, factor=scale, decimals=decimals)
        self._shown: tuple[str, float | None] = ("", None)
        self._example: float | None = None
        self._in = self._unit_now()
        self.show_unit(self._in.sign)

    def value(self) -> float | None:
        """Return the number typed, in the base unit; None where the field is empty.

        Raises:
            BadInput: it is no number; the sentence is shown beside the field too.
        """
        text = self.text()
        if not text:
            return None
        if text == self._shown[0]:
            return self._shown[1]  # as it was, not as it was rounded to be shown
        try:
            return self._in.base(parsed_number(text))
        except BadInput as error:
            self.show_error(self.words.sentence(error))
            raise

    def show_value(self, value: float | None) -> None:
        """Show a number given in the base unit; no edit."""
        self.show_text(self._text_of(value))
        self._shown = (self.text(), value)

    def show_example(self, value: float | None) -> None:
        """Show in quiet what stands where nothing is typed, given in the base unit."""
        self._example = value
        self.line.setPlaceholderText(self._text_of(value))

    def show_units(self) -> None:
        """Take the units a person reads now; what is typed keeps its meaning."""
        unit = self._unit_now()
        if unit == self._in:
            return
        try:
            value = self.value()
        except BadInput:
            value = None  # no number: it is left as typed
        self._in = unit
        self.show_unit(unit.sign)
        self.show_example(self._example)
        if value is not None:
            modified = self.line.isModified()
            self.show_value(value)
            self.line.setModified(modified)

    def _unit_now(self) -> Unit:
        return self.words.units.of(SUFFIXES.get(self._base, "")) or self._fixed

    def _text_of(self, value: float | None) -> str:
        return "" if value is None else typed(self._in.shown(value), self._in.decimals)


class DateField(_Line):
    """A day, typed; Up and Down move it by a day, and start from today where it is empty."""

    def __init__(self, words: Wording, label: str, *, today: date, hint: str = "") -> None:
        super().__init__(words, label, _DateLine(today), hint=hint)
        self.line.setPlaceholderText(words("field.date_pattern"))

    def value(self) -> date | None:
        """Return the day typed; None where the field is empty.

        Raises:
            BadInput: it is no day; the sentence is shown beside the field too.
        """
        text = self.text()
        if not text:
            return None
        try:
            return parsed_date(text)
        except BadInput as error:
            self.show_error(self.words.sentence(error))
            raise

    def show_value(self, value: date | None) -> None:
        """Show a day; no edit."""
        self.show_text("" if value is None else value.isoformat())


class _DateLine(QLineEdit):
    def __init__(self, today: date) -> None:
        super().__init__()
        self._today = today

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}
        if event.key() not in steps:
            super().keyPressEvent(event)
            return
        try:
            day = parsed_date(self.text()) + timedelta(days=steps[Qt.Key(event.key())])
        except BadInput:
            day = self._today
        self.setText(day.isoformat())
        self.textEdited.emit(self.text())


class ChoiceField(Field):
    """One of a few words; each choice is a printed text and the value it stands for."""

    def __init__(
        self,
        words: Wording,
        label: str,
        choices: Sequence[tuple[str, object]] = (),
        *,
        hint: str = "",
    ) -> None:
        self.combo = ChoiceBox()
        super().__init__(words, label, self.combo, hint=hint)
        self.show_choices(choices)
        self.combo.currentIndexChanged.connect(self._was_edited)

    def narrow_to(self, letters: int) -> None:
        """Let the field be as narrow as so many letters; the list that opens shows all of them."""
        self.combo.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.combo.setMinimumContentsLength(letters)

    def show_choices(self, choices: Sequence[tuple[str, object]]) -> None:
        """Offer other choices; the first is chosen, and that is no edit."""
        with QSignalBlocker(self.combo):
            self.combo.clear()
            # Kept here and not as item data, which would turn words and numbers into Qt's own.
            self._values = [value for _, value in choices]
            self.combo.addItems([text for text, _ in choices])

    def value(self) -> object:
        """Return the value chosen; None where there is nothing to choose from."""
        index = self.combo.currentIndex()
        return self._values[index] if index >= 0 else None

    def show_value(self, value: object) -> None:
        """Show a choice; no edit."""
        with QSignalBlocker(self.combo):
            self.combo.setCurrentIndex(self._values.index(value))
        self.show_error("")


class YesNoField(Field):
    """A yes or a no."""

    def __init__(self, words: Wording, label: str, *, hint: str = "") -> None:
        self.box = QCheckBox(words(label))
        super().__init__(words, label, self.box, hint=hint)
        self._label.hide()
        self.box.toggled.connect(self._was_edited)

    def value(self) -> bool:
        """Return whether it is ticked."""
        return self.box.isChecked()

    def show_value(self, value: bool) -> None:
        """Show a yes or a no; no edit."""
        with QSignalBlocker(self.box):
            self.box.setChecked(value)


def parsed_number(text: str) -> float:
    """Return the number a text names, with a point or a comma as its decimal mark.

    Spaces may part thousands and nothing else: 15 and 16 typed side by side are no 1516.

    Raises:
        BadInput: it is no number.
    """
    cleaned = re.sub(r"\s", " ", text.strip()).replace("\N{MINUS SIGN}", "-").replace(",", ".")
    if not _NUMBER.fullmatch(cleaned):
        raise BadInput("field.not_a_number", text=text.strip()[:20])
    return float(cleaned.replace(" ", ""))


def parsed_measure(words: Wording, suffix: str, text: str) -> float:
    """Return the number a text names in the unit a person reads, in the base unit.

    Raises:
        BadInput: it is no number.
    """
    unit = words.units.of(suffix)
    value = parsed_number(text)
    return value if unit is None else unit.base(value)


def parsed_date(text: str) -> date:
    """Return the day a text names: year first, or day first with the month after it.

    Raises:
        BadInput: it is no day.
    """
    for pattern in DATE_FORMATS:
        try:
            return datetime.strptime(text.strip(), pattern).date()  # a day has no zone
        except ValueError:
            continue
    raise BadInput("field.not_a_day", text=text.strip()[:20])
