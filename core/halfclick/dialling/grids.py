"""The values that each lever can be set to, and recipes as rows of numbers.

Axes: c cups or candidates, v the seven levers in the order of LEVERS.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.request import LEVERS, Context, Settings, setting_values

Floats = NDArray[np.float64]
GRIND, RATIO, WATER, RATE, BLOOM, BLOOM_TIME, SWIRL = range(len(LEVERS))
# No lever is offered in more values than a search can tell apart (our own default).
MOST_VALUES = 400


@dataclass(frozen=True, slots=True)
class Grids:
    """What each lever can be set to, ascending; a fixed lever has one value."""

    values: tuple[Floats, ...]
    fixed: tuple[bool, ...]

    def nearest(self, row: Floats) -> Floats:
        """Return a row of seven levers moved to the nearest values that can be set."""
        return np.array(
            [
                value if still else one[int(np.abs(one - value).argmin())]
                for value, one, still in zip(row, self.values, self.fixed, strict=True)
            ]
        )

    def near(self, lever: int, value: float) -> int:
        """Return the place of the value nearest to the one given."""
        return int(np.abs(self.values[lever] - value).argmin())


def grids_of(context: Context) -> Grids:
    """Return the values that each lever of a context can be set to.

    Water is never hotter than it boils.
    """
    dial = context.dial
    bounds = {**context.levers, "setting": (dial.min, dial.max, dial.step)}
    values, fixed = [], []
    for name in LEVERS:
        start = getattr(context.start, name)
        low, high, step = bounds.get(name, (start, start, 1.0))
        if name == "water_c" and context.boiling_c is not None:
            high = max(min(high, context.boiling_c), low)
        count = min(int((high - low) / step + 1e-9), MOST_VALUES)
        values.append(np.round(low + step * np.arange(count + 1), 9))
        fixed.append(name not in bounds)
    return Grids(tuple(values), tuple(fixed))


def row_of(settings: Settings) -> Floats:
    """Return a cup's settings as a row, shape (v,)."""
    return np.array(list(setting_values(settings)), dtype=np.float64)


def settings_of(row: Floats) -> Settings:
    """Return a row of levers as settings."""
    return Settings(**dict(zip(LEVERS, row.tolist(), strict=True)))
