"""Rows of a list that break their lines, each as high as its lines need."""

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

MARGINS_PX = 16  # what a row keeps free of text at both sides; Qt's own reckoning forgets it


class WrappedRows(QStyledItemDelegate):
    """Reckons a row's height from the width that its text really has."""

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        narrower = QStyleOptionViewItem(option)
        narrower.rect = option.rect.adjusted(0, 0, -MARGINS_PX, 0)
        return super().sizeHint(narrower, index)
