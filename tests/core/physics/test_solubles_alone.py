"""A single brew is followed by matrices; many by sums over arrays. They are the same equations."""

import numpy as np
import pytest
from some_brews import FLAT, a_recipe, some_kits

from halfclick.physics.brew.extraction import (
    carried_of,
    grains_of,
    moments_of,
    parts_of,
    times_of,
    washing_of,
)
from halfclick.physics.brew.flow import run_course
from halfclick.physics.brew.solubles import follow
from halfclick.physics.brew.solubles_alone import follow_one

STEEP = a_recipe(pour_start_s=[0.0], pour_mass_g=[320.0], pour_rate_g_s=[8.0], open_s=121.3)


@pytest.mark.parametrize("recipe", [a_recipe(), a_recipe(dripper=FLAT, outlet_m2=2e-5), STEEP])
@pytest.mark.parametrize("seed", range(4))
def test_a_brew_alone_dissolves_as_it_does_among_many(seed, recipe):
    kits = some_kits(1, seed=seed, spread=0.6)
    course, grains = run_course(kits, recipe, step_s=1.0), grains_of(kits, recipe)
    washing = washing_of(kits, recipe, course, times_of(course))
    washing = washing.refined(parts_of(kits, grains, washing))
    given = (
        moments_of(kits, grains, washing),
        carried_of(kits, washing),
        np.broadcast_to(grains.soluble_g, (4, 5, 2, 1)),
        np.diff(washing.time_s),
    )
    for among, alone in zip(follow(*given), follow_one(*given), strict=True):
        np.testing.assert_allclose(alone, among, rtol=1e-10, atol=1e-12)
