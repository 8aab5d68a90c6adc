"""A form of fields: stacked, read as a whole, its errors shown beside the field they are of."""

from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from halfclick.errors import CoreError
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS
from halfclick_desktop.widgets.field import Field


class Form(QWidget):
    """Fields one under another.

    Args:
        words: the wording.
        fields: in reading order.
        blamed: error codes, or their beginnings, and the field each is shown beside; others
            are shown beside the first field.
    """

    edited = Signal()

    def __init__(
        self, words: Wording, fields: Mapping[str, Field], blamed: Mapping[str, str] | None = None
    ) -> None:
        super().__init__()
        self.words = words
        self.fields = dict(fields)
        self._blamed = dict(blamed or {})
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(GROUPS)
        for field in self.fields.values():
            self.column.addWidget(field)
            field.edited.connect(self._was_edited)
        self.column.addStretch(1)
        self.setFocusProxy(next(iter(self.fields.values())))

    def say(self, error: CoreError) -> None:
        """Show an error beside its field, and put the keys there."""
        names = [name for code, name in self._blamed.items() if error.code.startswith(code)]
        shown = [field for field in self.fields.values() if field.error()]
        field = self.fields[names[0]] if names else (shown or list(self.fields.values()))[0]
        field.show_error(self.words.sentence(error))
        field.control.setFocus()

    def clear_errors(self) -> None:
        """Take every error away."""
        for field in self.fields.values():
            field.show_error("")

    def _was_edited(self) -> None:
        self.edited.emit()
