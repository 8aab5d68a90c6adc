"""How long to wait off the boil: by the kettle's own loss, where its readings told it."""

import math
from dataclasses import replace
from datetime import UTC, date, datetime
from uuid import uuid4

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.model.grinder import Grinder, Zero
from halfclick.model.kettle_reading import KettleReading
from halfclick.model.kit import Dripper, DripperMaterial, DripperShape, Kettle, Kitchen
from halfclick.model.recipe import Recipe, even_pours
from halfclick.physics.kettle import LID_ON, cooled_c
from halfclick.service.forecast import expect
from halfclick.service.kettle_loss import (
    heat_of,
    loss_from,
    nears_room,
    rate_from,
    taught,
    wait_from,
    wait_off_boil,
)
from halfclick.service.kettle_readings import KettleReadingEntry, add_reading, bury_reading
from halfclick.service.kitchens import PLAIN_CLICKS, KitView, change_thing
from halfclick.service.learned import TYPICAL_KETTLE_PER_S, gear_of, learn
from halfclick.service.plan import next_plan

RECIPE = Recipe(dose_g=15.0, water_g=240.0, pours=even_pours(15.0, 240.0), temperature_c=93.0)
# A litre in 0.45 kg of steel: 1 kg at 4.205 kJ/kg/K and 0.45 kg at 0.5, worked by hand.
LITRE = Kettle(id=uuid4(), name="Kettle", body_g=450.0, material=DripperMaterial.STEEL)
LITRE_J_K, UA_W_K = 4435.0, 0.85
NOW = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)


def read(end_c, wait_s=120.0, water_g=1000.0, lid_on=True, start_c=99.5):
    return {
        "water_g": water_g,
        "lid_on": lid_on,
        "start_c": start_c,
        "end_c": end_c,
        "wait_s": wait_s,
        "room_c": 22.0,
    }


def kept(**values):
    return KettleReading(id=uuid4(), kettle_id=LITRE.id, read_at=NOW, **values)


def at(altitude_m=0.0):
    """Return a kit at an altitude, with a weighed kettle."""
    grinder = Grinder(id=uuid4(), name="Grinder", numbering=PLAIN_CLICKS)
    dripper = Dripper(id=uuid4(), name="Dripper", shape=DripperShape.STEEP_CONE)
    kitchen = Kitchen(
        id=uuid4(),
        name="kitchen",
        grinder_id=grinder.id,
        dripper_id=dripper.id,
        altitude_m=altitude_m,
    )
    return KitView(
        kitchen=kitchen,
        grinder=grinder,
        zero=Zero(id=uuid4(), grinder_id=grinder.id, found_on=date(2026, 11, 1)),
        dripper=dripper,
        paper=None,
        kettle=LITRE,
        water=None,
        server=None,
    )


def test_a_litre_in_steel_cools_as_worked_by_hand():
    """22 + 78 exp(-0.85 x 120 / 4435) = 98.227."""
    assert heat_of(LITRE, 1000.0) == pytest.approx(LITRE_J_K, rel=0.01)
    assert cooled_c(100.0, 22.0, 120.0, UA_W_K, LITRE_J_K) == pytest.approx(98.227, abs=0.001)


@pytest.mark.parametrize("target_c", [80.0, 88.0, 93.0, 96.0])
def test_before_any_reading_the_band_is_wide_and_holds_the_lumped_formula(words, target_c):
    recipe = replace(RECIPE, water_g=800.0, pours=even_pours(15.0, 800.0), temperature_c=target_c)
    wait = wait_from((), at(), recipe)  # 800 g and what is spare make the litre
    # t = C / UA ln((T0 - Ta) / (T - Ta)), water boiling at 99.97 (iapws).
    lumped_s = LITRE_J_K / UA_W_K * math.log((99.97 - 22.0) / (target_c - 22.0))
    assert wait.low_s < lumped_s < wait.high_s
    assert wait.middle_s == pytest.approx(lumped_s, rel=0.05)
    assert wait.readings == 0
    said = words.sentence(wait.message)
    assert "boils at 100 °C here" in said.replace("\N{NO-BREAK SPACE}", " ")
    assert "not measured yet: one timed reading on the Kit page narrows it" in said


@given(st.floats(0.0, 4000.0), st.floats(0.0, 4000.0))
def test_the_higher_the_kitchen_the_shorter_the_wait(one_m, other_m):
    low, high = (wait_from((), at(one), RECIPE) for one in sorted((one_m, other_m)))
    assert low.low_s >= high.low_s
    assert low.middle_s >= high.middle_s
    assert low.high_s >= high.high_s


def test_at_1800_metres_93_is_waited_for_and_96_is_poured_at_once(words):
    # 93.98 C at 1800 m (ambiance and iapws).
    wait = wait_from((), at(1800.0), RECIPE)
    assert 0.0 < wait.low_s < wait.middle_s < wait.high_s
    assert "boils at 94" in words.sentence(wait.message)
    none = wait_from((), at(1800.0), replace(RECIPE, temperature_c=96.0))
    assert (none.low_s, none.middle_s, none.high_s) == (0.0, 0.0, 0.0)
    assert "pour at once" in words.sentence(none.message)


