"""Slips of a brew logged after the fact: what was read is mended, and the cup counts for less.

The recoveries are common practice, no source; each figure is worked by hand.
"""

import pytest
from brews_under_way import recipe
from hypothesis import given
from hypothesis import strategies as st

from halfclick.brewing.logged import LOGGED, SIZED, logged_slip, mended, slips_logged, weight_logged
from halfclick.errors import BadInput
from halfclick.model.brew import UNKNOWN, How, Poured, Reading, SlipKind

PLAN = recipe()


def measured(value):
    return UNKNOWN if value is None else Reading(value=value, sd=1.0, how=How.MEASURED)


def logged(*slips, dose_g=15.0, water_g=None, beverage_g=None, drained_s=None):
    """Return what is kept of the plan of 15 g and 240 g with (kind, size) slips."""
    told = tuple(logged_slip(kind, amount) for kind, amount in slips)
    planned = Reading(value=240.0, sd=5.0, how=How.PLANNED)
    poured = Poured(
        dose_g=Reading(value=dose_g, sd=0.1, how=How.PLANNED),
        water_g=planned if water_g is None else measured(water_g),
        bloom_g=Reading(value=45.0, sd=5.0, how=How.PLANNED),
        beverage_g=measured(beverage_g),
        drained_s=measured(drained_s),
    )
    return mended(poured, told, PLAN), told


@pytest.mark.parametrize(
    ("slip", "read_g", "true_g"),
    [
        ((SlipKind.UNTARED_DOSE, None), 255.0, 240.0),
        ((SlipKind.UNTARED_SERVER, 312.0), 552.0, 240.0),
        ((SlipKind.TARED_AFTER_BLOOM, 45.0), 195.0, 240.0),
    ],
)
def test_water_that_was_read_is_corrected_for_a_scale_that_read_wrong(slip, read_g, true_g):
    water = logged(slip, water_g=read_g)[0].water_g
    assert (water.value, water.how) == (true_g, How.CORRECTED)


def test_water_that_nobody_read_is_one_of_two_and_said_so():
    # 240 g where it was noticed in time, 225 where it was not.
    water = logged((SlipKind.UNTARED_DOSE, None))[0].water_g
    assert (water.value - water.sd, water.value + water.sd) == (225.0, 240.0)
    assert water.how is How.ESTIMATED


def test_a_tare_swallows_the_dose_that_was_not_tared():
    slips = ((SlipKind.UNTARED_DOSE, None), (SlipKind.TARED_AFTER_BLOOM, 30.0))
    poured = logged(*slips, water_g=210.0)[0]
    assert (poured.water_g.value, poured.bloom_g.value) == (240.0, 30.0)


def test_a_lost_total_is_found_from_the_drink_less_its_rinse_water():
    # 248 - 40 + 2.1 x 15
    slips = ((SlipKind.LOST_TOTAL, None), (SlipKind.RINSE_LEFT, 40.0))
    poured = logged(*slips, beverage_g=248.0)[0]
    assert (poured.water_g.value, poured.water_g.sd) == (239.5, 8.0)
    assert poured.bypass_g.value == 40.0
    assert logged(slips[0])[0].water_g.how is How.UNKNOWN


def test_water_added_to_the_cup_is_no_water_that_went_through_the_bed():
    # 238.5 with 30 added: 208.5 came through, 208.5 + 2.1 x 15 = 240.
    slips = ((SlipKind.LOST_TOTAL, None), (SlipKind.BYPASS, 30.0))
    for way in (slips, slips[::-1]):
        poured = logged(*way, beverage_g=238.5)[0]
        assert (poured.beverage_g.value, poured.beverage_g.how) == (208.5, How.CORRECTED)
        assert (poured.water_g.value, poured.water_g.sd) == (240.0, 8.0)
        assert poured.bypass_g.value == 30.0


def test_a_dose_that_was_not_tared_is_the_dose_that_was_weighed():
    # 20 g in place of the planned 15: the scale reads 20 too high.
    poured, slips = logged((SlipKind.UNTARED_DOSE, None), dose_g=20.0, water_g=260.0)
    assert poured.water_g.value == 240.0
    assert [one.amount for one in slips_logged(slips, poured, PLAN)] == [20.0]
    # A bloom of 45 or of 25 g.
    assert (poured.bloom_g.value, poured.bloom_g.sd) == (35.0, 10.0)


def test_a_late_clock_lengthens_the_time_and_a_lost_one_leaves_none():
    late = logged((SlipKind.LATE_CLOCK, 20.0), drained_s=130.0)[0].drained_s
    assert (late.value, late.how) == (150.0, How.CORRECTED)
    assert logged((SlipKind.LOST_CLOCK, None), drained_s=130.0)[0].drained_s.how is How.UNKNOWN


@pytest.mark.parametrize(
    ("water_g", "kinds"),
    [
        (243.0, []),
        (250.0, [SlipKind.OVERSHOOT]),
        (222.0, [SlipKind.UNDERSHOOT]),
        (None, []),
    ],
)
def test_too_much_or_too_little_water_is_told_by_the_water(water_g, kinds):
    poured, slips = logged(water_g=water_g)
    assert [one.kind for one in slips_logged(slips, poured, PLAN)] == kinds


@pytest.mark.parametrize("kind", LOGGED)
def test_every_slip_makes_a_cup_count_for_less(kind):
    poured, slips = logged((kind, 10.0), water_g=None)
    assert 0.0 < weight_logged(slips, poured, PLAN) < weight_logged((), poured, PLAN)


@pytest.mark.parametrize("amount", [None, 0.0, -3.0, 1e9])
@pytest.mark.parametrize("kind", [kind for kind in SIZED if kind is not SlipKind.RINSE_LEFT])
def test_a_size_that_is_missing_or_cannot_be_is_refused(kind, amount):
    with pytest.raises(BadInput):
        logged_slip(kind, amount)


def test_a_reading_below_what_stood_on_the_scale_is_refused():
    with pytest.raises(BadInput):
        logged((SlipKind.UNTARED_SERVER, 312.0), water_g=240.0)


@given(st.lists(st.sampled_from(LOGGED), min_size=2, max_size=2, unique=True), st.booleans())
def test_two_slips_in_either_order_are_mended_alike(kinds, read):
    told = [(kind, 20.0) for kind in kinds]
    given = {"water_g": 260.0, "beverage_g": 210.0, "drained_s": 150.0} if read else {}
    assert logged(*told, **given)[0] == logged(*reversed(told), **given)[0]
