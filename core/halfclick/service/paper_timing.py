"""Water timed through a paper: kept as the newest choice of its key, and what it says of the paper.

One timing a paper holds: it is done again where it went wrong, and not averaged. It stays among
the choices until a journal of the next schema gives it a table of its own.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid4

import msgspec

from halfclick.errors import BadInput
from halfclick.model.kit import Paper
from halfclick.model.preference import Preference
from halfclick.service.done import Done, Touched
from halfclick.store.journal import Reader, Store

KEY = "paper.water_through."
LEAST_G, MOST_G = 100.0, 1000.0
LEAST_S, MOST_S = 5.0, 1100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperTiming:
    """Water alone that went through a rinsed paper, until its stream broke into drops.

    `dripper_id` is the dripper that the paper lay in.
    """

    dripper_id: UUID
    water_g: float
    water_c: float
    time_s: float

    def __post_init__(self) -> None:
        if not LEAST_G <= self.water_g <= MOST_G:
            raise BadInput("paper_timing.bad_water", given_g=self.water_g)
        if not 5 <= self.water_c <= 100:
            raise BadInput("paper_timing.bad_temperature", given_c=self.water_c)
        if not LEAST_S <= self.time_s <= MOST_S:
            raise BadInput("paper_timing.bad_time", given_time_s=self.time_s)


def keep_timing(
    store: Store, paper_id: UUID, timing: PaperTiming, *, clock: Callable[[], datetime]
) -> Done[PaperTiming]:
    """Keep a timing of a paper in place of the one before.

    Raises:
        NotFound: the journal has no such paper.
    """
    _write(store, paper_id, msgspec.json.encode(timing).decode(), clock)
    return Done(timing, Touched.KIT)


def put_back(
    store: Store, paper_id: UUID, timing: PaperTiming | None, *, clock: Callable[[], datetime]
) -> Done[UUID]:
    """Let another timing hold of a paper, or none."""
    _write(store, paper_id, msgspec.json.encode(timing).decode() if timing else "", clock)
    return Done(paper_id, Touched.KIT)


def timing_of(r: Reader, paper_id: UUID) -> PaperTiming | None:
    """Return the timing that holds of a paper; None where there is none that can be read."""
    kept = r.all(Preference, key=f"{KEY}{paper_id}")
    if not kept or not kept[-1].value:
        return None
    try:
        return msgspec.json.decode(kept[-1].value.encode(), type=PaperTiming)
    except (msgspec.MsgspecError, BadInput):
        return None  # what a later release may have kept there


def _write(store: Store, paper_id: UUID, value: str, clock: Callable[[], datetime]) -> None:
    now = clock()
    with store.writing(now) as w:
        w.get(Paper, paper_id)
        w.add(Preference(id=uuid4(), key=f"{KEY}{paper_id}", value=value))
