"""A forecast moved to a plan nearby: at once, and near the whole forecast of that plan."""

from types import SimpleNamespace

import numpy as np
import pytest

from halfclick.model.recipe import Lever
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.foresee import foresee
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.levers import set_lever
from halfclick.service.moved import foresee_movable, moved_to
from halfclick.service.plan import next_plan, sized_for_dose
from halfclick.store.opening import open_store

# By which share of its band a moved middle may miss that of the whole forecast.
OF_A_BAND = 0.25


@pytest.fixture(scope="module")
def planned(tmp_path_factory, hand_clock):
    store = open_store(tmp_path_factory.mktemp("moved") / "journal.db", clock=hand_clock())
    set_up_kitchen(store, KitchenEntry(), clock=hand_clock())
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=hand_clock()).value
    recipe = next_plan(store, bag.id, today=hand_clock()().date()).recipe
    foreseen, middle = foresee_movable(store, recipe, bag.id)
    yield SimpleNamespace(
        kit=kit_in_use(store),
        recipe=recipe,
        middle=middle,
        whole=lambda other: foresee(store, other, bag.id, learned=foreseen.learned).expected,
    )
    store.close()


def assert_near(moved, whole):
    for name, (low, middle, high) in whole.bands.items():
        assert moved.bands[name][1] == pytest.approx(middle, abs=OF_A_BAND * (high - low)), name
    told = {one.from_s: one.strength for one in whole.fractions}
    for one in moved.fractions[:3]:
        low, middle, high = told[one.from_s]
        assert one.strength[1] == pytest.approx(middle, abs=OF_A_BAND * (high - low)), one.from_s


@pytest.mark.parametrize(
    ("lever", "value"),
    [
        (Lever.RATIO, 15.0),
        (Lever.RATIO, 18.0),
        (Lever.TEMPERATURE, 88.0),
        (Lever.POURS, 1.0),
        (Lever.POURS, 4.0),
        (Lever.POUR_RATE, 8.0),
        (Lever.BLOOM, 2.0),
    ],
)
def test_a_moved_lever_moves_the_bands_as_the_whole_forecast_does(planned, lever, value):
    other = set_lever(planned.recipe, planned.kit, lever, value)
    assert_near(moved_to(other, planned.middle), planned.whole(other))


def test_another_dose_moves_them_too(planned):
    other = sized_for_dose(planned.recipe, 20.0)
    assert_near(moved_to(other, planned.middle), planned.whole(other))


def test_the_same_plan_is_not_moved(planned):
    before, moved = planned.middle.expected, moved_to(planned.recipe, planned.middle)
    for name, band in before.bands.items():
        assert moved.bands[name] == pytest.approx(band), name
    assert moved.fractions == before.fractions
    for name in ("level_m", "weight_g", "slurry_c"):
        was = np.interp(moved.clock_s, before.clock_s, getattr(before, name).high)
        assert np.allclose(getattr(moved, name).high, was)
