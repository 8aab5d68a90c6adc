"""A choice among the coffees there are, by name."""

from uuid import UUID

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QComboBox


class CoffeeChoice(QComboBox):
    """Shows coffees, and says which one a person chose; showing never counts as choosing."""

    chosen = Signal(object)  # coffee id

    def __init__(self, name: str) -> None:
        super().__init__()
        self._coffees: list[tuple[UUID, str]] = []
        self.setAccessibleName(name)
        self.currentIndexChanged.connect(self._say)

    def show_coffees(self, coffees: list[tuple[UUID, str]], shown: UUID | None) -> None:
        """Show the coffees there are, and which of them is shown."""
        with QSignalBlocker(self):
            if coffees != self._coffees:
                self._coffees = coffees
                self.clear()
                for coffee_id, name in coffees:
                    self.addItem(name, coffee_id)
                self.setVisible(bool(coffees))
            ids = [coffee_id for coffee_id, _ in coffees]
            if shown in ids:
                self.setCurrentIndex(ids.index(shown))

    def _say(self, index: int) -> None:
        self.chosen.emit(self.itemData(index))
