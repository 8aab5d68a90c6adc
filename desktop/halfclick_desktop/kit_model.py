"""The way from the kit to how good the model is, which stands nowhere on the rail."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton

from halfclick.wording import Wording
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel


class ModelPanel(Panel):
    """Says what the page on the model shows, and asks for it."""

    asked = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__(words("model_check.open_title"))
        self.add(styled("body", words("model_check.open_says")))
        self.key = QPushButton(words("model_check.open"))
        self.key.clicked.connect(self.asked)
        row = QHBoxLayout()
        row.addWidget(self.key)
        row.addStretch(1)
        self.add(row)
