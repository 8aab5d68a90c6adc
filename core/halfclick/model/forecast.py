"""What was said of a brew before it was poured, kept so that it can be held against the cup."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from math import isfinite
from uuid import UUID

from halfclick.errors import BadInput

# Low, middle and high: nine of ten such brews are said to lie between low and high.
Band = tuple[float, float, float]

MOST_BANDS = 50
_QUANTITY = re.compile(r"[a-z][a-z0-9_]{0,59}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """A forecast of one brew, as a fact.

    `bands` holds the 5th, 50th and 95th percentile by the name of the quantity, whose suffix is
    its unit (time_s, beverage_g, strength, ...). `engine` names the version of the model, and
    `brews_behind` how many brews the kit's constants had been learned from.
    """

    id: UUID
    brew_id: UUID
    made_at: datetime
    engine: str
    brews_behind: int
    bands: Mapping[str, Band]

    def __post_init__(self) -> None:
        if not self.engine.strip():
            raise BadInput("forecast.needs_engine")
        if self.brews_behind < 0:
            raise BadInput("forecast.bad_brews", given=self.brews_behind)
        if not 1 <= len(self.bands) <= MOST_BANDS:
            raise BadInput("forecast.bad_number", given=len(self.bands))
        for name, band in self.bands.items():
            if not _QUANTITY.fullmatch(name):
                raise BadInput("forecast.bad_name", name=name)
            if not all(map(isfinite, band)) or not band[0] <= band[1] <= band[2]:
                raise BadInput("forecast.bad_band", name=name)
