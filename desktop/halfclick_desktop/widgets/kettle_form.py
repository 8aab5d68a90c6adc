"""A kettle: whether it tells its temperature, its body, and a timed wait off the heat."""

from uuid import UUID

from halfclick.model.kettle_reading import THERMOMETER_SD_C
from halfclick.model.kit import Kettle
from halfclick.service.kettle_readings import KettleReadingEntry
from halfclick.wording import Wording
from halfclick_desktop.times import parsed_time
from halfclick_desktop.widgets.dripper_form import material_of, materials
from halfclick_desktop.widgets.field import ChoiceField, NumberField, TextField, YesNoField
from halfclick_desktop.widgets.form import Form

_BLAMED_KETTLE = {
    "kit.needs_name": "name",
    "kettle.bad_body": "body",
    "kettle.bad_capacity": "capacity",
}
_BLAMED_WAIT = {
    "kettle_reading.needs_water": "water",
    "kettle_reading.bad_water": "water",
    "kettle_reading.needs_start": "start",
    "kettle_reading.needs_wait": "wait",
    "kettle_reading.bad_wait": "wait",
    "time.": "wait",
    "kettle_reading.bad_sd": "sd",
    "kettle_reading.needs_room": "room",
    "kitchen.bad_room": "room",
    "kettle_reading.": "end",
}


class KettleForm(Form):
    """A kettle and its empty body."""

    def __init__(self, words: Wording) -> None:
        self._name = TextField(words, "kit.name")
        self._tells = YesNoField(words, "kit.thermometer", hint="kit.thermometer_hint")
        self._material = ChoiceField(words, "kit.material", materials(words))
        self._body = NumberField(words, "kit.kettle_body", unit="g", hint="kit.kettle_body_hint")
        self._capacity = NumberField(
            words, "kit.kettle_capacity", unit="g", hint="kit.kettle_capacity_hint"
        )
        fields = {
            "name": self._name,
            "thermometer": self._tells,
            "material": self._material,
            "body": self._body,
            "capacity": self._capacity,
        }
        super().__init__(words, fields, _BLAMED_KETTLE)

    def show_thing(self, thing: object) -> None:
        """Show a kettle; anything else is a new one."""
        kettle = thing if isinstance(thing, Kettle) else None
        self._name.show_text(kettle.name if kettle else "")
        self._tells.show_value(kettle.has_thermometer if kettle else False)
        self._material.show_value(kettle.material if kettle else None)
        self._body.show_value(kettle.body_g if kettle else None)
        self._capacity.show_value(kettle.capacity_g if kettle else None)

    def thing(self, record_id: UUID) -> Kettle:
        """Return the kettle as typed.

        Raises:
            BadInput: it cannot be.
        """
        return Kettle(
            id=record_id,
            name=self._name.text(),
            has_thermometer=self._tells.value(),
            body_g=self._body.value(),
            material=material_of(self._material),
            capacity_g=self._capacity.value(),
        )


class WaitForm(Form):
    """A timed wait off the heat, in the order in which it happens."""

    def __init__(self, words: Wording) -> None:
        self._water = NumberField(words, "kit.wait_water", unit="g", hint="kit.wait_water_hint")
        self._lid = YesNoField(words, "kit.wait_lid")
        self._start = NumberField(words, "kit.wait_start", unit="°C", hint="kit.wait_start_hint")
        self._wait = TextField(words, "kit.wait_wait", hint="kit.wait_wait_hint")
        self._end = NumberField(words, "kit.wait_end", unit="°C")
        self._room = NumberField(words, "kit.room", unit="°C")
        self._sd = NumberField(words, "kit.wait_sd", unit="°C apart", hint="kit.wait_sd_hint")
        fields = {
            "water": self._water,
            "lid": self._lid,
            "start": self._start,
            "wait": self._wait,
            "end": self._end,
            "room": self._room,
            "sd": self._sd,
        }
        super().__init__(words, fields, _BLAMED_WAIT)

    def show_new(self, room_c: float | None) -> None:
        """Begin a new wait in a room of so many degrees."""
        self.clear_errors()
        for field in (self._water, self._start, self._end, self._sd):
            field.show_value(None)
        self._lid.show_value(True)
        self._wait.show_text("")
        self._room.show_value(room_c)
        self._sd.show_example(THERMOMETER_SD_C)

    def entry(self) -> KettleReadingEntry:
        """Return the wait as typed.

        Raises:
            BadInput: a field holds what is no number or no time.
        """
        text = self._wait.text()
        return KettleReadingEntry(
            water_g=self._water.value(),
            lid_on=self._lid.value(),
            start_c=self._start.value(),
            wait_s=parsed_time(text) if text else None,
            end_c=self._end.value(),
            room_c=self._room.value(),
            sd_c=self._sd.value(),
        )
