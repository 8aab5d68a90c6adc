"""The caffeine of a pot and of a share of it, as ranges, with the authority's figures."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from halfclick.errors import BadInput
from halfclick.model.caffeine import Beans
from halfclick.service.caffeine import CaffeineView
from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.field import ChoiceField, NumberField
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel


class CaffeinePanel(Panel):
    """Asks what the coffee is and how large a share is; says what that may hold.

    Args:
        words: the wording.
        above: what stands above the ranges, such as a caution.
    """

    edited = Signal()
    half_asked = Signal()
    returned = Signal()  # Return finished a share that was typed

    def __init__(self, words: Wording, above: QWidget | None = None) -> None:
        super().__init__(words("caffeine_panel.title"))
        self._words = words
        self._beans = ChoiceField(
            words,
            "caffeine_panel.beans",
            [(words(f"caffeine_panel.beans_{beans.value}"), beans) for beans in Beans],
        )
        self._beans.edited.connect(self.edited)
        self._share = NumberField(
            words, "caffeine_panel.share_field", unit="%", scale=100.0, decimals=0
        )
        self._share.line.returnPressed.connect(self._return_pressed)
        self._share.line.editingFinished.connect(self._share_typed)
        self._told = styled("body")
        self._basis = styled("label")
        self._basis.setText(words("caffeine_panel.basis"))
        self._figures = styled("quiet")
        self._half = QPushButton(words("caffeine_panel.take_half"))
        self._half.clicked.connect(self.half_asked)
        self._noted = styled("kept")
        fields = QHBoxLayout()
        fields.setSpacing(GROUPS)
        fields.addWidget(self._beans, 2)
        fields.addWidget(self._share, 1)
        keys = QHBoxLayout()
        keys.setSpacing(INSIDE)
        keys.addWidget(self._half)
        keys.addWidget(self._noted, 1)
        if above is not None:
            self.add(above)
        self.add(fields)
        for label in (self._told, self._basis, self._figures):
            self.add(label)
        self.add(keys)

    def show_asked(self, beans: Beans, share: float) -> None:
        """Show what is asked for; no edit."""
        self._beans.show_value(beans)
        self._share.show_value(share)
        self._noted.setText("")

    def focus_share(self) -> None:
        """Put the keys on the share, ready to be typed over."""
        self._share.setFocus()
        self._share.line.selectAll()

    def show_view(self, view: CaffeineView) -> None:
        """Show the ranges and the figures."""
        words = self._words
        self._told.setText("\n".join(words.sentence(one) for one in view.told))
        self._figures.setText("\n".join(words.sentence(one) for one in view.figures))
        self._half.setVisible(view.half_decaf is not None)
        self._share.show_error("")

    def say_noted(self, half_g: float) -> None:
        """Say that half decaf was noted with the recipe."""
        self._noted.setText(self._words("caffeine_panel.half_noted", half_g=half_g))

    def say_wrong(self, sentence: str) -> None:
        """Say what is wrong with the share."""
        self._share.show_error(sentence)

    def beans(self) -> Beans:
        """Return what the coffee is said to be."""
        return Beans(str(self._beans.value()))

    def share(self) -> float:
        """Return the share typed, 0 to 1; the whole pot where nothing is.

        Raises:
            BadInput: it is no number.
        """
        value = self._share.value()
        return 1.0 if value is None else value

    def _return_pressed(self) -> None:
        if self._share.line.isModified():
            self.returned.emit()

    def _share_typed(self) -> None:
        if not self._share.line.isModified():
            return
        self._share.line.setModified(False)
        try:
            self.share()
        except BadInput:
            return  # said beside the field
        self.edited.emit()
