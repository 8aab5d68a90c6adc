"""A water as its label or a test strip tells it."""

from uuid import UUID

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from halfclick.errors import CoreError
from halfclick.model.kit import Water
from halfclick.model.minerals import Minerals
from halfclick.physics.minerals.hardness_units import HardnessUnit
from halfclick.wording import Message, Wording
from halfclick_desktop.look import GROUPS, INSIDE
from halfclick_desktop.widgets.field import Field, NumberField, TextField
from halfclick_desktop.widgets.hardness_field import HardnessField
from halfclick_desktop.widgets.label import styled

IONS = ("calcium", "magnesium", "sodium", "potassium", "bicarbonate", "chloride", "sulfate")
WIDE = 4


class WaterForm(QWidget):
    """Fields in the order of a label; empty ones are not known."""

    edited = Signal()

    def __init__(self, words: Wording) -> None:
        super().__init__()
        self._words = words
        self._name = TextField(words, "kit.name")
        self._ions = {
            ion: NumberField(words, f"water_page.{ion}", unit="mg/L", decimals=2) for ion in IONS
        }
        self._tds = NumberField(words, "water_page.tds", unit="mg/L")
        self._ph = NumberField(words, "water_page.ph", decimals=2)
        self._hardness = HardnessField(words, "kit.hardness")
        self._alkalinity = HardnessField(words, "kit.alkalinity", alkalinity=True)
        self._lay_out()
        for field in self._fields().values():
            field.edited.connect(self.edited)
        self.setFocusProxy(self._name)

    def _fields(self) -> dict[str, Field]:
        """Return every field by the name its errors go by."""
        return {
            "name": self._name,
            **self._ions,
            "tds": self._tds,
            "ph": self._ph,
            "hardness": self._hardness,
            "alkalinity": self._alkalinity,
        }

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(GROUPS)
        grid.setVerticalSpacing(INSIDE)
        top = Qt.AlignmentFlag.AlignTop
        grid.addWidget(self._name, 0, 0, 1, WIDE, top)
        grid.addWidget(styled("quiet", self._words("water_page.from_label")), 1, 0, 1, WIDE)
        for place, field in enumerate((*self._ions.values(), self._tds)):
            grid.addWidget(field, 2 + place // WIDE, place % WIDE, top)
        grid.addWidget(styled("quiet", self._words("water_page.from_strip")), 4, 0, 1, WIDE)
        for column, field in enumerate((self._hardness, self._alkalinity, self._ph)):
            grid.addWidget(field, 5, column, top)
        for column in range(WIDE):
            grid.setColumnStretch(column, 1)

    def show_unit(self, unit: HardnessUnit) -> None:
        """Take hardness and alkalinity in another unit."""
        self._hardness.show_hardness_unit(unit)
        self._alkalinity.show_hardness_unit(unit)

    def show_water(self, water: Water | None) -> None:
        """Show a water, or none: everything empty."""
        minerals = (water.minerals if water else None) or Minerals()
        self._name.show_text(water.name if water else "")
        for ion, field in self._ions.items():
            field.show_value(getattr(minerals, f"{ion}_mg_l"))
        self._tds.show_value(water.tds_mg_l if water else None)
        self._ph.show_value(water.ph if water else None)
        # Where the ions tell them, they are not asked for twice.
        by_ions = minerals.calcium_mg_l is not None and minerals.magnesium_mg_l is not None
        self._hardness.show_value(water.hardness_mg_l if water and not by_ions else None)
        known = minerals.bicarbonate_mg_l is not None
        self._alkalinity.show_value(water.alkalinity_mg_l if water and not known else None)

    def water(self, record_id: UUID, name: str = "") -> Water:
        """Return the water that is typed.

        Args:
            record_id: its identity.
            name: what it is called where no name is typed yet.

        Raises:
            BadInput: a field is no number, or a value cannot be.
        """
        ions = {f"{ion}_mg_l": field.value() for ion, field in self._ions.items()}
        known = any(value is not None for value in ions.values())
        return Water(
            id=record_id,
            name=self._name.text() or name,
            hardness_mg_l=self._hardness.value(),
            alkalinity_mg_l=self._alkalinity.value(),
            minerals=Minerals(**ions) if known else None,
            tds_mg_l=self._tds.value(),
            ph=self._ph.value(),
        )

    def say(self, error: CoreError) -> None:
        """Show an error beside its field, and put the keys there."""
        fields = self._fields()
        name = error.code.removeprefix("water.bad_")
        ion = error.values.get("ion")
        if isinstance(ion, Message):
            name = ion.code.removeprefix("minerals.")
        shown = [field for field in fields.values() if field.error()]
        field = fields.get(name) or (shown[0] if shown else self._name)
        field.show_error(self._words.sentence(error))
        field.control.setFocus()

    def clear_errors(self) -> None:
        """Take every error away."""
        for field in self._fields().values():
            field.show_error("")
