"""What a forecast says of a plan: words, cautions at the rim, and a picture by the clock."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from flat_dripper import flat_kitchen, recipe_of

from halfclick.model.brew import Brew
from halfclick.model.forecast import Forecast
from halfclick.model.moves import with_pour_count
from halfclick.model.recipe import Recipe, even_pours
from halfclick.service.expected import bed_depth_m, picture_of, rests_on, rim_messages, rows_of
from halfclick.service.forecast import Fraction
from halfclick.service.foresee import foresee
from halfclick.service.guide import begin, finish
from halfclick.service.kitchens import kit_in_use
from halfclick.service.plan import (
    next_plan,
)
from halfclick.service.plan_check import check_plan
from halfclick.service.record import BrewEntry, record_brew


@pytest.fixture(scope="module")
def flat(tmp_path_factory, hand_clock):
    """A new user's flat-bottom dripper, measured, and forecasts of three doses on it."""
    store, bag = flat_kitchen(tmp_path_factory.mktemp("flat"), hand_clock)
    foreseen = foresee(store, recipe_of(15.0), bag.id)
    learned = foreseen.learned
    large = foresee(store, recipe_of(30.0), bag.id, learned=learned).expected
    middling = foresee(store, recipe_of(20.0), bag.id, learned=learned).expected
    yield SimpleNamespace(
        kit=kit_in_use(store),
        learned=learned,
        small=foreseen.expected,
        middling=middling,
        large=large,
        again=lambda recipe: foresee(store, recipe, bag.id, learned=learned).expected,
    )
    store.close()


def codes_of(messages):
    return [one.code for one in messages]


def test_a_band_is_said_with_its_middle(flat, words):
    expected = replace(
        flat.small,
        brews=12,
        bands={
            "time_s": (184.0, 201.0, 219.0),
            "beverage_g": (204.2, 208.0, 213.4),
            "strength": (0.0121, 0.0134, 0.0148),
            "extraction": (0.182, 0.201, 0.221),
            "spread": (0.04, 0.071, 0.12),
            "free_height_m": (0.012, 0.018, 0.023),
        },
        fractions=(
            Fraction(from_s=30.0, strength=(0.03, 0.041, 0.05)),
            Fraction(from_s=60.0, strength=(0.01, 0.0203, 0.03)),
            Fraction(from_s=120.0, strength=(0.004, 0.0058, 0.008)),
        ),
    )
    said = {row.name: words.sentence(row.message) for row in rows_of(expected)}
    assert said == {
        "time_s": "3:05 to 3:40, most likely 3:20",
        "beverage_g": "204 g to 213 g, most likely 208 g".replace(" g", "\N{NO-BREAK SPACE}g"),
        "strength": "1.21 % to 1.48 %, most likely 1.34 %".replace(" %", "\N{NO-BREAK SPACE}%"),
        "extraction": "18 % to 22 %, most likely 20 %".replace(" %", "\N{NO-BREAK SPACE}%"),
        "spread": "4 % to 12 % of the dose between the most and the least washed part".replace(
            " %", "\N{NO-BREAK SPACE}%"
        ),
        "fractions": "4.1 %, 2 %, none, 0.6 %, from 0:30 on".replace(" %", "\N{NO-BREAK SPACE}%"),
        "free_height_m": "12 to 23 mm, most likely 18 mm",
    }
    assert "From 12 of your brews" in words.sentence(rests_on(expected))
    assert "no brew" in words.sentence(rests_on(flat.small))


def test_a_large_dose_may_spill_and_the_caution_says_which_pour_and_how_much(flat, words):
    said = check_plan(recipe_of(30.0), flat.kit, expected=flat.large)
    assert "expected.spills" in codes_of(said)
    spills = next(one for one in said if one.code == "expected.spills")
    assert spills.values["number"] in {2, 3}
    assert spills.values["until_g"] == recipe_of(30.0).pours[spills.values["number"] - 1].until_g
    assert spills.values["spills_share"] == flat.large.overflows_share
    assert "smaller dose" in words.sentence(spills)


def test_what_comes_within_a_centimetre_is_said_in_millimetres(flat, words):
    low_m = flat.middling.bands["free_height_m"][0]
    assert 0 < low_m < 0.01
    said = rim_messages(flat.middling, recipe_of(20.0), flat.kit)
    assert codes_of(said) == ["expected.near_rim"]
    assert f"within {round(low_m * 1000)} mm of the rim" in words.sentence(said[0])


def test_what_fits_gets_no_caution(flat):
    assert rim_messages(flat.small, recipe_of(15.0), flat.kit) == []


def test_more_may_be_kept_free_below_the_rim(flat):
    codes = codes_of(rim_messages(flat.small, recipe_of(15.0), flat.kit, 0.025))
    assert codes == ["expected.near_rim"]
    bound = check_plan(recipe_of(15.0), flat.kit, margin_m=0.025)
    assert "plan.near_rim" in codes_of(bound)
    assert "plan.near_rim" not in codes_of(check_plan(recipe_of(15.0), flat.kit))


