"""From the dial to the size of the grounds, and the share of fines."""

from dataclasses import dataclass

import numpy as np

from dial.levers import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Grinder:
    """A grinder as it truly is.

    Attributes:
        low, high, step: the dial as it is written.
        finer_is_lower: which way the numbers run.
        finest_um: median size where the dial ends on the fine side, um.
        um_a_unit: how much a unit of the dial adds there, um. Dial to size is linear for one
            laboratory grinder (Wadsworth 2026) and flattens at the coarse end for another (Liang
            2021, supplement): `flattening` is the share of the slope lost at the coarse end.
        fines: share of fines at 700 um. 15 to 30 % of the volume is below 100 um (Moroney 2015,
            curves digitised), falling as the median rises (Smrke 2024).
        fines_power: how fast it falls.
    """

    low: float
    high: float
    step: float
    finer_is_lower: bool
    finest_um: float
    um_a_unit: float
    flattening: float
    fines: float
    fines_power: float

    def units(self, setting: Floats) -> Floats:
        """Return how far from the fine end the dial stands."""
        away = setting - self.low if self.finer_is_lower else self.high - setting
        return np.asarray(away, dtype=float)

    def size_um(self, setting: Floats) -> Floats:
        """Return the median size of the grounds, um."""
        units = self.units(setting)
        bend = 1.0 - 0.5 * self.flattening * units / (self.high - self.low)
        return np.asarray(self.finest_um + self.um_a_unit * units * bend)

    def fines_share(self, size_um: Floats) -> Floats:
        """Return the share of fines."""
        return np.asarray(np.clip(self.fines * (700.0 / size_um) ** self.fines_power, 0.04, 0.5))

    def setting_of(self, size_um: float) -> float:
        """Return the setting on the dial whose grounds are nearest a size."""
        count = round((self.high - self.low) / self.step) + 1
        settings = self.low + self.step * np.arange(count)
        return float(settings[np.abs(self.size_um(settings) - size_um).argmin()])
