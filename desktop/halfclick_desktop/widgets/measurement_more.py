"""What is seldom known of a measured strength, behind one key: nothing of it is ever needed."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from halfclick.model.tasting import Tasting
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.field import NumberField


class MeasurementMore(QWidget):
    """A button that opens three fields; there only where a strength is told."""

    edited = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._told = False
        self.button = QPushButton()
        self.button.clicked.connect(self._turn)
        self.uncertainty = NumberField(
            words,
            "measurement.uncertainty",
            unit="%",
            hint="measurement.uncertainty_hint",
            scale=100.0,
            decimals=3,
        )
        self.sample = NumberField(
            words, "measurement.sample", unit="°C", hint="measurement.sample_hint"
        )
        self.moisture = NumberField(
            words, "measurement.moisture", unit="%", hint="measurement.moisture_hint", scale=100.0
        )
        self._fields = (self.uncertainty, self.sample, self.moisture)
        self._told_line = QLabel()
        self._told_line.setWordWrap(True)
        self._body = QWidget()
        self._lay_out()
        for field in self._fields:
            field.edited.connect(self.edited)
        self._show_open(False)
        self.show_told(False)

    def _lay_out(self) -> None:
        row = QHBoxLayout(self._body)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GROUPS)
        for field in self._fields:
            row.addWidget(field, 1, Qt.AlignmentFlag.AlignTop)
        keys = QHBoxLayout()
        keys.addWidget(self.button)
        keys.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(INSIDE)
        column.addWidget(self._told_line)
        column.addLayout(keys)
        column.addWidget(self._body)

    def show_told(self, told: bool) -> None:
        """Be there where a strength is told, and count for nothing where none is."""
        self._told = told
        self.setVisible(told)

    def show_sentences(self, text: str) -> None:
        """Say what the strength comes to, and what to mind about it."""
        self._told_line.setText(text)
        self._told_line.setVisible(bool(text))

    def show_kept(self, kept: Tasting | None) -> None:
        """Show what was kept, open where anything was; no edit."""
        values = (kept.strength_sd, kept.sample_c, kept.dose_moisture) if kept else (None,) * 3
        for field, value in zip(self._fields, values, strict=True):
            field.show_value(value)
        self._show_open(any(value is not None for value in values))

    def values(self) -> dict[str, float | None]:
        """Return what is typed by the names of a tasting; nothing where no strength is told.

        Raises:
            BadInput: a field holds no number.
        """
        if not self._told:
            return {}
        return {
            "strength_sd": self.uncertainty.value(),
            "sample_c": self.sample.value(),
            "dose_moisture": self.moisture.value(),
        }

    def _turn(self) -> None:
        self._show_open(self._body.isHidden())

    def _show_open(self, is_open: bool) -> None:
        self._body.setVisible(is_open)
        self.button.setText(self._words("measurement.less" if is_open else "measurement.more"))