def test_a_bed_of_twenty_millimetres_is_not_called_only_that(flat):
    enough = replace(flat.small, level_m=replace(flat.small.level_m, middle=[0.0197]))
    assert check_plan(recipe_of(15.0), flat.kit, expected=enough) == ()


def test_the_forecast_takes_the_place_of_the_bound(flat):
    codes = codes_of(check_plan(recipe_of(30.0), flat.kit, expected=flat.large))
    assert not [code for code in codes if code.startswith("plan.near_rim")]
    # Before it is there, the bound speaks.
    assert "plan.near_rim" in codes_of(check_plan(with_pour_count(recipe_of(30.0), 1), flat.kit))


def test_the_bed_is_as_deep_as_the_forecast_has_it(flat):
    shallow = replace(flat.small, level_m=replace(flat.small.level_m, middle=[0.012]))
    deep = replace(flat.small, level_m=replace(flat.small.level_m, middle=[0.085]))
    assert codes_of(check_plan(recipe_of(15.0), flat.kit, expected=shallow)) == ["plan.bed_shallow"]
    assert codes_of(check_plan(recipe_of(15.0), flat.kit, expected=deep)) == ["plan.bed_deep"]
    assert bed_depth_m(flat.small) < bed_depth_m(flat.large)


def test_an_unmeasured_dripper_asks_to_be_measured(flat):
    unmeasured = replace(flat.kit, dripper=replace(flat.kit.dripper, top_m=None))
    codes = codes_of(rim_messages(flat.large, recipe_of(30.0), unmeasured))
    assert codes == ["expected.spills", "expected.typical_dripper"]


def test_before_any_brew_a_setting_tells_nothing(flat):
    with_setting = replace(recipe_of(15.0), setting=None)
    assert flat.again(with_setting).bands == flat.small.bands


def test_a_picture_holds_the_curves_as_far_as_most_brews_run(flat, words):
    picture = picture_of(flat.small, recipe_of(15.0))
    level, weight, running, slurry = picture.strips
    assert {len(one.middle) for one in picture.strips} == {len(picture.clock_s)}
    assert len(picture.clock_s) <= 330
    assert (level.limit, level.unit) == (pytest.approx(60.0), "mm")
    assert weight.middle[0] == 0.0
    assert weight.middle[-1] > 150.0
    assert slurry.bottom > 20.0
    by_half_minute = [one.strength[1] for one in flat.small.fractions]
    assert by_half_minute[0] > 2 * by_half_minute[-1]
    assert running.top >= max(by_half_minute)
    at = [round(time_s) for time_s in picture.clock_s].index(90)
    told = next(one for one in flat.small.fractions if one.from_s == 90.0)
    assert (running.low[at], running.middle[at], running.high[at]) == told.strength
    # Its line ends with what runs: strength 0 would be water.
    assert all(middle > 0.0 for middle in running.middle[: running.ends])
    assert not any(running.middle[running.ends :])
    for one in picture.strips:
        for low, middle, high in zip(one.low, one.middle, one.high, strict=True):
            assert one.bottom <= low <= middle <= high <= one.top
    assert "the rim is at 60 mm" in words.sentence(picture.summary)


@pytest.mark.parametrize(("dose_g", "ratio"), [(1.0, 40.0), (500.0, 3.5)])
def test_the_smallest_and_the_largest_plan_have_a_forecast(flat, dose_g, ratio):
    water_g = dose_g * ratio
    pours = even_pours(dose_g, water_g, bloom_multiple=1.0)
    recipe = Recipe(dose_g=dose_g, water_g=water_g, pours=pours)
    picture_of(flat.again(recipe), recipe)


def test_what_was_expected_is_kept_with_the_brew(flat, store, clock, coffee, kit):
    bag = coffee("Tarn Hollow")
    planned = next_plan(store, bag.id, today=clock().date())
    brew = record_brew(
        store, BrewEntry(planned=planned), kit(), clock=clock, expected=flat.small
    ).value
    with store.reading() as r:
        (kept,) = r.all(Forecast, brew_id=brew.id)
    assert kept.bands["time_s"] == flat.small.bands["time_s"]
    assert kept.brews_behind == 0


def test_a_brew_led_by_the_guide_keeps_it_too_and_one_without_keeps_none(
    flat, store, clock, coffee, kit
):
    bag = coffee("Tarn Hollow")
    planned = next_plan(store, bag.id, today=clock().date())
    for expected in (flat.small, None):
        begun = begin(store, planned, kit(), clock=clock).value
        brew = finish(store, begun.id, clock=clock, expected=expected).value
        with store.reading() as r:
            assert len(r.all(Forecast, brew_id=brew.id)) == (expected is not None)


def test_a_brew_is_kept_whatever_was_said_of_it(flat, store, clock, coffee, kit):
    bag = coffee("Tarn Hollow")
    planned = next_plan(store, bag.id, today=clock().date())
    broken = replace(flat.small, bands={"time_s": (float("nan"),) * 3})
    brew = record_brew(store, BrewEntry(planned=planned), kit(), clock=clock, expected=broken).value
    with store.reading() as r:
        assert r.get(Brew, brew.id) == brew
        assert r.all(Forecast, brew_id=brew.id) == []
