"""What is believed of a coffee: the liked zone, and liking along each lever from one recipe.

Axes: n draws, k values along a lever.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.decide import Decider
from halfclick.dialling.grids import GRIND, settings_of
from halfclick.dialling.request import LEVERS, Settings
from halfclick.dialling.search import spread_out

Floats = NDArray[np.float64]
Band = tuple[float, float, float]
SHARES = (0.1, 0.5, 0.9)
POINTS = 15


@dataclass(frozen=True, slots=True)
class Along:
    """Expected liking along one lever, the others held.

    Attributes:
        lever: its name, as requests have it.
        values: where it can be set, ascending for a reader of the dial, (k,).
        bands: 10 %, 50 % and 90 % of the expected liking at each, (k, 3); noise is left out.
        now: where the recipe has it.
    """

    lever: str
    values: Floats
    bands: Floats
    now: float

    @property
    def best(self) -> float:
        """The value whose middle is the highest."""
        return float(self.values[int(self.bands[:, 1].argmax())])


@dataclass(frozen=True, slots=True)
class Believed:
    """What is believed at one recipe: the zone in percent, the levers, and how sure it is."""

    at: Settings
    strength_pct: Band
    extraction_pct: Band
    along: tuple[Along, ...]
    confidence: float
    next_win: float


def believed_of(decider: Decider, row: Floats, confidence: float, next_win: float) -> Believed:
    """Return what is believed around a recipe.

    Args:
        decider: of the posterior.
        row: the recipe, (v,).
        confidence: that the best known is within half a point of the best reachable.
        next_win: that the next cup is.
    """
    draws, dial = decider.draws, decider.posterior.evidence.brews.context.dial
    along = []
    for lever, name in enumerate(LEVERS):
        values = decider.grids.values[lever]
        if decider.grids.fixed[lever] or len(values) < 2:
            continue
        values = np.union1d(spread_out(values, POINTS), [row[lever]])
        rows = np.repeat(row[None], len(values), axis=0)
        rows[:, lever] = values
        liking, _ = decider.likings(rows)
        bands = np.quantile(liking, SHARES, axis=0).T  # (k, 3)
        shown, now = values, float(row[lever])
        if lever == GRIND:
            shown = np.array([settings_of(one, dial).setting for one in rows])
            now = settings_of(row, dial).setting
        order = np.argsort(shown)
        along.append(Along(name, shown[order], bands[order], now))
    strength = draws["liked_strength"] + draws["wants_strength"]
    extraction = draws["liked_extraction"] + draws["wants_extraction"]
    return Believed(
        at=settings_of(row, dial),
        strength_pct=_band(strength),
        extraction_pct=_band(extraction),
        along=tuple(along),
        confidence=confidence,
        next_win=next_win,
    )


def _band(values: Floats) -> Band:
    low, middle, high = np.quantile(values, SHARES).tolist()
    return low, middle, high
