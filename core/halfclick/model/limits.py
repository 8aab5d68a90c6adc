"""What bounds an advice: everything a rule needs from elsewhere, as one frozen record."""

from dataclasses import dataclass

from halfclick.model.grinder import Setting
from halfclick.model.kit import DripperShape, ScaleCarries


@dataclass(frozen=True, slots=True, kw_only=True)
class DrainedBand:
    """This person's own drained times for one schedule, dripper, paper and dose, s."""

    low_s: float
    high_s: float
    brews: int

    def __post_init__(self) -> None:
        if self.low_s >= self.high_s:
            raise ValueError(f"an empty band: {self}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Safety, boiling point, grinder, dripper and bag, and this person's own band.

    Settings reachable by a search step either way are given, so that no rule needs a dial:
    None where the dial does not reach.
    """

    boiling_c: float
    shape: DripperShape
    scale_carries: ScaleCarries
    search_steps: int
    finer: Setting | None
    coarser: Setting | None
    half_finer: Setting | None
    half_coarser: Setting | None
    band: DrainedBand | None = None
    # What the server holds, and what a measured dripper takes in one pour above its grounds.
    capacity_g: float | None = None
    room_g: float | None = None
    left_g: float | None = None
