"""A kettle read twice around a timed wait off the heat: what its cooling is learned from."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from halfclick.errors import BadInput

# What a usual kitchen thermometer scatters by (our own default, no source).
THERMOMETER_SD_C = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class KettleReading:
    """A timed wait off the heat, as a fact: the water's temperature before it and after it.

    `sd_c` is the standard deviation of one reading of the thermometer. The bounds keep out what
    no kitchen can show; they are our own.
    """

    id: UUID
    kettle_id: UUID
    read_at: datetime
    water_g: float
    lid_on: bool
    start_c: float
    end_c: float
    wait_s: float
    room_c: float
    sd_c: float = THERMOMETER_SD_C

    def __post_init__(self) -> None:
        if not 20 <= self.water_g <= 10_000:
            raise BadInput("kettle_reading.bad_water", given_g=self.water_g)
        if not 5 <= self.wait_s <= 21_600:
            raise BadInput("kettle_reading.bad_wait", given_s=self.wait_s)
        if not 5 <= self.room_c <= 45:
            raise BadInput("kitchen.bad_room", given_c=self.room_c)
        if not 0 < self.sd_c <= 5:
            raise BadInput("kettle_reading.bad_sd", given_size_c=self.sd_c)
        self._require_cooling()

    def _require_cooling(self) -> None:
        for given_c in (self.start_c, self.end_c):
            # A thermometer may read a little above the boil.
            if not self.room_c < given_c <= 105:
                raise BadInput("kettle_reading.bad_reading", given_c=given_c, room_c=self.room_c)
        if self.end_c >= self.start_c:
            raise BadInput("kettle_reading.not_cooled", start_c=self.start_c, end_c=self.end_c)
