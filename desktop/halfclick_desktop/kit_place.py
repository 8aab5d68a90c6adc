"""Where the kitchen stands: its height or its barometer, how warm it is, and the scale."""

from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from halfclick.errors import CoreError
from halfclick.model.kit import Kitchen, ScaleCarries
from halfclick.wording import Wording
from halfclick_desktop.widgets.field import ChoiceField, NumberField, YesNoField
from halfclick_desktop.widgets.form import Form
from halfclick_desktop.widgets.panel import Panel

HPA_PER_PA = 0.01


class PlacePanel(Panel):
    """Shows a kitchen, and asks for it to be kept as it is typed."""

    keep_asked = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__(words("kit.place"))
        self.altitude = NumberField(
            words, "kit.altitude", unit="m", hint="kit.altitude_hint", decimals=0
        )
        self.barometer = NumberField(
            words, "kit.barometer", unit="hPa", hint="kit.barometer_hint", scale=HPA_PER_PA
        )
        self.room = NumberField(words, "kit.room", unit="°C", hint="kit.room_hint")
        self.carries = ChoiceField(
            words,
            "kit.carries",
            [(words(f"kit.carries_{carries.value}"), carries) for carries in ScaleCarries],
        )
        self.preheats = YesNoField(words, "kit.preheats", hint="kit.preheats_hint")
        fields = {
            "altitude": self.altitude,
            "barometer": self.barometer,
            "room": self.room,
            "carries": self.carries,
            "preheats": self.preheats,
        }
        blamed = {
            "kitchen.bad_barometer": "barometer",
            "kitchen.reduced_barometer": "barometer",
            "kitchen.bad_room": "room",
            "kitchen.": "altitude",
        }
        self._form = Form(words, fields, blamed)
        keep = QPushButton(words("kit.keep_place"))
        keep.clicked.connect(self.keep_asked)
        row = QHBoxLayout()
        row.addWidget(keep)
        row.addStretch(1)
        self.add(self._form)
        self.add(row)

    def show_kitchen(self, kitchen: Kitchen, *, preheats: bool) -> None:
        """Show a kitchen, and whether its dripper is warmed first; no edit."""
        self.preheats.show_value(preheats)
        self.altitude.show_value(kitchen.altitude_m)
        self.barometer.show_value(kitchen.barometer_pa)
        self.room.show_value(kitchen.room_c)
        self.carries.show_value(kitchen.scale_carries)

    def kitchen(self, kitchen: Kitchen) -> Kitchen:
        """Return a kitchen as typed.

        Raises:
            BadInput: it cannot be.
        """
        return replace(
            kitchen,
            altitude_m=self.altitude.value() or 0.0,
            barometer_pa=self.barometer.value(),
            room_c=self.room.value(),
            scale_carries=ScaleCarries(str(self.carries.value())),
        )

    def say(self, error: CoreError) -> None:
        """Show an error beside its field."""
        self._form.say(error)

    def has_keys(self, focused: QWidget | None) -> bool:
        """Return whether what has the focus is one of its fields."""
        return focused is not None and self._form.isAncestorOf(focused)
