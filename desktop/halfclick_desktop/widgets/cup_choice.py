"""A choice among many cups, each worded only when it is looked at."""

from collections.abc import Sequence
from uuid import UUID

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QPersistentModelIndex,
    QSignalBlocker,
    Qt,
    Signal,
)
from PySide6.QtWidgets import QComboBox, QSizePolicy

from halfclick.service.cups import Place
from halfclick.wording import Wording
from halfclick_desktop.text import day

NOWHERE = QModelIndex()


class CupChoice(QComboBox):
    """Shows cups by coffee and number, and says which one a person chose."""

    chosen = Signal()  # showing never counts as choosing

    def __init__(self, words: Wording, name: str) -> None:
        super().__init__()
        self._cups = _Cups(words)
        self.setModel(self._cups)
        self.setAccessibleName(name)
        # A long name must not widen the window, and nobody waits for all to be measured.
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setSizeAdjustPolicy(self.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.currentIndexChanged.connect(self.chosen)

    def show_cups(self, cups: Sequence[tuple[str, Place]], brew_id: UUID) -> None:
        """Show the cups there are, each with its coffee's name, and which of them is shown."""
        with QSignalBlocker(self):
            self._cups.show_cups(cups)
            self.setCurrentIndex([place.brew_id for _, place in cups].index(brew_id))

    def brew_id(self) -> UUID | None:
        """Return the brew of the cup that is chosen."""
        return self._cups.brew_id(self.currentIndex())


class _Cups(QAbstractListModel):
    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._cups: tuple[tuple[str, Place], ...] = ()

    def show_cups(self, cups: Sequence[tuple[str, Place]]) -> None:
        if self._cups != tuple(cups):
            self.beginResetModel()
            self._cups = tuple(cups)
            self.endResetModel()

    def brew_id(self, row: int) -> UUID | None:
        return self._cups[row][1].brew_id if 0 <= row < len(self._cups) else None

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = NOWHERE) -> int:
        return 0 if parent.isValid() else len(self._cups)

    def data(
        self,
        index: QModelIndex | QPersistentModelIndex,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        if not index.isValid() or role != Qt.ItemDataRole.DisplayRole:
            return None
        name, place = self._cups[index.row()]
        brewed_on = day(self._words, place.started_at.astimezone().date())
        return self._words("compare_page.cup", number=place.number, name=name, date=brewed_on)
