"""Ground coffee through a stack of test sieves: how much of it is how large."""

from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.grinder import Setting

FEWEST_OPENINGS, MOST_OPENINGS = 2, 10
# The finest woven test sieve (ISO 3310-1); above the other, no ground coffee is retained.
FINEST_UM, COARSEST_UM = 20.0, 10_000.0
# What is lost on the sieves, or misread on the scale, of the whole (our own bound).
SHARES_TOLERANCE = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Sieving:
    """What lay on each sieve after shaking, as a fact.

    `openings_um` go from the coarsest sieve to the finest, as ISO 3310 test sieves are named.
    `shares` are fractions of the mass: on each sieve in that order, and then in the pan.
    """

    id: UUID
    grinder_id: UUID
    zero_id: UUID
    sieved_at: datetime
    setting: Setting
    openings_um: tuple[float, ...]
    shares: tuple[float, ...]
    dose_g: float | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if self.setting.zero_id != self.zero_id:
            raise BadInput("sieving.other_zero")
        if self.dose_g is not None and not 0 < self.dose_g <= 1_000:
            raise BadInput("sieving.bad_dose", given_g=self.dose_g)
        self._require_stack()
        self._require_shares()

    def _require_stack(self) -> None:
        count = len(self.openings_um)
        if not FEWEST_OPENINGS <= count <= MOST_OPENINGS:
            raise BadInput("sieving.bad_number", given=count)
        for given_um in self.openings_um:
            if not FINEST_UM <= given_um <= COARSEST_UM:
                raise BadInput("sieving.bad_opening", given_um=given_um)
        for above_um, below_um in pairwise(self.openings_um):
            if below_um >= above_um:
                raise BadInput("sieving.not_descending", above_um=above_um, below_um=below_um)

    def _require_shares(self) -> None:
        wanted = len(self.openings_um) + 1
        if len(self.shares) != wanted:
            raise BadInput("sieving.bad_shares_number", given=len(self.shares), wanted=wanted)
        for share in self.shares:
            if not 0.0 <= share <= 1.0:
                raise BadInput("sieving.bad_share", given_strength=share)
        # Rounded, so that the binary writing of tenths puts nothing over the bound.
        whole = round(sum(self.shares), 9)
        if round(abs(whole - 1.0), 9) > SHARES_TOLERANCE:
            raise BadInput("sieving.bad_sum", given_strength=whole)
