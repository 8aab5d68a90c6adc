"""What a dripper holds: a bound by volume until a brew is simulated."""

import math
from dataclasses import dataclass

from halfclick.model.kit import Dripper, DripperShape

# Wet bed per g dry coffee, mL: loose bulk density about 0.35 to 0.40 g/mL (common practice, no
# source) and some swelling; on the high side, so that the bound errs to caution.
BED_ML_PER_G = 3.0
# What stays free below the rim: common practice, no source.
RIM_MARGIN_M = 0.01
# Beds thinner than this channel easily (from memory), thicker ones drain unevenly (our own
# default).
SHALLOW_M = 0.02
DEEP_M = 0.07
ML_PER_M3 = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class Inside:
    """A dripper's inside as a frustum, and whether it was measured or is typical of its shape."""

    top_m: float
    bottom_m: float
    height_m: float
    measured: bool


# Typical one-to-four-cup drippers of each shape, from memory; only a stand-in.
_TYPICAL = {
    DripperShape.STEEP_CONE: (0.115, 0.01, 0.09),
    DripperShape.FLAT_BOTTOM: (0.115, 0.045, 0.06),
    DripperShape.WEDGE: (0.11, 0.045, 0.075),
    DripperShape.THICK_PAPER_CONE: (0.13, 0.01, 0.13),
    DripperShape.IMMERSION: (0.115, 0.045, 0.09),
}


def inside_of(dripper: Dripper) -> Inside:
    """Return a dripper's inside: as measured where all three sizes are known, else typical."""
    if dripper.top_m and dripper.height_m and dripper.bottom_m is not None:
        return Inside(
            top_m=dripper.top_m,
            bottom_m=dripper.bottom_m,
            height_m=dripper.height_m,
            measured=True,
        )
    top_m, bottom_m, height_m = _TYPICAL[dripper.shape]
    return Inside(top_m=top_m, bottom_m=bottom_m, height_m=height_m, measured=False)


def volume_ml(inside: Inside, level_m: float) -> float:
    """Return the volume below a level, mL (closed form of a frustum).

    Raises:
        ValueError: the level is below the floor.
    """
    if level_m < 0:
        raise ValueError(f"level_m must not be negative, got {level_m}")
    low, high = inside.bottom_m / 2, _radius_m(inside, level_m)
    return math.pi * level_m / 3 * (low**2 + low * high + high**2) * ML_PER_M3


def level_m(inside: Inside, volume: float) -> float:
    """Return the level that a volume in mL reaches, m; at most twice the height."""
    low, high = 0.0, 2 * inside.height_m
    for _ in range(50):
        middle = (low + high) / 2
        if volume_ml(inside, middle) < volume:
            low = middle
        else:
            high = middle
    return high


def holds_ml(inside: Inside) -> float:
    """Return what a dripper holds below its rim margin, mL."""
    return volume_ml(inside, max(inside.height_m - RIM_MARGIN_M, 0.0))


def bed_depth_m(inside: Inside, dose_g: float) -> float:
    """Return how deep the wet bed of a dose stands, m."""
    return level_m(inside, dose_g * BED_ML_PER_G)


def _radius_m(inside: Inside, level: float) -> float:
    slope = (inside.top_m - inside.bottom_m) / 2 / inside.height_m
    return inside.bottom_m / 2 + slope * level
