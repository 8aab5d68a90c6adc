"""Water alone timed through a rinsed paper, in the order in which it happens."""

from uuid import UUID

from halfclick.service.paper_timing import PaperTiming
from halfclick.wording import Wording
from halfclick_desktop.times import parsed_time
from halfclick_desktop.widgets.field import NumberField, TextField
from halfclick_desktop.widgets.form import Form

WATER_G, WATER_C = 300.0, 90.0
_BLAMED = {
    "paper_timing.bad_water": "water",
    "paper_timing.bad_temperature": "temperature",
    "paper_timing.": "time",
    "time.": "time",
}


class PaperTimingForm(Form):
    """How much water, how warm, and when nine tenths of it were through."""

    def __init__(self, words: Wording) -> None:
        self._water = NumberField(
            words, "paper_timing.water", unit="g", hint="paper_timing.water_hint"
        )
        self._temperature = NumberField(words, "paper_timing.temperature", unit="°C")
        self._time = TextField(words, "paper_timing.time", hint="paper_timing.time_hint")
        fields = {"water": self._water, "temperature": self._temperature, "time": self._time}
        super().__init__(words, fields, _BLAMED)

    def show_new(self) -> None:
        """Begin a new timing with the usual water."""
        self.clear_errors()
        self._water.show_value(WATER_G)
        self._temperature.show_value(WATER_C)
        self._time.show_text("")

    def timing(self, dripper_id: UUID) -> PaperTiming:
        """Return the timing as typed, the paper lying in a dripper.

        Raises:
            BadInput: it cannot be, or a field holds what is no number or no time.
        """
        text = self._time.text()
        return PaperTiming(
            dripper_id=dripper_id,
            water_g=self._water.value() or 0.0,
            water_c=self._temperature.value() or 0.0,
            time_s=parsed_time(text) if text else 0.0,
        )
