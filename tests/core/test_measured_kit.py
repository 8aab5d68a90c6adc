"""Sieved grounds and a timed kettle narrow what is believed of a kit."""

from dataclasses import replace
from math import exp, log
from uuid import uuid4

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from halfclick.model.brew import Slip, SlipKind
from halfclick.model.grinder import Setting
from halfclick.model.sieving import Sieving
from halfclick.physics.brew.priors import PRIORS, Prior
from halfclick.service.kettle_readings import KettleReadingEntry, add_reading
from halfclick.service.learned import TYPICAL_KETTLE_PER_S, brewed_of, gear_of, learn
from halfclick.service.measured_kit import mapped_priors, median_um, sieved_priors
from halfclick.service.preheating import keep_preheating
from halfclick.service.sievings import SieveWeighed, SievingEntry, add_sieving


@pytest.fixture
def sieved(clock):
    """Return what makes a sieving of log-normal grounds with a median, um, at steps from zero."""

    def made(median: float, steps: int = 20, openings=(1000.0, 710.0, 500.0, 355.0)) -> Sieving:
        # A log-normal whose cumulative share is straight over log size between two of its points
        # is the uniform one: shares by the logarithm, from half to twice the median.
        coarser = [min(max(log(2 * median / one) / log(4), 0.0), 1.0) for one in openings]
        zero = uuid4()
        return Sieving(
            id=uuid4(),
            grinder_id=uuid4(),
            zero_id=zero,
            sieved_at=clock(),
            setting=Setting(text=str(steps), steps=steps, zero_id=zero),
            openings_um=openings,
            shares=(*np.diff([0.0, *coarser]), 1.0 - coarser[-1]),
        )

    return made


def test_the_median_is_read_between_two_openings(sieved):
    assert median_um(sieved(640.0)) == pytest.approx(640.0, rel=1e-6)


def test_a_stack_that_does_not_hold_the_median_tells_none(sieved):
    assert median_um(sieved(640.0, openings=(2000.0, 1200.0))) is None
    assert sieved_priors(PRIORS, [sieved(640.0, openings=(2000.0, 1200.0))], 20.0) == PRIORS


def test_one_sieving_at_the_middle_tells_the_size_and_not_the_step(sieved):
    told = sieved_priors(PRIORS, [sieved(600.0)], 20.0)
    # Two log-normals weighed by their precisions, by hand: 0.3 of 700, 0.1 of 600.
    weights = 0.3**-2, 0.1**-2
    middle = (weights[0] * log(700) + weights[1] * log(600)) / sum(weights)
    assert told["size_um"].median == pytest.approx(exp(middle), rel=1e-4)
    assert told["size_um"].spread == pytest.approx(sum(weights) ** -0.5, rel=1e-4)
    assert told["per_step_um"].spread == pytest.approx(PRIORS["per_step_um"].spread, rel=1e-3)


SETTINGS_UM = ((2, 580.0), (3, 780.0), (4, 970.0), (5, 1160.0), (6, 1310.0))
RADII_UM = tuple((steps, 2 * (58.05 * steps + 138.0)) for steps in (1, 2, 4, 8, 11))
VAGUE = {**PRIORS, "per_step_um": Prior(100.0, 3.0, "nothing"), "size_um": Prior(700.0, 3.0, "")}


def test_five_settings_of_a_laboratory_grinder_give_its_slope():
    """Liang, Chan & Ristenpart 2021, supplement: 580 to 1310 um, 184 um a step."""
    told = mapped_priors(VAGUE, SETTINGS_UM, 4.0)
    assert told["per_step_um"].median == pytest.approx(184, abs=10)
    assert told["size_um"].median == pytest.approx(960, abs=20)


def test_a_straight_line_gives_the_laboratorys_radius():
    """Wadsworth et al. 2026, section 4.1: mean radius 58.05 G + 138.0 um, 486.3 at 6."""
    told = mapped_priors(VAGUE, RADII_UM, 6.0)
    assert told["size_um"].median / 2 == pytest.approx(486.3, abs=25)
    assert told["per_step_um"].median / 2 == pytest.approx(58.05, rel=0.02)


@settings(deadline=None)
@given(st.floats(1, 60), st.floats(200, 2000))
def test_measuring_never_leaves_less_known(steps, median):
    told = mapped_priors(PRIORS, [(steps, median)], 20.0)
    for name in ("size_um", "per_step_um"):
        assert told[name].spread <= PRIORS[name].spread


def test_two_settings_far_apart_tell_the_step(sieved):
    told = sieved_priors(PRIORS, [sieved(500.0, 10), sieved(820.0, 30)], 20.0)
    assert told["per_step_um"].median == pytest.approx(16.0, rel=0.1)
    assert told["per_step_um"].spread < 0.5 * PRIORS["per_step_um"].spread


def test_what_was_measured_reaches_what_is_learned(store, clock, kit):
    before = learn(store, kit())
    stack = tuple(
        SieveWeighed(opening_um=one, on_it_g=g)
        for one, g in ((1000.0, 4.0), (710.0, 6.0), (500.0, 8.0))
    )
    add_sieving(
        store,
        kit().grinder.id,
        SievingEntry(setting_text="18", sieves=stack, pan_g=6.0),
        clock=clock,
    )
    wait = KettleReadingEntry(water_g=600.0, start_c=96.0, end_c=93.0, wait_s=120.0, room_c=20.0)
    add_reading(store, kit().kettle.id, wait, clock=clock)
    after = learn(store, kit())
    assert after.belief.priors["size_um"].spread < 0.5 * before.belief.priors["size_um"].spread
    assert before.kettle_per_s == TYPICAL_KETTLE_PER_S != after.kettle_per_s
    assert 0.0 < after.kettle_per_s < 0.001


def test_a_dripper_that_is_not_warmed_starts_as_cold_as_the_room(store, clock, kit, coffee, cup):
    assert gear_of(kit()).rinsed
    brew = cup(coffee("Tarn Hollow"), "18")
    warm = brewed_of(brew, None, kit(), 0).recipe
    slipped = replace(brew, slips=(Slip(kind=SlipKind.COLD_DRIPPER),))
    cold = brewed_of(slipped, None, kit(), 0).recipe
    assert warm.dripper_c[0] > cold.dripper_c[0] == cold.room_c[0]
    keep_preheating(store, False, clock=clock)
    assert not gear_of(kit()).rinsed
    assert brewed_of(brew, None, kit(), 0).recipe.dripper_c[0] == cold.room_c[0]
    keep_preheating(store, True, clock=clock)
    assert gear_of(kit()).rinsed
