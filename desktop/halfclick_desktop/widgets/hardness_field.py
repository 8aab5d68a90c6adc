"""A field for hardness or alkalinity, typed in whichever unit a person reads."""

from halfclick.physics.minerals.hardness_units import HardnessUnit, mg_l_of_one
from halfclick.units import Unit
from halfclick.wording import Wording
from halfclick_desktop.widgets.field import NumberField


class HardnessField(NumberField):
    """Takes and gives mg/L as CaCO3; shows and reads the unit chosen.

    Args:
        words: the wording.
        label: catalogue code of the label.
        alkalinity: whether it is alkalinity, of which a millimole is one equivalent.
        hint: catalogue code of a quiet sentence.
    """

    def __init__(
        self, words: Wording, label: str, *, alkalinity: bool = False, hint: str = ""
    ) -> None:
        self._alkalinity = alkalinity
        super().__init__(words, label, hint=hint)
        self.show_hardness_unit(HardnessUnit.MG_L)

    def show_hardness_unit(self, unit: HardnessUnit) -> None:
        """Take another unit; what is typed keeps its meaning."""
        self._fixed = Unit(
            sign=self.words(f"hardness_unit.sign_{unit.value}"),
            factor=1 / mg_l_of_one(unit, alkalinity=self._alkalinity),
            decimals=1 if unit is HardnessUnit.MG_L else 2,
        )
        self.show_units()
