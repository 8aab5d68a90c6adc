"""The inside of a dripper by its sections, against closed forms and scipy's quadrature."""

import math

import fluids
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from halfclick.physics.vessel import (
    Inside,
    area_m2,
    free_height_m,
    level_m,
    level_of,
    outlet_m2,
    section_coefficients,
    volume_m3,
    volume_ml,
    wall_area_m2,
)

CONE = Inside(top_m=0.115, bottom_m=0.0, height_m=0.09, measured=True)
FRUSTUM = Inside(top_m=0.115, bottom_m=0.045, height_m=0.06, measured=True)
CYLINDER = Inside(top_m=0.06, bottom_m=0.06, height_m=0.1, measured=True)
WEDGE = Inside(
    top_m=0.11, bottom_m=0.045, height_m=0.075, measured=True, top_width_m=0.1, bottom_width_m=0.005
)
ALL = (CONE, FRUSTUM, CYLINDER, WEDGE)


def section(inside, level):
    share = level / inside.height_m
    top, bottom = inside.widths_m
    length = inside.bottom_m + (inside.top_m - inside.bottom_m) * share
    return length, bottom + (top - bottom) * share


@pytest.mark.parametrize(
    ("inside", "volume"),
    [
        (CONE, math.pi / 12 * 0.115**2 * 0.09),
        (CYLINDER, math.pi / 4 * 0.06**2 * 0.1),
        (FRUSTUM, math.pi * 0.06 / 12 * (0.115**2 + 0.115 * 0.045 + 0.045**2)),
    ],
)
def test_round_vessels_hold_what_the_handbook_says(inside, volume):
    assert volume_ml(inside, inside.height_m) == pytest.approx(volume * 1e6, rel=1e-12)


@pytest.mark.parametrize("inside", ALL)
@pytest.mark.parametrize("share", [0.1, 0.5, 1.0])
def test_a_volume_is_the_integral_of_its_sections(inside, share):
    """scipy.integrate.quad over the area of a stadium: a rectangle and a circle."""

    def area(level):
        length, width = section(inside, level)
        return (length - width) * width + math.pi * width**2 / 4

    level = share * inside.height_m
    coefficients = section_coefficients(inside)
    assert volume_m3(coefficients, level) == pytest.approx(quad(area, 0, level)[0], rel=1e-9)
    assert area_m2(coefficients, level) == pytest.approx(area(level), rel=1e-12)


@given(st.sampled_from(ALL), st.floats(0.001, 1.0))
def test_the_level_of_the_volume_of_a_level_is_the_level(inside, share):
    level = share * inside.height_m
    assert level_m(inside, volume_ml(inside, level)) == pytest.approx(level, rel=1e-9)


def test_arrays_of_vessels_find_their_levels_at_once():
    coefficients = tuple(np.array(one) for one in zip(*map(section_coefficients, ALL), strict=True))
    heights = np.array([one.height_m for one in ALL])
    volumes = volume_m3(coefficients, 0.7 * heights)  # (4,)
    assert level_of(coefficients, volumes, heights) == pytest.approx(0.7 * heights, rel=1e-9)


@given(st.sampled_from(ALL), st.floats(0, 300), st.floats(0, 100))
def test_more_water_leaves_less_height_to_the_rim(inside, volume, more):
    assert free_height_m(inside, volume + more) <= free_height_m(inside, volume) + 1e-12


@pytest.mark.parametrize("inside", [CONE, FRUSTUM, CYLINDER])
def test_a_round_wall_is_the_lateral_area_of_a_frustum(inside):
    low, high = inside.bottom_m / 2, inside.top_m / 2
    exact = math.pi * (low + high) * math.hypot(high - low, inside.height_m)
    assert wall_area_m2(inside, inside.height_m) == pytest.approx(exact, rel=1e-12)


@pytest.mark.parametrize("share", [0.3, 1.0])
def test_a_wedges_wall_is_near_the_integral_over_its_slants(share):
    """Twice scipy.integrate.quad: around the section's quarter, up the height."""
    level = share * WEDGE.height_m
    longer = (WEDGE.top_m - WEDGE.bottom_m) / 2 / WEDGE.height_m
    wider = (WEDGE.widths_m[0] - WEDGE.widths_m[1]) / 2 / WEDGE.height_m

    def around(height):
        length, width = section(WEDGE, height)

        def ends(angle):  # the outward move of a stadium's end, a rise of one
            outward = (longer - wider) * math.cos(angle) + wider
            return math.hypot(1, outward) * width / 2

        flat = (length - width) * 2 * math.hypot(1, wider)
        return flat + 4 * quad(ends, 0, math.pi / 2)[0]

    assert wall_area_m2(WEDGE, level) == pytest.approx(quad(around, 0, level)[0], rel=0.02)


def test_three_holes_of_three_millimetres_let_out_ten_millilitres_a_second():
    """fluids' orifice: the ideal flow of a plate in a wide pipe, times the coefficient."""
    ours = outlet_m2(3, 0.003) * math.sqrt(2 * 9.80665 * 0.03)
    assert ours * 1e6 == pytest.approx(10, abs=0.3)
    theirs = 3 * fluids.flow_meter_discharge(
        D=1.0, Do=0.003, P1=962.6 * 9.80665 * 0.03, P2=0.0, rho=962.6, C=0.6
    )
    assert ours * 962.6 == pytest.approx(theirs, rel=1e-3)


def test_a_section_is_never_wider_than_long():
    with pytest.raises(ValueError, match="wider"):
        Inside(top_m=0.1, bottom_m=0.0, height_m=0.1, measured=True, top_width_m=0.2)
