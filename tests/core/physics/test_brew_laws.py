"""What holds of every simulated brew, whatever the kit and the recipe."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from some_brews import CONE, FLAT, a_recipe, some_kits, usual_kit

from halfclick.physics.brew.arrays import stack
from halfclick.physics.brew.extraction import draw, grains_of
from halfclick.physics.brew.flow import WATER_J_G_K, run_course
from halfclick.physics.brew.simulate import Outcome, follow, simulate, simulate_pairs
from halfclick.physics.yields import equilibrium_strength

seeds = st.integers(0, 10_000)
doses_g = st.floats(8.0, 45.0)
ratios = st.floats(11.0, 19.0)
temperatures_c = st.floats(78.0, 98.0)
drippers = st.sampled_from([CONE, FLAT])


def poured(dose_g: float, ratio: float, **changes: object):
    bloom_g = 3.0 * dose_g
    rest_g = (ratio * dose_g - bloom_g) / 2
    return a_recipe(dose_g=dose_g, pour_mass_g=[bloom_g, rest_g, rest_g], **changes)


@settings(max_examples=12, deadline=None)
@given(seeds, doses_g, ratios, drippers)
def test_water_heat_and_solubles_are_kept(seed, dose_g, ratio, dripper):
    kits = some_kits(1, seed=seed)
    recipe = poured(dose_g, ratio, dripper=dripper, stirred=float(seed % 2))
    course = run_course(kits, recipe, step_s=1.0)
    bed, feed = course.bed, course.feed
    held_g = bed.held_g * feed.wet_share
    told_g = course.out_g + course.past_g + course.drunk_g + held_g + course.free_g
    np.testing.assert_allclose(told_g[1:], feed.poured_g[1:], rtol=1e-6)
    warm_j = WATER_J_G_K * feed.into_g_s * (feed.water_c[1:] + feed.water_c[:-1]) / 2
    came_j = np.cumsum(warm_j * feed.step_s[:, None], axis=0)
    kept_j = course.heat_j + course.drink_j + course.shed_j - course.heat_j[0]
    np.testing.assert_allclose(kept_j[1:], came_j, rtol=1e-6)
    drawn = draw(kits, recipe, course)
    at_first_g = grains_of(kits, recipe).soluble_g.sum() * 10
    left_g = drawn.left_g.sum() + drawn.bed_g.sum() + drawn.pond_g[-1].sum()
    assert drawn.cup_g[-1].sum() + left_g == pytest.approx(at_first_g, rel=1e-6)


@settings(max_examples=12, deadline=None)
@given(seeds, doses_g, temperatures_c, drippers)
def test_finer_never_drains_faster(seed, dose_g, kettle_c, dripper):
    recipe = poured(dose_g, 16.0, kettle_c=kettle_c, dripper=dripper)
    finer_first = stack([replace(recipe, steps=np.array([n])) for n in (6.0, 12.0, 18.0, 30.0)])
    out = simulate(some_kits(1, seed=seed), finer_first)
    for which in ("bed_visible_s", "stream_breaks_s", "last_drop_s"):
        assert np.all(np.diff(getattr(out, which)[0]) <= 0.05), which


@settings(max_examples=12, deadline=None)
@given(seeds, doses_g, st.floats(60.0, 400.0))
def test_hotter_never_extracts_less_at_equal_contact_time(seed, dose_g, steeped_s):
    """Steeped, and seen as the valve opens, so that flow does not change the time."""
    kits = some_kits(1, seed=seed)
    steeps = [
        a_recipe(
            dose_g=dose_g,
            pour_start_s=[0.0],
            pour_mass_g=[15 * dose_g],
            pour_rate_g_s=[10.0],
            open_s=1000.0,
            kettle_c=kettle_c,
        )
        for kettle_c in (75.0, 85.0, 95.0)
    ]
    dissolved = []
    for recipe in steeps:
        course = run_course(kits, recipe, step_s=1.0)
        drawn = draw(kits, recipe, course.take(np.array([0]), int(steeped_s)))
        dissolved.append(grains_of(kits, recipe).soluble_g.sum() * 10 - drawn.left_g.sum())
    assert dissolved[0] <= dissolved[1] + 1e-9
    assert dissolved[1] <= dissolved[2] + 1e-9


@settings(max_examples=12, deadline=None)
@given(seeds, doses_g, drippers)
def test_more_water_at_equal_grind_never_raises_strength(seed, dose_g, dripper):
    recipes = stack([poured(dose_g, ratio, dripper=dripper) for ratio in (12.0, 14.0, 16.0, 18.0)])
    assert np.all(np.diff(simulate(some_kits(1, seed=seed), recipes).strength[0]) <= 1e-6)


@pytest.mark.parametrize("ratio", [6.0, 16.0])
def test_a_long_hot_steep_comes_to_the_equilibrium_formula(ratio):
    """Liang, Chan and Ristenpart (2021), equation 11: strength KE / (R + KE), whatever the ratio.

    Kept hot, so that nothing but time is asked; KE is the soluble share.
    """
    kits = replace(usual_kit(), slurry_loss_w_k=np.array([1e-9]), dripper_w_k=np.array([1e-9]))
    recipe = a_recipe(
        dose_g=20.0,
        pour_start_s=[0.0],
        pour_mass_g=[ratio * 20.0],
        pour_rate_g_s=[10.0],
        open_s=7200.0,
        kettle_c=95.0,
        volume_1=0.01,
    )
    out = simulate_pairs(kits, recipe)
    size_um = float(kits.base_um[0] + kits.per_step_um[0] * 20.0)
    share = float(kits.soluble_share[0] * (1 - kits.soluble_fall[0] * np.log(size_um / 700.0)))
    course = run_course(kits, recipe, step_s=1.0)
    drawn = draw(kits, recipe, course.take(np.array([0]), 7200))
    in_pond = drawn.pond_g[-1, 0]
    pond_water_g = max(course.free_g[7199, 0] - course.bed.pore_g[0], 0.0)
    strength = in_pond / (pond_water_g + in_pond)
    assert strength == pytest.approx(equilibrium_strength(share, ratio), rel=0.02)
    assert out.extraction[0] < share


@settings(max_examples=12, deadline=None)
@given(seeds, doses_g, drippers)
def test_half_minutes_add_up_to_the_cup_and_grow_weaker(seed, dose_g, dripper):
    kits, recipe = some_kits(1, seed=seed), poured(dose_g, 16.0, dripper=dripper)
    out, curves = follow(kits, recipe)
    edges_s = np.arange(0.0, curves.time_s[-1] + 30.0, 30.0)
    drink_g = np.diff(np.interp(edges_s, curves.time_s, curves.cup_g[:, 0]))
    strength = out.fraction_strength[0]
    solids_g = np.nansum(strength * drink_g[: len(strength)])
    # Half minutes in which but a few drops fall are not told.
    assert solids_g == pytest.approx(out.extraction[0] * dose_g, rel=0.01)
    told = strength[np.isfinite(strength)]
    assert told[-1] < told[0]
    assert np.nanargmax(strength) <= 2


def test_a_gram_of_grounds_never_cools_below_the_room():
    """Of so little the heat could go within a step, and swing."""
    kits = some_kits(400, seed=8, spread=1.0)
    rows = a_recipe(dose_g=1.0, pour_mass_g=[1.0, 19.5, 19.5]).take(np.zeros(400, dtype=np.intp))
    slurry_c = run_course(kits, rows, step_s=1.0).slurry_c
    assert slurry_c.min() > 21.0
    assert slurry_c.max() < 100.0


def test_no_water_gives_no_cup():
    out = simulate_pairs(usual_kit(), a_recipe(pour_mass_g=[0.0, 0.0, 0.0]))
    assert out.beverage_g[0] == 0.0
    assert out.extraction[0] == 0.0


def test_the_order_of_equal_streams_does_not_matter(monkeypatch):
    import halfclick.physics.brew.extraction as extraction

    kits, recipe = some_kits(4, seed=2), stack([a_recipe()] * 4)
    usual = simulate_pairs(kits, recipe)
    streams_of = extraction.streams_of
    monkeypatch.setattr(extraction, "streams_of", lambda *rows: streams_of(*rows)[::-1])
    turned = simulate_pairs(kits, recipe)
    np.testing.assert_allclose(turned.extraction, usual.extraction, rtol=1e-12)
    np.testing.assert_allclose(turned.spread, usual.spread, rtol=1e-9)


def test_brews_together_are_the_same_brews_one_by_one():
    kits = some_kits(7, seed=3)
    recipes = stack([poured(dose, 16.0) for dose in (12.0, 20.0, 31.0)])
    together = simulate(kits, recipes)
    for n in range(7):
        for m in range(3):
            alone = simulate_pairs(kits.take(np.array([n])), recipes.take(np.array([m])))
            for name in Outcome.__dataclass_fields__:
                if name == "fraction_strength":
                    continue
                here = getattr(together, name)[n, m]
                # The bed is left within two steps of the last drop, not at it.
                rel = 0.03 if name == "spread" else 1e-3
                assert here == pytest.approx(getattr(alone, name)[0], rel=rel, abs=1e-5), name
