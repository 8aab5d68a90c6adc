"""A kettle read at several fills: its loss, and how that follows the fill, learned together.

ln UA is taken as a straight line of the logarithm of the fill. Its slope is believed to be
FILL_POWER, give or take FILL_SPREAD; the more fills were read, the better it is known. What a
reading tells is counted at what it read, not at the fit, so that another reading never widens what
is believed.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from halfclick.physics.kettle import FILL_POWER, FILL_SPREAD, Loss, Reading, cooled_c

_STEPS = 60
_ENOUGH = 1e-10
# A reading is counted as no nearer to the room than this.
_LEAST_K = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class FilledReading:
    """A reading, and its mass of water over that which the prior speaks of."""

    reading: Reading
    fill_ratio: float

    def __post_init__(self) -> None:
        if self.fill_ratio <= 0:
            raise ValueError(f"fill_ratio must be positive, got {self.fill_ratio}")


@dataclass(frozen=True, slots=True)
class _Pull:
    """Slope of the log posterior along ln UA and the power, and the Gauss-Newton curvature."""

    ua: float
    power: float
    ua_ua: float
    ua_power: float
    power_power: float

    @property
    def determinant(self) -> float:
        return self.ua_ua * self.power_power - self.ua_power**2


def fit_at_fill(prior: Loss, readings: Sequence[FilledReading], fill_ratio: float) -> Loss:
    """Return what is believed of a kettle's loss at a fill, after readings at any fill.

    Without readings it is the prior there, wider the further that is. The fit is Gauss-Newton's.

    Args:
        prior: what is believed at the fill it speaks of.
        readings: each with its own fill over the prior's.
        fill_ratio: the fill asked for over the prior's.

    Raises:
        ValueError: the ratio is not positive.
    """
    if fill_ratio <= 0:
        raise ValueError(f"fill_ratio must be positive, got {fill_ratio}")
    ln_ua, power = prior.ln_ua, FILL_POWER
    for _ in range(_STEPS):
        now = _pull(prior, readings, ln_ua, power)
        step_ua = (now.power_power * now.ua - now.ua_power * now.power) / now.determinant
        step_power = (now.ua_ua * now.power - now.ua_power * now.ua) / now.determinant
        longest = max(1.0, abs(step_ua), abs(step_power))
        ln_ua, power = ln_ua + step_ua / longest, power + step_power / longest
        if abs(step_ua) + abs(step_power) < _ENOUGH:
            break
    return Loss(
        ln_ua=ln_ua + power * math.log(fill_ratio),
        sd=_spread(prior, readings, math.log(fill_ratio)),
        readings=prior.readings + len(readings),
    )


def _spread(prior: Loss, readings: Sequence[FilledReading], away: float) -> float:
    """Return the standard deviation of ln UA at a fill whose logarithm is `away`."""
    weight, power_weight, both = prior.sd**-2, FILL_SPREAD**-2, 0.0
    for filled in readings:
        one, at = filled.reading, math.log(filled.fill_ratio)
        left_k = min(max(one.end_c - one.room_c, _LEAST_K), one.start_c - one.room_c)
        told = (left_k * math.log((one.start_c - one.room_c) / left_k) / one.sd_c) ** 2
        weight, both, power_weight = weight + told, both + at * told, power_weight + at**2 * told
    spread = power_weight - 2 * away * both + away**2 * weight
    return math.sqrt(spread / (weight * power_weight - both**2))


def _pull(prior: Loss, readings: Sequence[FilledReading], ln_ua: float, power: float) -> _Pull:
    weight, power_weight = prior.sd**-2, FILL_SPREAD**-2
    pull, power_pull = (prior.ln_ua - ln_ua) * weight, (FILL_POWER - power) * power_weight
    both = 0.0
    for filled in readings:
        one, away = filled.reading, math.log(filled.fill_ratio)
        ua = math.exp(ln_ua + power * away)
        modelled_c = cooled_c(one.start_c, one.room_c, one.wait_s, ua, one.heat_j_k)
        slope = -(modelled_c - one.room_c) * ua * one.wait_s / one.heat_j_k
        misfit = slope * (one.end_c - modelled_c) / one.sd_c**2
        told = slope**2 / one.sd_c**2
        pull, power_pull = pull + misfit, power_pull + away * misfit
        weight += told
        both += away * told
        power_weight += away**2 * told
    return _Pull(pull, power_pull, weight, both, power_weight)
