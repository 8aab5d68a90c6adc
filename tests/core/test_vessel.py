"""What a dripper holds, against the closed forms of cone and cylinder."""

import math
from dataclasses import replace
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.model.kit import Dripper, DripperShape
from halfclick.physics.vessel import (
    BED_ML_PER_G,
    RIM_MARGIN_M,
    Inside,
    bed_depth_m,
    holds_ml,
    inside_of,
    level_m,
    volume_ml,
)

SIZES_M = st.floats(0.02, 0.3)
SHARES = st.floats(0.0, 1.0)


@st.composite
def insides(draw):
    top_m = draw(SIZES_M)
    return Inside(
        top_m=top_m,
        bottom_m=top_m * draw(SHARES),
        height_m=draw(SIZES_M),
        measured=True,
    )


@given(SIZES_M, SIZES_M, SHARES)
def test_a_cone_filled_to_a_share_holds_the_cube_of_it(top_m, height_m, share):
    cone = Inside(top_m=top_m, bottom_m=0.0, height_m=height_m, measured=True)
    whole_ml = math.pi * (top_m / 2) ** 2 * height_m / 3 * 1e6
    assert volume_ml(cone, share * height_m) == pytest.approx(whole_ml * share**3, abs=1e-9)


@given(SIZES_M, SIZES_M, SHARES)
def test_a_cylinder_filled_to_a_share_holds_that_share(top_m, height_m, share):
    can = Inside(top_m=top_m, bottom_m=top_m, height_m=height_m, measured=True)
    whole_ml = math.pi * (top_m / 2) ** 2 * height_m * 1e6
    assert volume_ml(can, share * height_m) == pytest.approx(whole_ml * share, abs=1e-9)


@given(insides())
def test_a_frustum_is_a_cone_without_its_tip(inside):
    if inside.top_m - inside.bottom_m < 1e-3:
        return
    whole_m = inside.height_m * inside.top_m / (inside.top_m - inside.bottom_m)
    cone = Inside(top_m=inside.top_m, bottom_m=0.0, height_m=whole_m, measured=True)
    # Without a floor there is no tip, but for rounding.
    tip_ml = volume_ml(cone, max(whole_m - inside.height_m, 0.0))
    expected_ml = volume_ml(cone, whole_m) - tip_ml
    assert volume_ml(inside, inside.height_m) == pytest.approx(expected_ml, rel=1e-6)


@given(insides(), st.floats(0.01, 1.0))
def test_the_level_of_a_volume_is_where_that_volume_stands(inside, share):
    level = share * inside.height_m
    # A point has no width, so a little volume stands high in a cone: compare the volumes.
    volume = volume_ml(inside, level)
    assert volume_ml(inside, level_m(inside, volume)) == pytest.approx(volume, rel=1e-6)


@given(insides(), st.floats(1.0, 60.0), st.floats(1.0, 60.0))
def test_more_coffee_is_never_a_shallower_bed(inside, one_g, other_g):
    less_g, more_g = sorted((one_g, other_g))
    assert bed_depth_m(inside, less_g) <= bed_depth_m(inside, more_g)


def test_the_bed_of_a_cylinder_is_its_volume_over_its_floor():
    can = Inside(top_m=0.08, bottom_m=0.08, height_m=0.1, measured=True)
    floor_m2 = math.pi * 0.04**2
    assert bed_depth_m(can, 20.0) == pytest.approx(20.0 * BED_ML_PER_G / 1e6 / floor_m2)


def test_what_a_dripper_holds_leaves_the_margin_below_the_rim():
    can = Inside(top_m=0.08, bottom_m=0.08, height_m=0.1, measured=True)
    assert holds_ml(can) == volume_ml(can, 0.1 - RIM_MARGIN_M)


def test_a_dripper_lower_than_the_margin_holds_nothing():
    saucer = Inside(top_m=0.1, bottom_m=0.1, height_m=RIM_MARGIN_M / 2, measured=True)
    assert holds_ml(saucer) == 0.0


def test_a_level_below_the_floor_is_no_level():
    can = Inside(top_m=0.08, bottom_m=0.08, height_m=0.1, measured=True)
    with pytest.raises(ValueError, match="negative"):
        volume_ml(can, -0.01)


@pytest.mark.parametrize("shape", list(DripperShape))
def test_a_dripper_counts_as_measured_only_with_all_three_sizes(shape):
    sizes = {"top_m": 0.1, "bottom_m": 0.02, "height_m": 0.09}
    whole = Dripper(id=uuid4(), name="Dripper", shape=shape, **sizes)
    assert inside_of(whole) == Inside(**sizes, measured=True)
    for missing in sizes:
        part = Dripper(id=uuid4(), name="Dripper", shape=shape, **{**sizes, missing: None})
        assert not inside_of(part).measured


def test_a_cone_that_ends_in_a_point_is_measured_too():
    dripper = Dripper(
        id=uuid4(),
        name="Dripper",
        shape=DripperShape.STEEP_CONE,
        top_m=0.1,
        bottom_m=0.0,
        height_m=0.09,
    )
    assert inside_of(dripper).measured


def test_a_wedge_stands_on_the_slot_that_was_measured():
    """By Simpson's rule, exact for sections of second degree: rim, half way and slot."""
    wedge = Dripper(
        id=uuid4(),
        name="wedge",
        shape=DripperShape.WEDGE,
        top_m=0.11,
        height_m=0.08,
        bottom_m=0.02,
        bottom_length_m=0.05,
    )

    def section_m2(length_m: float, width_m: float) -> float:
        return (length_m - width_m) * width_m + math.pi * width_m**2 / 4

    ends = section_m2(0.05, 0.02) + 4 * section_m2(0.08, 0.065) + section_m2(0.11, 0.11)
    whole_ml = ends * 0.08 / 6 * 1e6
    assert volume_ml(inside_of(wedge), 0.08) == pytest.approx(whole_ml, rel=1e-12)
    # A round floor as wide as the slot is long holds more, and one as narrow as it is wide less.
    for bottom_m, more in ((0.05, True), (0.02, False)):
        plain = replace(wedge, bottom_m=bottom_m, bottom_length_m=None)
        assert (volume_ml(inside_of(plain), 0.08) > whole_ml) is more
