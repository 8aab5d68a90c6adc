"""What the learner believes before any cup, beside what the simulation says of the same change.

The learner's form is not the simulation, but its beliefs of a grinder, a ratio and the water are to
be those of the physics, whose constants have published sources (`physics/brew/priors.py`).

Axes: n draws, c changed brews.
"""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from some_brews import a_recipe

from halfclick.dialling.forward import Brews, cups_of
from halfclick.dialling.request import Context, Dial, Settings
from halfclick.dialling.unknowns import NAMES, UNKNOWNS, draws_of
from halfclick.physics.brew.priors import MIDDLE_STEPS, kits_at
from halfclick.physics.brew.priors import NAMES as CONSTANTS
from halfclick.physics.brew.simulate import simulate

DOSE_G = 20.0
CONTEXT = Context(
    dial=Dial(min=0, max=40, step=1),
    start=Settings(setting=20),
    dose_g=DOSE_G,
    dripper="steep cone",
)
SPAN = next(one.middle for one in UNKNOWNS if one.name == "size_span")  # sizes over the dial


RATE_G_S = 5.0
REST_S = 9.0  # from the end of a pour to the next


@cache
def simulated(
    size: float = 1.0, ratio: float = 16.0, water_c: float = 94.0, rate_g_s: float = RATE_G_S
):
    """Return extraction, in points, and drained times, s, of kits that grind alike, each (n,)."""
    normals = np.random.default_rng(3).standard_normal((80, len(CONSTANTS)))
    normals[:, CONSTANTS.index("size_um")] = 0.0
    kits = kits_at(normals)
    at_setting_um = kits.base_um + kits.per_step_um * MIDDLE_STEPS
    kits = replace(kits, base_um=at_setting_um * size - kits.per_step_um * MIDDLE_STEPS)
    rest_g = DOSE_G * (ratio - 3.0) / 2
    recipe = a_recipe(
        pour_mass_g=[3.0 * DOSE_G, rest_g, rest_g],
        pour_start_s=[0.0, 45.0, 45.0 + rest_g / rate_g_s + REST_S],
        pour_rate_g_s=[rate_g_s] * 3,
        kettle_c=water_c,
    )
    brews = simulate(kits, recipe)
    return np.ravel(brews.extraction) * 100.0, np.ravel(brews.last_drop_s)


@cache
def believed(
    size: float = 1.0, ratio: float = 16.0, water_c: float = 94.0, rate_g_s: float = RATE_G_S
):
    """Return the same of draws of the learner."""
    normals = np.random.default_rng(4).standard_normal((2000, len(NAMES)))
    for name in ("size", "size_span"):
        normals[:, NAMES.index(name)] = 0.0
    row = np.array([[(size - 1.0) / SPAN, ratio, water_c, rate_g_s, 3.0, 45.0, 0.0]])
    cups = cups_of(draws_of(normals), Brews(row, CONTEXT, 0.0))
    return (cups.strength * cups.beverage_g / DOSE_G)[:, 0], np.exp(cups.log_time[:, 0])


RATES = [{"rate_g_s": 2.5}, {"rate_g_s": 3.5}, {"rate_g_s": 7.0}, {"rate_g_s": 9.0}]
SIZES = [{"size": 0.65}, {"size": 0.85}, {"size": 1.15}, {"size": 1.3}, {"size": 1.45}]


@pytest.mark.parametrize(
    "changed",
    [*SIZES, *RATES, {"ratio": 13.5}, {"ratio": 18.0}, {"water_c": 88.0}, {"water_c": 98.0}],
)
def test_bands_of_what_a_change_draws_out_hold_what_the_simulation_says(changed):
    gains = believed(**changed)[0] - believed()[0]
    low, high = np.quantile(gains, (0.1, 0.9))
    assert low <= np.median(simulated(**changed)[0] - simulated()[0]) <= high


@pytest.mark.parametrize("changed", [*SIZES, *RATES])
def test_what_another_size_or_pour_draws_out_is_believed_as_the_simulation_has_it(changed):
    """The grind moves more than all other levers, and the pour which way a cup goes: their
    middles too are those of the physics.
    """
    simulation = simulated(**changed)[0] - simulated()[0]
    low, high = np.quantile(simulation, (0.1, 0.9))
    assert low <= np.median(believed(**changed)[0] - believed()[0]) <= high


@pytest.mark.parametrize("changed", [{"size": 0.75}, {"size": 1.3}, {"water_c": 88.0}])
def test_the_clock_of_a_change_is_believed_as_the_simulation_has_it(changed):
    slower = np.log(believed(**changed)[1] / believed()[1])
    simulation = np.log(simulated(**changed)[1] / simulated()[1])
    low, high = np.quantile(simulation, (0.1, 0.9))
    assert low <= np.median(slower) <= high


def test_the_usual_cup_is_drawn_out_as_far_as_the_simulation_has_it():
    assert np.median(believed()[0]) == pytest.approx(np.median(simulated()[0]), abs=1.5)
