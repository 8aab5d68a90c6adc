"""The simulation against scipy's solver at tight tolerance on the same equations."""

import numpy as np
import pytest
from reference_brew import brew_tightly
from some_brews import FLAT, a_recipe, some_kits, usual_kit

from halfclick.physics.brew.arrays import stack
from halfclick.physics.brew.simulate import simulate_pairs

RECIPES = {
    "a bloom and two pours on a cone": a_recipe(),
    "clock times between the steps": a_recipe(
        dose_g=15.0, pour_start_s=[0.0, 30.3, 61.7], pour_mass_g=[40.3, 100.0, 100.0], stirred=1.0
    ),
    "a flat bottom at its brim": a_recipe(dose_g=30.0, dripper=FLAT, outlet_m2=2e-5),
    "steeped, then let go": a_recipe(
        pour_start_s=[0.0], pour_mass_g=[320.0], pour_rate_g_s=[8.0], open_s=121.3
    ),
}


@pytest.mark.parametrize("name", RECIPES)
@pytest.mark.parametrize("seed", [None, 5])
def test_drained_time_and_extraction_are_those_of_a_tight_solution(name, seed):
    kits = usual_kit() if seed is None else some_kits(1, seed=seed)
    ours, tight = simulate_pairs(kits, RECIPES[name]), brew_tightly(kits, RECIPES[name])
    for which in ("bed_visible_s", "stream_breaks_s", "last_drop_s"):
        assert getattr(ours, which)[0] == pytest.approx(getattr(tight, which), abs=0.5)
    assert ours.extraction[0] == pytest.approx(tight.extraction, abs=0.0005)
    assert ours.beverage_g[0] == pytest.approx(tight.beverage_g, abs=0.05)
    assert ours.peak_level_m[0] == pytest.approx(tight.peak_level_m, abs=0.0005)


def test_half_the_step_divides_the_error_by_four_or_better():
    """Heun's method is of second order; errors of many brews are pooled, as single ones cancel."""
    kits = some_kits(40, seed=11, spread=0.4)
    recipes = stack([a_recipe(pour_start_s=[0.0, 45.0, 80.0], dose_g=18.0)] * 40)
    finest = simulate_pairs(kits, recipes, step_s=0.0625)
    errors = []
    for step_s in (2.0, 1.0, 0.5):
        here = simulate_pairs(kits, recipes, step_s=step_s)
        errors.append(float(np.sqrt(np.mean((here.last_drop_s - finest.last_drop_s) ** 2))))
    ratios = np.array(errors[:-1]) / errors[1:]
    assert np.all(ratios > 3.0), (errors, ratios)
    assert np.all(ratios < 6.0), (errors, ratios)
