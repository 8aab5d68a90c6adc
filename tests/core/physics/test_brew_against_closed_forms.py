"""The simulation where a brew can be worked out on paper, against handbooks and papers."""

from dataclasses import replace

import numpy as np
import pytest
from some_brews import a_recipe, usual_kit

from halfclick.physics.brew.arrays import REFERENCE_UM, Kits, Recipes
from halfclick.physics.brew.flow import bed_of, run_course
from halfclick.physics.brew.simulate import simulate_pairs
from halfclick.physics.liquid import viscosity_pa_s
from halfclick.physics.yields import equilibrium_strength

NOTHING = np.array([1e-9])


def plain_kit(**constants: float) -> Kits:
    """Return a kit in which nothing happens but Darcy's flow: no heat lost, no water held."""
    quiet = (
        "grain_g_g between_g_g early_resistance clogging bypass_share paper_per_m grounds_j_g_k"
        " dripper_w_k slurry_loss_w_k pour_loss_k"
    )
    kits = replace(usual_kit(), **dict.fromkeys(quiet.split(), NOTHING))
    kits = replace(kits, base_um=np.array([REFERENCE_UM]), per_step_um=np.array([0.0]))
    return replace(kits, **{name: np.array([value]) for name, value in constants.items()})


def cylinder(area_m2: float, **changes: object) -> Recipes:
    return a_recipe(
        volume_1=area_m2, volume_2=0.0, volume_3=0.0, outlet_m2=1.0, kettle_per_s=0.0, **changes
    )


def test_a_pond_over_a_bed_falls_as_the_falling_head_law_says():
    """Darcy: t = (mu L / k rho g) ln((h0 + L) / L), 84.68 s at 1e-11 m2, 23.1 mm, 50 mm, 94 C."""
    area_m2, depth_m, pond_m, density = 3.848e-3, 0.0231, 0.05, 962.59
    dose_g = 32.0
    kits = plain_kit(
        permeability_m2=1e-11,
        bed_ml_g=area_m2 * depth_m * 1e6 / dose_g,
        pore_g_g=0.01,
        wetting_g_g=0.001,
    )
    pond_g = area_m2 * pond_m * density * 1000
    recipe = cylinder(
        area_m2,
        dose_g=dose_g,
        steps=0.0,
        pour_start_s=[0.0],
        pour_mass_g=[pond_g + 0.01 * dose_g],
        pour_rate_g_s=[4000.0],
    )
    told = simulate_pairs(kits, recipe, step_s=0.05)
    assert told.bed_visible_s[0] == pytest.approx(84.68, rel=0.005)
    assert told.peak_level_m[0] == pytest.approx(depth_m + pond_m, rel=0.005)


def test_the_bed_resists_as_darcys_law_says():
    """Moroney et al. (2015): 250 mL/min through 40.5 mm of 59 mm bore at 8.378e-14 m2, 232 kPa."""
    area_m2, depth_m, dose_g = np.pi * 0.0295**2, 0.0405, 60.0
    kits = plain_kit(permeability_m2=8.378e-14, bed_ml_g=area_m2 * depth_m * 1e6 / dose_g)
    bed = bed_of(kits, cylinder(area_m2, dose_g=dose_g, steps=0.0))
    pressure_pa = 0.315e-3 * bed.darcy_per_m3[0] * 250e-6 / 60
    assert pressure_pa == pytest.approx(232_060, rel=0.02)


def test_a_tenth_smaller_lets_through_four_fifths():
    """Permeability goes with the square of the size: 0.81 (Kozeny and Carman, same voidage)."""
    at = [
        bed_of(plain_kit(base_um=size_um), a_recipe(steps=0.0)).darcy_per_m3[0]
        for size_um in (700.0, 630.0)
    ]
    assert at[0] / at[1] == pytest.approx(0.81, abs=0.001)


def test_a_bloom_of_its_own_mass_is_as_warm_as_the_balance_of_heat_says():
    """32 g of 94 C on 32 g of grounds at 22 C with 1.6 J/(g K): 74.17 C (heat balance by hand)."""
    kits = plain_kit(grounds_j_g_k=1.6, grain_g_g=1.2, between_g_g=0.9)
    recipe = a_recipe(
        dose_g=32.0,
        pour_start_s=[0.0],
        pour_mass_g=[32.0],
        pour_rate_g_s=[3200.0],
        kettle_per_s=0.0,
    )
    course = run_course(kits, recipe, step_s=0.01)
    assert course.slurry_c[2, 0] == pytest.approx(74.17, abs=0.05)


def test_six_kelvin_cooler_drains_about_seven_percent_slower():
    """Viscosity at 88 over 94 C is 1.07 (IAPWS); the bed is all that resists here."""
    times_s = []
    for kettle_c in (94.0, 88.0):
        kits = plain_kit(permeability_m2=1e-11, pore_g_g=0.01, wetting_g_g=0.001)
        recipe = cylinder(
            3.848e-3,
            dose_g=32.0,
            steps=0.0,
            pour_start_s=[0.0],
            pour_mass_g=[200.0],
            pour_rate_g_s=[4000.0],
            kettle_c=kettle_c,
        )
        times_s.append(simulate_pairs(kits, recipe, step_s=0.1).bed_visible_s[0])
    expected = viscosity_pa_s(88.0) / viscosity_pa_s(94.0)
    # Cooler water is denser too, by 0.4 %, which the head and the volume share.
    assert times_s[1] / times_s[0] == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(
    ("ratio", "strength", "tolerance"), [(15.0, 0.01413, 0.00005), (5.0, 0.04123, 0.00005)]
)
def test_equilibrium_of_a_steep(ratio, strength, tolerance):
    """Liang, Chan and Ristenpart (2021), equation 11, at KE = 0.215."""
    assert equilibrium_strength(0.215, ratio) == pytest.approx(strength, abs=tolerance)


def test_a_measured_equilibrium_agrees_and_another_does_not():
    """The same paper: 4.07 % at 5:1 lies on its equation; 1.897 % at 10:1 lies a tenth below it."""
    assert equilibrium_strength(0.215, 5.0) == pytest.approx(0.0407, abs=0.0015)
    assert equilibrium_strength(0.215, 10.0) - 0.01897 == pytest.approx(0.0021, abs=0.0001)
