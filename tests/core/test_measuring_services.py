"""Timed waits, sievings, stocks and ions: kept, told, taken away and brought back."""

from dataclasses import replace

import pytest

from halfclick.errors import BadInput, NotFound
from halfclick.model.concentrate import Salt
from halfclick.model.kit import Kitchen
from halfclick.model.minerals import Minerals
from halfclick.physics.water import boiling_point_c
from halfclick.service.concentrates import (
    add_concentrate,
    bury_concentrate,
    concentrates,
    edit_water,
    unbury_concentrate,
)
from halfclick.service.done import Touched
from halfclick.service.kettle_readings import (
    KettleReadingEntry,
    add_reading,
    bury_reading,
    readings_of,
    unbury_reading,
)
from halfclick.service.kitchens import boils_at_c, change_thing, kit_of, used
from halfclick.service.sievings import (
    SieveWeighed,
    SievingEntry,
    add_sieving,
    bury_sieving,
    sievings_of,
    unbury_sieving,
)

WAIT = {"water_g": 600.0, "start_c": 96.0, "end_c": 93.0, "wait_s": 120.0, "room_c": 20.0}
STACK = (
    SieveWeighed(opening_um=500.0, on_it_g=8.0),
    SieveWeighed(opening_um=1000.0, on_it_g=4.0),
    SieveWeighed(opening_um=710.0, on_it_g=6.0),
)


def changed(store, clock, thing, **values):
    return change_thing(store, replace(thing, **values), clock=clock).value


def test_a_timed_wait_is_kept_taken_away_and_brought_back(store, clock, kit):
    kettle = kit().kettle
    done = add_reading(store, kettle.id, KettleReadingEntry(**WAIT), clock=clock)
    assert done.touched is Touched.KIT
    assert readings_of(store, kettle.id) == (done.value,)
    assert done.value.read_at == clock()
    assert done.value.sd_c == 0.5
    bury_reading(store, done.value.id, clock=clock)
    assert readings_of(store, kettle.id) == ()
    unbury_reading(store, done.value.id, clock=clock)
    assert readings_of(store, kettle.id) == (done.value,)


@pytest.mark.parametrize("left_out", list(WAIT))
def test_what_a_timed_wait_needs_is_asked_for(store, clock, kit, words, left_out):
    entry = KettleReadingEntry(**{**WAIT, left_out: None})
    with pytest.raises(BadInput) as refused:
        add_reading(store, kit().kettle.id, entry, clock=clock)
    assert refused.value.code == f"kettle_reading.needs_{left_out.rpartition('_')[0]}"
    assert words.sentence(refused.value)
    assert readings_of(store, kit().kettle.id) == ()


def test_a_wait_of_a_kettle_that_is_not_there_is_refused(store, clock, kit):
    with pytest.raises(NotFound):
        add_reading(store, kit().dripper.id, KettleReadingEntry(**WAIT), clock=clock)


def test_a_sieving_is_kept_as_shares_from_the_coarsest(store, clock, kit):
    entry = SievingEntry(setting_text=" 18 ", sieves=STACK, pan_g=2.0, note=" shaken ")
    kept = add_sieving(store, kit().grinder.id, entry, clock=clock).value
    # 4, 6, 8 and 2 g of 20 g.
    assert kept.openings_um == (1000.0, 710.0, 500.0)
    assert kept.shares == pytest.approx((0.2, 0.3, 0.4, 0.1))
    assert (kept.setting.text, kept.setting.steps) == ("18", 18)
    assert kept.zero_id == kept.setting.zero_id == kit().zero.id
    assert kept.note == "shaken"
    bury_sieving(store, kept.id, clock=clock)
    assert sievings_of(store, kit().grinder.id) == ()
    unbury_sieving(store, kept.id, clock=clock)
    assert sievings_of(store, kit().grinder.id) == (kept,)


def test_what_was_put_in_tells_what_was_lost(store, clock, kit, words):
    def sieved(dose_g):
        entry = SievingEntry(setting_text="18", sieves=STACK, pan_g=2.0, dose_g=dose_g)
        return add_sieving(store, kit().grinder.id, entry, clock=clock).value

    assert sum(sieved(20.2).shares) == pytest.approx(20.0 / 20.2)
    with pytest.raises(BadInput) as refused:
        sieved(25.0)
    assert "80" in words.sentence(refused.value)


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ({"setting_text": " "}, "sieving.needs_setting"),
        ({"setting_text": "x"}, "setting.not_written_so"),
        ({"pan_g": None}, "sieving.needs_pan"),
        ({"pan_g": -1.0}, "sieving.bad_weight"),
        ({"sieves": (SieveWeighed(opening_um=None, on_it_g=1.0),)}, "sieving.needs_opening"),
        ({"sieves": (SieveWeighed(opening_um=500.0, on_it_g=None),)}, "sieving.needs_weight"),
        ({"sieves": STACK[:1]}, "sieving.bad_number"),
        ({"sieves": (STACK[0], STACK[0])}, "sieving.not_descending"),
        ({"dose_g": 0.0}, "sieving.nothing_weighed"),
    ],
)
def test_a_sieving_that_cannot_be_is_refused_and_not_kept(store, clock, kit, words, typed, code):
    entry = SievingEntry(**{"setting_text": "18", "sieves": STACK, "pan_g": 2.0, **typed})
    with pytest.raises(BadInput) as refused:
        add_sieving(store, kit().grinder.id, entry, clock=clock)
    assert refused.value.code == code
    assert words.sentence(refused.value)
    assert sievings_of(store, kit().grinder.id) == ()


def test_a_stock_is_kept_taken_away_and_brought_back(store, clock):
    salt = Salt.MAGNESIUM_SULFATE_7H2O
    done = add_concentrate(
        store, name=" hard ", salt=salt, g_per_l=24.6, food_grade=True, clock=clock
    )
    assert concentrates(store) == (done.value,)
    assert done.value.name == "hard"
    bury_concentrate(store, done.value.id, clock=clock)
    assert concentrates(store) == ()
    unbury_concentrate(store, done.value.id, clock=clock)
    assert concentrates(store) == (done.value,)


def test_a_waters_ions_are_written_and_the_rest_of_it_stays(store, clock, kit):
    water = changed(store, clock, kit().water, hardness_mg_l=80.0)
    ions = Minerals(calcium_mg_l=20.0, bicarbonate_mg_l=60.0)
    edit_water(store, water.id, minerals=ions, tds_mg_l=120.0, ph=7.2, clock=clock)
    told = kit().water
    assert (told.minerals, told.tds_mg_l, told.ph) == (ions, 120.0, 7.2)
    assert (told.name, told.hardness_mg_l) == (water.name, 80.0)


def test_a_barometer_tells_better_than_the_altitude_where_water_boils(store, clock, kit):
    kitchen: Kitchen = changed(store, clock, kit().kitchen, altitude_m=500.0)
    assert boils_at_c(kitchen) == boiling_point_c(500.0)
    # IAPWS-IF97, table 36: at 0.1 MPa water boils at 372.755 919 K.
    assert boils_at_c(changed(store, clock, kitchen, barometer_pa=100_000.0)) == pytest.approx(
        99.605919, abs=1e-6
    )


def test_a_brew_of_another_place_does_not_boil_by_todays_barometer(store, clock, kit):
    kitchen = changed(store, clock, kit().kitchen, altitude_m=500.0, barometer_pa=95_000.0)
    then = used(kit())
    assert kit_of(store, then).kitchen.barometer_pa == 95_000.0
    changed(store, clock, kitchen, altitude_m=0.0)
    assert kit_of(store, then).kitchen.barometer_pa is None
