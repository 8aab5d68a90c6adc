"""From a dial to a median size: a straight line a grinder, learned from sieves or a laser."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from halfclick.physics.grounds import COARSEST_UM, FINEST_UM, share_below

# Two laboratory grinders: 276 um + 116 um a step (twice the radius of Wadsworth et al. 2026,
# section 4.1), and 212 um + 184 um a step (a line through the medians of Liang et al. 2021,
# supplement). Between them and wide: what lies at the zero (own default).
BASE_UM = 240.0
BASE_SD_UM = 120.0
# Growth of the median over burr travel is unknown; taken as one to one, and wide (own default).
PER_TRAVEL = 1.0
PER_TRAVEL_SD = 0.5
# A step of a dial whose travel nobody knows (own default).
UNKNOWN_STEP_UM = 25.0
# A sieve's share is known to this, and the form of the sizes to that (own defaults).
SIEVED_SD = 0.03
FORM_SD = 0.08
# Openings of the supplementary series R 40/3 (ISO 3310-1 and ISO 565), from memory, um.
OPENINGS_UM = (
    2000,
    1700,
    1400,
    1180,
    1000,
    850,
    710,
    600,
    500,
    425,
    355,
    300,
    250,
    212,
    180,
    150,
    125,
    106,
    90,
    75,
    63,
    53,
    45,
    38,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DialMap:
    """A median size as base + per step x steps from the zero, um, with what is not known of both.

    `covariance_um2` is that of the base and the size of a step.
    """

    base_um: float
    base_sd_um: float
    per_step_um: float
    per_step_sd_um: float
    covariance_um2: float = 0.0

    def median_um(self, steps: float) -> float:
        """Return the median at so many steps coarser than the zero, um."""
        return self.base_um + self.per_step_um * steps

    def sd_um(self, steps: float) -> float:
        """Return the standard deviation of that median, um."""
        square = self.base_sd_um**2 + (self.per_step_sd_um * steps) ** 2
        return math.sqrt(max(square + 2 * steps * self.covariance_um2, 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A median measured at a setting, and its standard deviation."""

    steps: float
    median_um: float
    sd_um: float


def prior_map(step_um: float | None) -> DialMap:
    """Return what is believed of a grinder by the travel of its burrs a step, um, if known."""
    per_step_um = PER_TRAVEL * (UNKNOWN_STEP_UM if step_um is None else step_um)
    # A travel that nobody knows may as well be half or twice of what is taken.
    share = PER_TRAVEL_SD if step_um is not None else 2 * PER_TRAVEL_SD
    return DialMap(
        base_um=BASE_UM,
        base_sd_um=BASE_SD_UM,
        per_step_um=per_step_um,
        per_step_sd_um=share * per_step_um,
    )


def fit_map(prior: DialMap, measured: Sequence[Measured]) -> DialMap:
    """Return what is believed after measured medians, one after the other, in closed form."""
    for one in measured:
        prior = _after(prior, one)
    return prior


def _after(prior: DialMap, one: Measured) -> DialMap:
    base, step, both = prior.base_sd_um**2, prior.per_step_sd_um**2, prior.covariance_um2
    of_base = base + both * one.steps
    of_step = both + step * one.steps
    whole = of_base + of_step * one.steps + one.sd_um**2
    off_um = one.median_um - prior.median_um(one.steps)
    return DialMap(
        base_um=prior.base_um + of_base / whole * off_um,
        base_sd_um=math.sqrt(max(base - of_base**2 / whole, 0.0)),
        per_step_um=prior.per_step_um + of_step / whole * off_um,
        per_step_sd_um=math.sqrt(max(step - of_step**2 / whole, 0.0)),
        covariance_um2=both - of_base * of_step / whole,
    )


def sieved(steps: float, passing: Sequence[tuple[float, float]]) -> Measured:
    """Return the median that sieves tell, from shares of the mass that passed each opening.

    Args:
        steps: the setting, steps from the zero.
        passing: opening, um, and the share that passed it, 0 to 1, in any order.

    Raises:
        ValueError: no sieve, a share that is none, or less passing a wider opening.
    """
    ordered = sorted(passing)
    shares = [share for _, share in ordered]
    if not ordered or shares != sorted(shares) or not 0 <= shares[0] <= shares[-1] <= 1:
        raise ValueError(f"shares passing must rise with the opening, from 0 to 1: {ordered}")
    pull = weight = 0.0
    for opening_um, share in ordered:
        ln_um = _ln_median(opening_um, share)
        up, down = (_passing(ln_um + d, opening_um) for d in (0.01, -0.01))
        slope = (down - up) / 0.02
        pull += ln_um * slope**2
        weight += slope**2
    ln_um = pull / weight
    sd = math.hypot(SIEVED_SD / math.sqrt(weight), FORM_SD)
    median_um = math.exp(ln_um)
    return Measured(steps=steps, median_um=median_um, sd_um=median_um * sd)


def _ln_median(opening_um: float, share: float) -> float:
    low, high = math.log(FINEST_UM), math.log(COARSEST_UM)
    for _ in range(40):
        middle = (low + high) / 2
        if _passing(middle, opening_um) > share:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _passing(ln_um: float, opening_um: float) -> float:
    return float(share_below(math.exp(ln_um), opening_um))
