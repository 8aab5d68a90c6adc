"""One lever typed into a plan: what it makes of the recipe, and what is refused."""

import pytest

from halfclick.errors import BadInput
from halfclick.model.recipe import Lever, Recipe, even_pours
from halfclick.service.levers import set_lever

RECIPE = Recipe(dose_g=15.0, water_g=240.0, pours=even_pours(15.0, 240.0), temperature_c=93.0)


@pytest.fixture
def moved(kit):
    return lambda lever, value: set_lever(RECIPE, kit(), lever, value)


def test_a_ratio_moves_the_water_and_holds_the_dose(moved):
    recipe = moved(Lever.RATIO, 17.0)
    assert (recipe.dose_g, recipe.water_g) == (15.0, 255.0)


def test_each_other_lever_moves_itself_alone(moved):
    assert moved(Lever.TEMPERATURE, 95.0).temperature_c == 95.0
    assert len(moved(Lever.POURS, 3.0).pours) == 4
    assert {pour.rate_g_s for pour in moved(Lever.POUR_RATE, 4.0).pours} == {4.0}
    assert moved(Lever.BLOOM, 2.0).bloom_g == 30.0


@pytest.mark.parametrize(
    ("lever", "value", "code"),
    [
        (Lever.RATIO, 3.0, "plan.bad_ratio"),
        (Lever.RATIO, 60.5, "plan.bad_ratio"),
        (Lever.TEMPERATURE, 39.9, "plan.bad_temperature"),
        # Water boils at 100 degrees at sea level, where this kitchen lies.
        (Lever.TEMPERATURE, 100.5, "plan.bad_temperature"),
        (Lever.POURS, 2.5, "plan.part_of_a_pour"),
        (Lever.POUR_RATE, 0.5, "plan.bad_rate"),
        (Lever.BLOOM, 6.0, "plan.bad_bloom"),
    ],
)
def test_what_cannot_be_poured_is_refused(moved, lever, value, code):
    with pytest.raises(BadInput) as refused:
        moved(lever, value)
    assert refused.value.code == code


def test_a_setting_is_no_number(moved):
    with pytest.raises(ValueError, match="dial"):
        moved(Lever.GRIND, 18.0)
