"""What a dripper holds: its inside as a frustum, whose sections are stadiums in a wedge."""

from __future__ import annotations

import math
from dataclasses import dataclass

from halfclick.model.kit import Dripper, DripperShape
from halfclick.physics.liquid import Number

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


# A round hole with a sharp edge lets through so much of the ideal flow (from memory).
ORIFICE_CD = 0.6
# Steps of the safeguarded Newton; a bracket halved so often leaves nothing to find.
_STEPS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Inside:
    """A dripper's inside as a frustum, and whether it was measured or is typical of its shape.

    A section at a height is a stadium: so long and so wide, with half circles at the ends, both
    linear in the height. `top_m` and `bottom_m` are the longer sides; the widths, where none is
    given, are the same, and every section is a circle.
    """

    top_m: float
    bottom_m: float
    height_m: float
    measured: bool
    top_width_m: float | None = None
    bottom_width_m: float | None = None

    def __post_init__(self) -> None:
        top, bottom = self.widths_m
        if not (0 <= top <= self.top_m and 0 <= bottom <= self.bottom_m):
            raise ValueError(f"a section is wider than it is long: {self}")

    @property
    def widths_m(self) -> tuple[float, float]:
        """The width of the section at the rim and at the floor."""
        return (
            self.top_m if self.top_width_m is None else self.top_width_m,
            self.bottom_m if self.bottom_width_m is None else self.bottom_width_m,
        )


# Typical one-to-four-cup drippers of each shape, from memory; only a stand-in.
_TYPICAL = {
    DripperShape.STEEP_CONE: (0.115, 0.01, 0.09),
    DripperShape.FLAT_BOTTOM: (0.115, 0.045, 0.06),
    DripperShape.WEDGE: (0.11, 0.045, 0.075),
    DripperShape.THICK_PAPER_CONE: (0.13, 0.01, 0.13),
    DripperShape.IMMERSION: (0.115, 0.045, 0.09),
}


def inside_of(dripper: Dripper) -> Inside:
    """Return a dripper's inside: as measured where all three sizes are known, else typical.

    The bottom of a wedge whose slot was measured is that slot, below a round rim.
    """
    if dripper.top_m and dripper.height_m and dripper.bottom_m is not None:
        slot_m = dripper.bottom_length_m
        return Inside(
            top_m=dripper.top_m,
            bottom_m=max(dripper.bottom_m, slot_m or 0.0),
            height_m=dripper.height_m,
            measured=True,
            bottom_width_m=min(dripper.bottom_m, slot_m) if slot_m else None,
        )
    top_m, bottom_m, height_m = _TYPICAL[dripper.shape]
    return Inside(top_m=top_m, bottom_m=bottom_m, height_m=height_m, measured=False)


def section_coefficients(inside: Inside) -> tuple[float, float, float]:
    """Return v1, v2, v3 of V(h) = v1 h + v2 h^2 + v3 h^3, in m2, m and 1; V in m3, h in m.

    Exact: a stadium of length a and width b has the area a b - (1 - pi/4) b^2, quadratic in the
    height where both are linear in it.
    """
    top_width, bottom_width = inside.widths_m
    longer = (inside.top_m - inside.bottom_m) / inside.height_m
    wider = (top_width - bottom_width) / inside.height_m
    lost = 1.0 - math.pi / 4
    a, b = inside.bottom_m, bottom_width
    return (
        a * b - lost * b * b,
        (a * wider + b * longer - 2 * lost * b * wider) / 2,
        (longer * wider - lost * wider * wider) / 3,
    )


def volume_m3(coefficients: tuple[Number, Number, Number], level: Number) -> Number:
    """Return the volume below a level, m3, of the shape of its arguments (m; floats or arrays)."""
    v1, v2, v3 = coefficients
    return ((v3 * level + v2) * level + v1) * level


def area_m2(coefficients: tuple[Number, Number, Number], level: Number) -> Number:
    """Return the area of the section at a level, m2, of the shape of its arguments."""
    v1, v2, v3 = coefficients
    return (3.0 * v3 * level + 2.0 * v2) * level + v1


