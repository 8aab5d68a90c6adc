"""Timed waits off the heat: kept, told, taken away; a kettle's cooling is learned from them."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid4

from halfclick.errors import BadInput
from halfclick.model.kettle_reading import THERMOMETER_SD_C, KettleReading
from halfclick.model.kit import Kettle
from halfclick.service.done import Done, Touched
from halfclick.store.journal import Store


@dataclass(frozen=True, slots=True, kw_only=True)
class KettleReadingEntry:
    """A timed wait as it is typed; None: not typed."""

    water_g: float | None = None
    lid_on: bool = True
    start_c: float | None = None
    end_c: float | None = None
    wait_s: float | None = None
    room_c: float | None = None
    sd_c: float | None = None


def add_reading(
    store: Store, kettle_id: UUID, entry: KettleReadingEntry, *, clock: Callable[[], datetime]
) -> Done[KettleReading]:
    """Keep a timed wait of a kettle.

    Raises:
        BadInput: something that is needed was not typed, or cannot be.
        NotFound: the journal has no such kettle.
    """
    now = clock()
    reading = KettleReading(
        id=uuid4(),
        kettle_id=kettle_id,
        read_at=now,
        water_g=_needed(entry.water_g, "water"),
        lid_on=entry.lid_on,
        start_c=_needed(entry.start_c, "start"),
        end_c=_needed(entry.end_c, "end"),
        wait_s=_needed(entry.wait_s, "wait"),
        room_c=_needed(entry.room_c, "room"),
        sd_c=THERMOMETER_SD_C if entry.sd_c is None else entry.sd_c,
    )
    with store.writing(now) as w:
        w.get(Kettle, kettle_id)
        w.add(reading)
    return Done(reading, Touched.KIT)


def readings_of(store: Store, kettle_id: UUID) -> tuple[KettleReading, ...]:
    """Return every living reading of a kettle, oldest first."""
    with store.reading() as r:
        return tuple(r.all(KettleReading, kettle_id=kettle_id))


def bury_reading(store: Store, reading_id: UUID, *, clock: Callable[[], datetime]) -> Done[UUID]:
    """Take a reading away; it can be brought back.

    Raises:
        NotFound: the journal has no such reading.
    """
    with store.writing(clock()) as w:
        w.bury(KettleReading, reading_id)
    return Done(reading_id, Touched.KIT)


def unbury_reading(store: Store, reading_id: UUID, *, clock: Callable[[], datetime]) -> Done[UUID]:
    """Bring a reading back.

    Raises:
        NotFound: the journal has no such reading.
    """
    with store.writing(clock()) as w:
        w.unbury(KettleReading, reading_id)
    return Done(reading_id, Touched.KIT)


def _needed(value: float | None, name: str) -> float:
    if value is None:
        raise BadInput(f"kettle_reading.needs_{name}")
    return value
