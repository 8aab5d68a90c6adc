"""The values that each lever can be set to, and recipes as rows of numbers.

In a row the grinder's setting is a share of the dial's span coarser than its finest end: which way
a dial is numbered, and in what numbers, makes no difference to what is proposed.

Axes: c cups or candidates, v the seven levers in the order of LEVERS.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.request import LEVERS, Context, Dial, Settings, setting_values

Floats = NDArray[np.float64]
GRIND, RATIO, WATER, RATE, BLOOM, BLOOM_TIME, SWIRL = range(len(LEVERS))
# No lever is offered in more values than a search can tell apart (our own default).
MOST_VALUES = 400


@dataclass(frozen=True, slots=True)
class Grids:
    """What each lever can be set to, ascending; a fixed lever has one value.

    `boiling_c` is where water boils, infinite where that is not known.
    """

    values: tuple[Floats, ...]
    fixed: tuple[bool, ...]
    boiling_c: float = np.inf

    def nearest(self, row: Floats) -> Floats:
        """Return a row of seven levers moved to the nearest values that can be set."""
        return np.array(
            [
                value if still else one[int(np.abs(one - value).argmin())]
                for value, one, still in zip(row, self.values, self.fixed, strict=True)
            ]
        )

    def within(self, row: Floats) -> Floats:
        """Return a row with the dial between its ends and the water no hotter than it boils."""
        row = row.copy()
        for lever in (GRIND, WATER):
            if not self.fixed[lever]:
                row[lever] = np.clip(row[lever], self.values[lever][0], self.values[lever][-1])
        row[WATER] = min(row[WATER], self.boiling_c)
        return row

    def near(self, lever: int, value: float) -> int:
        """Return the place of the value nearest to the one given."""
        return int(np.abs(self.values[lever] - value).argmin())


def grids_of(context: Context) -> Grids:
    """Return the values that each lever of a context can be set to.

    Water is never hotter than it boils.
    """
    start = row_of(context.start, context.dial)
    boiling_c = np.inf if context.boiling_c is None else context.boiling_c
    values, fixed = [], []
    for place, name in enumerate(LEVERS):
        still = np.array([start[place]])
        if name == "setting":
            values.append(_shares(context.dial))
        elif name in context.levers:
            low, high, step = context.levers[name]
            if name == "water_c":
                low, high = min(low, boiling_c), min(high, boiling_c)
            values.append(_steps(low, high, step))
        else:
            values.append(still)
        fixed.append(name != "setting" and name not in context.levers)
    return Grids(tuple(values), tuple(fixed), boiling_c)


def row_of(settings: Settings, dial: Dial) -> Floats:
    """Return a cup's settings as a row, shape (v,)."""
    row = np.array(list(setting_values(settings)), dtype=np.float64)
    row[GRIND] = _coarse(row[GRIND], dial)
    return row


def settings_of(row: Floats, dial: Dial) -> Settings:
    """Return a row of levers as settings; the grinder's to the nearest step of its dial."""
    values = dict(zip(LEVERS, row.tolist(), strict=True))
    from_finest = values["setting"] * _span(dial)
    lower = dial.finer == "lower"
    from_low = from_finest if lower else (dial.max - dial.min) - from_finest
    values["setting"] = round(dial.min + from_low, 9)
    return Settings(**values)


def _coarse(setting: float, dial: Dial) -> float:
    away = setting - dial.min if dial.finer == "lower" else dial.max - setting
    return float(np.round(away / _span(dial), 12))


def _span(dial: Dial) -> float:
    return max(dial.max - dial.min, dial.step)


def _shares(dial: Dial) -> Floats:
    settings = _steps(dial.min, dial.max, dial.step)
    return np.sort([_coarse(one, dial) for one in settings])


def _steps(low: float, high: float, step: float) -> Floats:
    count = int((high - low) / step + 1e-9)
    every = -(-max(count, 1) // MOST_VALUES)
    return np.round(low + step * np.arange(0, count + 1, every), 9)