def level_of(
    coefficients: tuple[Number, Number, Number], volume: Number, highest_m: Number
) -> Number:
    """Return the level that a volume reaches, m, of the shape of its arguments.

    Newton from within a bracket that every step narrows, and its middle where Newton would leave
    it; a volume that does not fit stops at the highest level.

    Args:
        coefficients: of `section_coefficients`, floats or arrays of one entry a vessel.
        volume: m3; a negative one stands at the floor.
        highest_m: no level above this is asked for, m.
    """
    low, high = 0.0 * volume, highest_m + 0.0 * volume
    level = (low + high) / 2.0
    for _ in range(_STEPS):
        over = volume_m3(coefficients, level) - volume
        below = over < 0
        low = _pick(below, level, low)
        high = _pick(below, high, level)
        step = level - over / (area_m2(coefficients, level) + _NO_AREA_M2)
        inside = (step >= low) & (step <= high)
        level = _pick(inside, step, (low + high) / 2.0)
    return level


# Keeps Newton's step finite at the tip of a cone.
_NO_AREA_M2 = 1e-30


def _pick(condition: object, yes: Number, no: Number) -> Number:
    """Return one or the other, number by number, for floats and for arrays without a branch."""
    chosen: Number = condition * yes + (1.0 - condition) * no  # type: ignore[operator]
    return chosen


def volume_ml(inside: Inside, level_m: float) -> float:
    """Return the volume below a level, mL (closed form of a frustum).

    Raises:
        ValueError: the level is below the floor.
    """
    if level_m < 0:
        raise ValueError(f"level_m must not be negative, got {level_m}")
    return volume_m3(section_coefficients(inside), level_m) * ML_PER_M3


def level_m(inside: Inside, volume: float) -> float:
    """Return the level that a volume in mL reaches, m; at most twice the height."""
    return level_of(section_coefficients(inside), volume / ML_PER_M3, 2 * inside.height_m)


def free_height_m(inside: Inside, volume: float) -> float:
    """Return the height left to the rim above a volume in mL, m; negative where it spills."""
    return inside.height_m - level_m(inside, volume)


def wall_area_m2(inside: Inside, level: float) -> float:
    """Return the wall below a level without the floor, m2: where the paper lets water out.

    Exact for round sections (the lateral area of a frustum of a cone) and for any straight wall.
    A stadium's is the mean of its perimeters at both ends times the mean slant of its flat sides
    and its ends (an approximation, within 2 % of the integral for sizes that drippers have).
    """
    top_width, bottom_width = inside.widths_m
    share = level / inside.height_m
    length = inside.bottom_m + (inside.top_m - inside.bottom_m) * share
    width = bottom_width + (top_width - bottom_width) * share
    ends = math.hypot(level, (length - inside.bottom_m) / 2)
    flats = math.hypot(level, (width - bottom_width) / 2)
    flat_m = (length - width + inside.bottom_m - bottom_width) / 2
    round_m = (width + bottom_width) / 2 * math.pi
    # Around a half circle the slant runs from that of the flat side to that of the end.
    return 2 * flat_m * flats + round_m * (flats + ends) / 2


def outlet_m2(count: int, diameter_m: float) -> float:
    """Return the area that so many round holes let water through, with their discharge coefficient.

    Raises:
        ValueError: there is no hole.
    """
    if count < 1 or diameter_m <= 0:
        raise ValueError(f"no outlet: {count=} {diameter_m=}")
    return ORIFICE_CD * count * math.pi * diameter_m**2 / 4


def holds_ml(inside: Inside, margin_m: float = RIM_MARGIN_M) -> float:
    """Return what a dripper holds below its rim margin, mL."""
    return volume_ml(inside, max(inside.height_m - margin_m, 0.0))


def bed_depth_m(inside: Inside, dose_g: float) -> float:
    """Return how deep the wet bed of a dose stands, m."""
    return level_m(inside, dose_g * BED_ML_PER_G)
