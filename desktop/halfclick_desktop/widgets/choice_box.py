"""A choice that says by an ellipsis where its text is longer than the room it has."""

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QComboBox, QStyle, QStyleOptionComboBox, QStylePainter

ROUND_TEXT_PX = 8  # what the style keeps free beside the text


class ChoiceBox(QComboBox):
    """Qt's own cuts the text mid-letter; the whole of it is then in the tool tip."""

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QStylePainter(self)
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        option.currentText = self.shown_text()
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip:
            text = self.currentText()
            self.setToolTip(text if text != self.shown_text() else "")
        return super().event(event)

    def shown_text(self) -> str:
        """Return the text as there is room for it."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        field = self.style().subControlRect(
            QStyle.ComplexControl.CC_ComboBox,
            option,
            QStyle.SubControl.SC_ComboBoxEditField,
            self,
        )
        room_px = field.width() - ROUND_TEXT_PX
        metrics, whole = self.fontMetrics(), self.currentText()
        if metrics.horizontalAdvance(whole) <= field.width():
            return whole
        return metrics.elidedText(whole, Qt.TextElideMode.ElideRight, room_px)