def test_water_no_warmer_than_the_room_needs_no_wait(words):
    wait = wait_from((), at(), replace(RECIPE, temperature_c=15.0))
    assert wait.high_s == 0.0
    assert "no warmer than the room" in words.sentence(wait.message)
    assert wait_from((), at(), replace(RECIPE, temperature_c=None)) is None


def test_a_timed_reading_narrows_the_wait_and_is_told(store, clock, kit, words):
    before = wait_off_boil(store, kit(), RECIPE)
    one = KettleReadingEntry(**read(95.0, water_g=500.0, wait_s=300.0))
    reading = add_reading(store, kit().kettle.id, one, clock=clock).value
    after = wait_off_boil(store, kit(), RECIPE)
    assert after.readings == 1
    assert after.high_s / after.low_s < before.high_s / before.low_s
    said = words.sentence(after.message).replace("\N{NO-BREAK SPACE}", " ")
    assert "with about 500 g in the kettle" in said
    assert "Learned from 1 timed reading of this kettle" in said
    bury_reading(store, reading.id, clock=clock)
    assert wait_off_boil(store, kit(), RECIPE) == before


def test_a_kettle_only_read_open_is_left_to_stand_open(words):
    wait = wait_from([kept(**read(92.0, wait_s=300.0, lid_on=False))], at(), RECIPE)
    assert "leave the lid off" in words.sentence(wait.message)
    both = [kept(**read(92.0, lid_on=False)), kept(**read(97.0))]
    assert "leave the lid on" in words.sentence(wait_from(both, at(), RECIPE).message)


def test_readings_with_the_other_lid_teach_nothing_of_this_one():
    off = [kept(**read(90.0, lid_on=False))]
    assert loss_from(off, LITRE, lid_on=True, water_g=1000.0).sd == pytest.approx(LID_ON.sd)


@given(st.lists(st.tuples(st.floats(80, 99), st.floats(30, 900)), min_size=1, max_size=4))
def test_more_readings_never_widen_the_rate(readings):
    made = [kept(**read(end_c, wait_s)) for end_c, wait_s in readings]
    fewer = rate_from(made[:-1], at(), lid_on=True)
    more = rate_from(made, at(), lid_on=True)
    assert more.high_k_s / more.low_k_s <= fewer.high_k_s / fewer.low_k_s * (1 + 1e-9)


def test_the_rate_is_that_of_the_readings(store, clock, kit, words):
    change_thing(store, replace(LITRE, id=kit().kettle.id), clock=clock)
    assert "not measured yet" in words.sentences(taught(store, kit()))
    for wait_s in (300.0, 600.0):
        end_c = cooled_c(99.5, 22.0, wait_s, UA_W_K, LITRE_J_K)
        add_reading(store, kit().kettle.id, KettleReadingEntry(**read(end_c, wait_s)), clock=clock)
    # 0.85 W/K x 77.97 K / 4435 J/K x 60 s = 0.897 K a minute, worked by hand.
    (said,) = (words.sentence(one) for one in taught(store, kit()))
    assert said.replace("\N{NO-BREAK SPACE}", " ").startswith(
        "It loses 0.9 °C a minute near the boil with the lid on (0.8 °C to 1 °C) and 1000 g in it"
    )
    assert said.endswith("from 2 readings.")
    add_reading(store, kit().kettle.id, KettleReadingEntry(**read(90.0, lid_on=False)), clock=clock)
    assert len(taught(store, kit())) == 2


def test_forecasts_pour_from_the_kettle_as_it_was_read(store, clock, kit):
    before = nears_room(store, kit())
    assert gear_of(kit()).kettle_per_s == before.per_s == TYPICAL_KETTLE_PER_S == 2e-4
    # A litre in steel with its lid on, 0.7 W/K, and without, 1.88 W/K, lie within nine of ten.
    assert math.exp(-1.645 * before.sd) < 0.7 / LITRE_J_K / before.per_s
    assert math.exp(1.645 * before.sd) > 1.88 / LITRE_J_K / before.per_s
    end_c = cooled_c(99.5, 22.0, 900.0, 1.2, heat_of(kit().kettle, 600.0))
    one = KettleReadingEntry(**read(end_c, 900.0, water_g=600.0))
    add_reading(store, kit().kettle.id, one, clock=clock)
    after = nears_room(store, kit())
    # 1.2 W/K over 0.6 x 4205 + 225 J/K, worked by hand; the prior holds it back a little.
    assert after.per_s == pytest.approx(1.2 / 2748.0, rel=0.03)
    assert after.sd < 0.2 * before.sd
    learned = learn(store, kit())
    assert (learned.kettle_per_s, learned.kettle_sd) == (after.per_s, after.sd)


def test_a_kettle_that_was_not_timed_widens_what_is_said_of_the_slurry(store, kit, coffee, clock):
    recipe = next_plan(store, coffee("Tarn Hollow").id, today=clock().date()).recipe
    learned = learn(store, kit())
    loose, known = (
        expect(recipe, kit(), replace(learned, kettle_sd=sd), samples=48).slurry_c
        for sd in (learned.kettle_sd, 1e-9)
    )
    late = int(np.searchsorted(np.arange(len(known.low)), 110))
    assert loose.high[late] - loose.low[late] > known.high[late] - known.low[late]
    np.testing.assert_allclose(loose.middle[:30], known.middle[:30], atol=0.3)
