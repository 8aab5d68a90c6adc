"""What was measured of the kit, a water and a cup: what can be, and what is said of what cannot."""

import csv
from dataclasses import replace
from datetime import UTC
from uuid import UUID

import pytest

from halfclick.errors import BadInput
from halfclick.model.concentrate import Concentrate
from halfclick.model.forecast import Forecast
from halfclick.model.kettle_reading import KettleReading
from halfclick.model.kit import Dripper, Kettle, Kitchen, Water
from halfclick.model.minerals import Minerals
from halfclick.model.sieving import Sieving
from halfclick.model.tasting import Tasting
from halfclick.service.export import export_tables
from halfclick.store.exchange.csv_out import CsvForm
from halfclick.store.exchange.progress import Progress

NAN = float("nan")
BAD = [
    (Kettle, {"body_g": 4.0}, "Weigh it empty"),
    (Kettle, {"capacity_g": 20_000.0}, "Check what it holds"),
    (Kettle, {"capacity_g": NAN}, "Check what it holds"),
    (Dripper, {"outlets": 0}, "Count the holes"),
    (Dripper, {"outlet_m": 0.5}, "500 mm cannot be"),
    (Dripper, {"bottom_length_m": 0.6}, "600 mm cannot be"),
    (Kitchen, {"barometer_pa": 1013.0}, "10.1 hPa"),
    (Kitchen, {"room_c": 60.0}, "A room of 60\N{NO-BREAK SPACE}°C"),
    (Water, {"tds_mg_l": -1.0}, "Dissolved solids of \N{MINUS SIGN}1 mg/L"),
    (Water, {"ph": 12.0}, "A pH of 12"),
    (KettleReading, {"water_g": 0.0}, "Weigh what is in it"),
    (KettleReading, {"wait_s": 0.0}, "Wait 5\N{NO-BREAK SPACE}s"),
    (KettleReading, {"room_c": 2.0}, "A room of"),
    (KettleReading, {"sd_c": 0.0}, "A thermometer that scatters"),
    (KettleReading, {"start_c": 120.0}, "does not read 120"),
    (KettleReading, {"end_c": 15.0}, "does not read 15"),
    (KettleReading, {"end_c": 96.0}, "it did not cool"),
    (Sieving, {"zero_id": UUID(int=9)}, "another zero"),
    (Sieving, {"dose_g": 0.0}, "A sieved sample of 0"),
    (Sieving, {"openings_um": (500.0,)}, "2 to 10 sieves; 1"),
    (Sieving, {"openings_um": (1400.0, 1000.0, 710.0, 5.0)}, "openings of 5"),
    (Sieving, {"openings_um": (1400.0, 1000.0, 1000.0, 500.0)}, "from the coarsest to the finest"),
    (Sieving, {"shares": (0.5, 0.5)}, "2 shares where 5 are needed"),
    (Sieving, {"shares": (0.6, 0.6, -0.2, 0.0, 0.0)}, "cannot be. Weigh that sieve again"),
    (Sieving, {"shares": (0.2, 0.2, 0.2, 0.2, 0.16)}, "adds up to 96"),
    (Concentrate, {"g_per_l": 0.0}, "A stock of 0 g/L"),
    (Concentrate, {"name": " "}, "Give the concentrate a name"),
    (Tasting, {"strength_sd": 0.0}, "An uncertainty of 0"),
    (Tasting, {"dose_moisture": 0.3}, "does not hold 30"),
    (Tasting, {"sample_c": 120.0}, "not measured at 120"),
    (Forecast, {"engine": ""}, "which version of the model"),
    (Forecast, {"brews_behind": -1}, "learned from"),
    (Forecast, {"bands": {}}, "1 to 50 quantities"),
    (Forecast, {"bands": {"Time": (1.0, 2.0, 3.0)}}, "is no name of a quantity"),
    (Forecast, {"bands": {"time_s": (3.0, 2.0, 1.0)}}, "a low, a middle and a high one"),
    (Forecast, {"bands": {"time_s": (1.0, NAN, 3.0)}}, "a low, a middle and a high one"),
]


@pytest.fixture
def measured(records):
    """Return the sample of each kind that has the most of it told."""
    return {type(record): record for record in records}


@pytest.mark.parametrize(("kind", "changed", "said"), BAD)
def test_what_cannot_be_is_refused_with_a_sentence(measured, words, kind, changed, said):
    with pytest.raises(BadInput) as refused:
        replace(measured[kind], **changed)
    assert said in words.sentence(refused.value)


@pytest.mark.parametrize(
    "ion", ["calcium", "magnesium", "sodium", "potassium", "bicarbonate", "chloride", "sulfate"]
)
def test_an_ion_that_cannot_be_is_named(words, ion):
    with pytest.raises(BadInput) as refused:
        Minerals(**{f"{ion}_mg_l": 6000.0})
    assert words.sentence(refused.value).startswith(f"{ion.capitalize()} of 6000 mg/L")


def test_a_sieve_may_lose_a_little(measured):
    # 2 % of the whole, either way.
    assert replace(measured[Sieving], shares=(0.2, 0.2, 0.2, 0.2, 0.18)).shares[-1] == 0.18
    assert replace(measured[Sieving], shares=(0.2, 0.2, 0.2, 0.2, 0.22)).shares[-1] == 0.22


def test_a_deleted_reading_stays_as_a_tombstone(store, clock, records):
    with store.writing(clock()) as w:
        for record in records:
            w.add(record)
    reading = next(one for one in records if isinstance(one, KettleReading))
    with store.writing(clock()) as w:
        w.bury(KettleReading, reading.id)
    with store.reading() as r:
        assert r.all(KettleReading) == []
        assert r.get(KettleReading, reading.id) == reading
    with store.writing(clock()) as w, pytest.raises(TypeError, match="is a fact"):
        w.change(reading)


def test_tables_tell_shares_in_percent_and_the_rest_in_its_unit(
    store, clock, records, words, tmp_path
):
    with store.writing(clock()) as w:
        for record in records:
            w.add(record)
    folder = export_tables(
        store, tmp_path, CsvForm(), words.sentences, clock=clock, progress=Progress(), zone=UTC
    )

    def last(name):
        with (folder / f"{name}.csv").open(encoding="utf-8", newline="") as stream:
            return list(csv.DictReader(stream))[-1]

    assert last("kettle_readings")["start_c"] == "96"
    assert last("kettle_readings")["lid_on"] == "yes"
    assert last("sievings")["shares_percent"] == "[5.0,20.0,40.0,20.0,15.0]"
    assert last("sievings")["setting_steps"] == "20"
    assert last("concentrates")["salt"] == "sodium_bicarbonate"
    assert last("waters")["minerals_calcium_mg_l"] == "40"
    assert last("kitchens")["barometer_pa"] == "98250"
    assert last("forecasts")["bands_time_s"] == "[140.0,165.5,201.0]"
    assert last("forecasts")["bands_strength_percent"] == "[1.21,1.36,1.5]"
    told = last("tastings")
    assert last("brews_under_way")["changes"].startswith('[{"lever":"grind"')
    assert told["strength_percent"] == "1.35"
    assert told["strength_sd_percent"] == "0.03"
    assert told["dose_moisture_percent"] == "3"
