"""How long a recipe of another size runs: a power of the dose, learned from real brews."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from halfclick.model.kit import DripperShape

# So many brews of scaled recipes speak for themselves; before, the prior stands in for the
# missing ones (our own default).
OWN_FROM = 3
# The exponents of one's own brews are never taken as nearer together than this (our own default).
SMALLEST_SPREAD = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Exponent:
    """The power of the dose with which the flow part of a brew grows.

    `middle` is None where only a range can be said; `brews` is how many it was learned from.
    """

    low: float
    middle: float | None
    high: float
    brews: int = 0

    def __post_init__(self) -> None:
        if self.low > self.high:
            raise ValueError(f"an empty range: {self}")


# A cone keeps its form as it fills, so every length grows with the cube root of the dose, and the
# time of the flow part with it (our own model; a bed of 22 g stands 3 % deeper than one of 20 g by
# a published measurement, 3.2 % by the cube root). The range: a training text brews 15 g in 3:00
# and 30 g, slightly coarser, in 3:30 to 4:00, which is 0.3 to 0.5 after a bloom of 45 s.
_CONE = Exponent(low=0.2, middle=1 / 3, high=0.5)
# A bed of fixed area: time goes with the dose if the water stands higher in step with it, with its
# square if it cannot (Darcy's law; our own reading of it).
_FIXED_AREA = Exponent(low=1.0, middle=None, high=2.0)
# Between a cone and a bed of fixed area (our own default).
_WEDGE = Exponent(low=1 / 3, middle=None, high=1.0)

PRIORS = {
    DripperShape.STEEP_CONE: _CONE,
    DripperShape.THICK_PAPER_CONE: _CONE,
    DripperShape.FLAT_BOTTOM: _FIXED_AREA,
    DripperShape.WEDGE: _WEDGE,
    DripperShape.IMMERSION: _FIXED_AREA,
}


def scaled_time_s(total_s: float, held_s: float, dose_factor: float, exponent: float) -> float:
    """Return how long a brew runs with so many times the dose, s.

    Args:
        total_s: how long it ran at the dose it had.
        held_s: the part of it that the clock sets whatever the size: the bloom, or the steep.
        dose_factor: the new dose over the old one.
        exponent: the power of the dose with which the rest grows.

    Raises:
        ValueError: nothing is left after the part that is held, or there is no dose.
    """
    if not 0 <= held_s < total_s or dose_factor <= 0:
        raise ValueError(f"impossible: {total_s=} {held_s=} {dose_factor=}")
    return held_s + (total_s - held_s) * math.pow(dose_factor, exponent)


def fit_exponent(prior: Exponent, brews: Sequence[tuple[float, float]]) -> Exponent:
    """Fit the exponent to real brews of scaled recipes, drawn towards the prior while they are few.

    Least squares of ln(time factor) = exponent x ln(dose factor), through no change at no change;
    until there are three, the prior counts as the brews that are missing to three.

    Args:
        prior: what is taken before any brew.
        brews: the dose factor and the time factor of the flow part, a pair a brew.
    """
    logs = [(math.log(dose), math.log(time)) for dose, time in brews if dose != 1.0]
    if not logs:
        return prior
    across = sum(x * x for x, _ in logs)
    own = sum(x * y for x, y in logs) / across
    apart = [y / x - own for x, y in logs]
    spread = math.sqrt(sum(one * one for one in apart) / max(len(apart) - 1, 1))
    spread = max(spread, SMALLEST_SPREAD)
    share = min(len(logs) / OWN_FROM, 1.0)
    middle = own if share == 1.0 else None
    if prior.middle is not None:
        middle = share * own + (1 - share) * prior.middle
    return Exponent(
        low=share * (own - spread) + (1 - share) * prior.low,
        middle=middle,
        high=share * (own + spread) + (1 - share) * prior.high,
        brews=len(logs),
    )
