"""What a measured strength says of a cup."""

from dataclasses import replace

import pytest

from halfclick.model.brew import UNKNOWN, How, Reading
from halfclick.model.recipe import Pour
from halfclick.physics.yields import Term
from halfclick.service.measured import doubts, measured
from halfclick.wording import open_wording


@pytest.fixture
def brew(coffee, cup):
    """Return a brew of 32 g, 500 g of water and 436 g in the cup, as a trade text has it."""
    made = cup(coffee("Any"), "20")
    read = {
        name: Reading(value=value, sd=1.0, how=How.MEASURED)
        for name, value in (("dose_g", 32.0), ("water_g", 500.0), ("beverage_g", 436.0))
    }
    return replace(made, poured=replace(made.poured, **read))


def test_extraction_of_a_weighed_drink(brew):
    """Mass balance by hand: 1.25 % of 436 g from 32 g is 17.03 %."""
    found = measured(brew, strength=0.0125, beverage_g=None)
    assert found.extraction == pytest.approx(0.17031, abs=1e-5)
    assert found.largest is Term.STRENGTH
    assert found.sd == pytest.approx(0.17031 * 0.0243, rel=0.02)


def test_the_dry_dose_where_its_moisture_is_known(brew):
    """20 % of a dose with 2 % of water is 20.41 % of the dry dose (by hand)."""
    found = measured(brew, strength=0.2 * 32 / 436, beverage_g=None, dose_moisture=0.02)
    assert found.is_dry
    assert found.extraction == pytest.approx(0.20408, abs=1e-5)


def test_a_drink_that_was_not_weighed_gives_a_rough_extraction(brew):
    unweighed = replace(brew, poured=replace(brew.poured, beverage_g=UNKNOWN))
    found = measured(unweighed, strength=0.014, beverage_g=None)
    assert found.extraction == pytest.approx(0.014 / 0.986 * (500 / 32 - 2.1), abs=1e-6)
    assert found.sd is None


def test_what_steeped_grounds_keep_is_as_strong_as_the_cup(brew):
    """Liang, Chan and Ristenpart (2021), equation 17: C/(1-C) W/D, whatever the drink weighs."""
    steeped = replace(brew, plan=replace(brew.plan, steep_s=240.0))
    found = measured(steeped, strength=0.0133, beverage_g=None)
    assert found.extraction == pytest.approx(0.0133 / 0.9867 * 500 / 32, abs=1e-6)
    # Half the cup is water that was added: before it, what left the grounds was twice as strong.
    half = Reading(value=218.0, sd=1.0, how=How.MEASURED)
    poured = replace(steeped.poured, bypass_g=half, beverage_g=half)
    found = measured(replace(steeped, poured=poured), strength=0.0133, beverage_g=None)
    assert found.extraction == pytest.approx(0.0266 / 0.9734 * 500 / 32, abs=1e-6)


def test_what_is_poured_through_after_a_steep_lies_between_the_two(brew):
    """By the balances of water and solids: the last drops water, half as strong, and as the cup."""
    plan = replace(
        brew.plan,
        steep_s=120.0,
        pours=(
            Pour(start_s=0.0, until_g=120.0, rate_g_s=8.0),
            Pour(start_s=150.0, until_g=brew.plan.water_g, rate_g_s=5.0),
        ),
    )
    found = measured(replace(brew, plan=plan), strength=0.0133, beverage_g=None)
    low, high = found.ends
    assert low == pytest.approx(0.0133 * 436 / 32, abs=1e-6)
    assert high == pytest.approx(0.0133 / 0.9867 * 500 / 32, abs=1e-6)
    assert low < found.extraction < high
    last = 0.0133 / 2
    solids_g = 436 * 0.0133 + (500 - 436 * (1 - 0.0133)) * last / (1 - last)
    assert found.extraction == pytest.approx(solids_g / 32, abs=1e-6)
    assert "between" in open_wording().sentence(found.message)


def test_no_strength_says_nothing(brew):
    assert measured(brew, strength=None, beverage_g=436.0) is None
    assert doubts(brew, strength=None, beverage_g=None) == ()


def test_what_cannot_be_is_said(brew):
    assert [one.code for one in doubts(brew, strength=0.03, beverage_g=None)] == [
        "yields.too_much_extracted"
    ]


def test_a_warm_sample_is_minded(brew):
    codes = [one.code for one in doubts(brew, strength=0.0125, beverage_g=None, sample_c=55.0)]
    assert codes == ["yields.sample_warm"]
