"""Water timed through a paper, and what it says of the paper."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from halfclick.errors import BadInput
from halfclick.model.kit import Dripper, DripperShape
from halfclick.physics.brew.paper_water import (
    RESISTANCES_PER_M,
    WaterThrough,
    timed_prior,
    times_s,
)
from halfclick.physics.brew.priors import PRIORS
from halfclick.physics.brew.warm_water import density_kg_m3, fluidity_per_pa_s
from halfclick.physics.vessel import Inside
from halfclick.service.learned import believe
from halfclick.service.paper_timing import PaperTiming, keep_timing, put_back, timing_of

CYLINDER = Inside(top_m=0.08, bottom_m=0.08, height_m=0.12, measured=True)
PAPER = PRIORS["paper_per_m"]


def by_a_solver(resistance_per_m, water_g=300.0, water_c=90.0):
    """Return when nine tenths are through a cylinder with wide outlets, by scipy's solver."""
    rho, fluidity, radius_m = density_kg_m3(water_c), fluidity_per_pa_s(water_c), 0.04
    floor_m2 = math.pi * radius_m**2

    def change(t, y):
        level_m = y[0] / floor_m2
        # The floor under the whole level, the wall under half of it.
        driven_m3 = floor_m2 * level_m + 2 * math.pi * radius_m * level_m**2 / 2
        out = rho * 9.80665 * driven_m3 * fluidity / resistance_per_m
        return [(20e-3 / rho if t < water_g / 20 else 0.0) - out, out]

    def there(t, y):
        return y[1] - 0.9 * water_g * 1e-3 / rho

    there.terminal = True
    found = solve_ivp(
        change, (0, 1200), [0.0, 0.0], events=there, max_step=0.5, rtol=1e-8, atol=1e-12
    )
    return found.t_events[0][0]


@pytest.mark.parametrize("place", [40, 60, 75])
def test_the_time_is_that_of_a_solver(place):
    ours = times_s(CYLINDER, 1.0, 300.0, 90.0)[place]
    assert ours == pytest.approx(by_a_solver(RESISTANCES_PER_M[place]), rel=0.01, abs=0.3)


def test_a_denser_paper_is_never_quicker():
    assert np.all(np.diff(times_s(CYLINDER, 2e-5, 300.0, 90.0)) >= 0)


def test_a_timing_finds_the_paper_it_came_from_and_knows_it_better():
    place = 70
    time_s = float(times_s(CYLINDER, 2e-5, 300.0, 90.0)[place])
    seen = WaterThrough(water_g=300.0, water_c=90.0, time_s=time_s)
    told = timed_prior(PAPER, seen, CYLINDER, 2e-5)
    off = math.log(told.median / RESISTANCES_PER_M[place])
    assert abs(off) < 0.2
    assert told.spread < 0.5 * PAPER.spread


def test_a_timing_is_kept_heard_and_taken_away(store, clock, kit):
    paper_id = kit().kitchen.paper_id
    before = believe(store, kit()).priors["paper_per_m"]
    timing = PaperTiming(dripper_id=kit().dripper.id, water_g=300.0, water_c=90.0, time_s=40.0)
    keep_timing(store, paper_id, timing, clock=clock)
    with store.reading() as r:
        assert timing_of(r, paper_id) == timing
    assert believe(store, kit()).priors["paper_per_m"].spread < 0.6 * before.spread
    put_back(store, paper_id, None, clock=clock)
    assert believe(store, kit()).priors["paper_per_m"] == before


@pytest.mark.parametrize(
    ("field", "value"), [("water_g", 20.0), ("water_c", 120.0), ("time_s", 1.0)]
)
def test_what_cannot_be_timed_is_refused(kit, field, value):
    dripper = Dripper(id=kit().dripper.id, name="any", shape=DripperShape.STEEP_CONE)
    told = {"water_g": 300.0, "water_c": 90.0, "time_s": 40.0, field: value}
    with pytest.raises(BadInput, match="paper_timing"):
        PaperTiming(dripper_id=dripper.id, **told)
