"""Tables for a spreadsheet: what stands in them, and what a spreadsheet must not make of it."""

import csv
from dataclasses import replace
from datetime import UTC

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.errors import CoreError
from halfclick.model.brew import How, Reading
from halfclick.model.tasting import Marks, Verdict
from halfclick.service.coffees import bury_coffee, coffee_of_bag
from halfclick.service.cups_table import COLUMNS
from halfclick.service.export import export_tables
from halfclick.service.record import (
    TastingEntry,
    correct_brew,
    correct_drained,
    record_tasting,
)
from halfclick.store.exchange.csv_out import FORMULA_STARTS, CsvForm, cell
from halfclick.store.exchange.lines import KINDS
from halfclick.store.exchange.progress import Progress, Stopped

COMMAS = CsvForm()


@pytest.fixture
def taken(store, clock, words, tmp_path):
    """Return what takes the tables out and gives their folder."""

    def out(form=COMMAS):
        place = tmp_path / "out"
        place.mkdir(exist_ok=True)
        return export_tables(
            store, place, form, words.sentences, clock=clock, progress=Progress(), zone=UTC
        )

    return out


def rows_of(path, delimiter=",", encoding="utf-8"):
    with path.open(encoding=encoding, newline="") as stream:
        return list(csv.DictReader(stream, delimiter=delimiter))


@pytest.fixture
def two_cups(store, clock, coffee, cup):
    bag = coffee("Tarn Hollow", roaster="=the roaster")
    cup(bag, "18", Verdict.CHANGE)
    second = cup(bag, "16", drained_s=150.5)
    entry = TastingEntry(
        marks=Marks(sour=6.0),
        liking=7.5,
        words="+plums\nand tea",
        strength=0.0135,
        beverage_g=210.0,
    )
    record_tasting(store, second.id, entry, clock=clock)
    return bag


def test_there_is_a_table_of_every_kind_and_one_of_cups(two_cups, taken):
    folder = taken()
    assert {path.name for path in folder.iterdir()} == {f"{name}.csv" for name in KINDS} | {
        "cups.csv"
    }
    assert folder.name == "halfclick 2026-11-27 08.10.00"


def test_a_cup_is_one_row_with_units_in_the_names(two_cups, taken):
    first, second = rows_of(taken() / "cups.csv")
    assert list(first) == list(COLUMNS)
    assert first["coffee"] == "Tarn Hollow"
    assert first["setting"] == "18"
    assert first["drained_s"] == "160"
    assert first["verdict"] == "change"
    assert first["strength_percent"] == ""
    assert second["sour_0_to_10"] == "6"
    assert second["liking_1_to_9"] == "7.5"
    assert second["strength_percent"] == "1.35"
    # Strength x beverage / dose, by hand: 1.35 % x 210 g / 15 g = 18.9 %.
    assert float(second["dose_g"]) == 15.0
    assert float(second["extraction_percent"]) == pytest.approx(18.9)


def test_the_extraction_is_of_the_dry_dose_where_its_water_is_known(
    store, clock, coffee, cup, taken
):
    brew = cup(coffee("Tarn Hollow"), "18")
    entry = TastingEntry(strength=0.0135, beverage_g=210.0, dose_moisture=0.05)
    record_tasting(store, brew.id, entry, clock=clock)
    (row,) = rows_of(taken() / "cups.csv")
    # By hand: 1.35 % x 210 g / (15 g x 0.95) = 19.894... %.
    assert float(row["extraction_percent"]) == pytest.approx(19.8947368)


def test_the_extraction_counts_the_water_that_was_added_to_the_cup(
    store, clock, coffee, cup, taken
):
    brew = cup(coffee("Tarn Hollow"), "18")
    measured = Reading(value=200.0, sd=1.0, how=How.MEASURED)
    poured = replace(brew.poured, beverage_g=measured, bypass_g=replace(measured, value=40.0))
    correct_brew(store, brew.id, poured, note="", clock=clock)
    record_tasting(store, brew.id, TastingEntry(strength=0.0125), clock=clock)
    (row,) = rows_of(taken() / "cups.csv")
    # By hand: 1.25 % x (200 + 40) g / 15 g = 20 %.
    assert float(row["extraction_percent"]) == pytest.approx(20.0)


def test_a_text_is_no_formula(two_cups, taken):
    folder = taken()
    assert rows_of(folder / "coffees.csv")[0]["roaster"] == "'=the roaster"
    assert rows_of(folder / "cups.csv")[1]["words"] == "'+plums\nand tea"


def test_numbers_have_a_comma_and_cells_a_semicolon_where_that_is_asked_for(two_cups, taken):
    _, second = rows_of(taken(CsvForm(decimal_comma=True)) / "cups.csv", delimiter=";")
    assert second["drained_s"] == "150,5"


def test_a_mark_at_the_beginning_says_utf_8_where_that_is_asked_for(two_cups, taken):
    assert (taken(CsvForm(with_bom=True)) / "cups.csv").read_bytes()[:3] == b"\xef\xbb\xbf"


def test_a_second_folder_does_not_touch_the_first(two_cups, taken):
    assert taken() != taken()


def test_a_stop_leaves_no_folder(two_cups, store, clock, words, tmp_path):
    progress = Progress()
    progress.stop()
    place = tmp_path / "out"
    with pytest.raises(Stopped):
        export_tables(
            store, place, CsvForm(), words.sentences, clock=clock, progress=progress, zone=UTC
        )
    assert list(place.iterdir()) == []


def test_a_place_that_cannot_be_written_is_said(two_cups, store, clock, words, tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(CoreError) as caught:
        export_tables(
            store,
            tmp_path / "file",
            CsvForm(),
            words.sentences,
            clock=clock,
            progress=Progress(),
        )
    assert "Choose another place" in words.sentence(caught.value)


def test_a_number_below_zero_stays_a_number():
    assert cell(-2.5, CsvForm()) == "-2.5"
    assert cell(-2.5, CsvForm(decimal_comma=True)) == "-2,5"
    assert cell("-2.5", CsvForm()) == "'-2.5"


@given(st.text() | st.sampled_from(FORMULA_STARTS).flatmap(lambda s: st.text().map(s.__add__)))
def test_no_text_begins_as_a_formula_does(text):
    assert not cell(text, CsvForm()).startswith(FORMULA_STARTS)


def test_a_brew_that_was_corrected_is_one_row_with_its_taste(store, clock, coffee, cup, taken):
    brew = cup(coffee("Tarn Hollow"), "18", Verdict.KEEP)
    correct_drained(store, brew.id, 170.0, clock=clock)
    (row,) = rows_of(taken() / "cups.csv")
    assert (row["cup"], row["drained_s"], row["verdict"]) == ("1", "170", "keep")


def test_a_coffee_that_was_put_away_is_not_among_the_cups(store, clock, coffee, cup, taken):
    bag = coffee("Tarn Hollow")
    cup(bag, "18")
    bury_coffee(store, coffee_of_bag(store, bag.id).id, clock=clock)
    assert rows_of(taken() / "cups.csv") == []
