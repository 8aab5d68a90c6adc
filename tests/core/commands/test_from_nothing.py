"""A machine without a screen: from no journal to advice, and a table looked at and written."""

import json
from pathlib import Path

import pytest

from halfclick.commands import parser_setup
from halfclick.model import coffee, grinder, kit, numbering
from halfclick.units import TemperatureUnit, WeightUnit
from halfclick.wording import NO_BREAK

TABLE = """Date,Coffee,Dose (g),Water (g),Temp,Odd
2026-01-20,Ash Fell,15,250,94,16
2026-01-21,Ash Fell,abc,250,94,17
"""


@pytest.fixture
def begun(run, journal: Path, monkeypatch):
    """Return what runs a command line on a journal that was begun, with a kit."""
    monkeypatch.setenv("HALFCLICK_JOURNAL", str(journal))
    assert run("begin", "--person", "Ida", "--device", "shed").code == 0
    assert run("kit", "--scheme", "rotations", "--bases", "10", "--shape", "flat_bottom").code == 0
    return run


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "cups.csv"
    path.write_text(TABLE, encoding="utf-8")
    return path


def test_an_empty_place_comes_to_advice(begun):
    zero = begun("zero", "--reading", "0.3", "--found", "burrs_lock", "--reason", "rezeroed")
    assert zero.code == 0
    assert begun("add", "Tarn Hollow", "--process", "washed", "--weight-g", "250").code == 0
    assert begun("plan", "--setting", "2.3").code == 0
    assert begun("record", "--setting", "2.3", "--drained-s", "2:40").code == 0
    assert begun("taste", "--sour", "6", "--verdict", "change").code == 0
    advised = begun("advise", "--json")
    assert advised.facts["changes"]
    assert begun("add", "tarn", "--again", "--weight-g", "100").code == 0
    assert len(begun("coffees", "--json").facts["coffees"]) == 1


def test_the_names_given_are_known_again(begun):
    facts = begun("settings", "--json").facts
    assert (facts["person"], facts["device"]) == ("Ida", "shed")
    assert begun("settings", "--person", "Ana").code == 0
    facts = begun("settings", "--json").facts
    assert (facts["person"], facts["device"]) == ("Ana", "shed")


def test_a_person_reads_their_units_and_a_script_base_units(begun):
    begun("add", "Tarn Hollow")
    in_base = begun("plan", "--json").facts
    assert begun("settings", "--weight", "oz", "--temperature", "f").code == 0
    told = begun("plan").out
    assert f"{NO_BREAK}oz" in told
    assert f"{NO_BREAK}°F" in told
    assert f"{NO_BREAK}g of coffee" in begun("plan", "--in-weight", "g").out
    assert begun("plan", "--json").facts == in_base


def test_a_table_is_looked_at_and_written_only_when_said(begun, table, journal):
    before = journal.read_bytes()
    looked = begun("import", table, "--json").facts
    assert journal.read_bytes() == before
    assert (looked["new"], looked["bad_count"], looked["written"]) == (1, 1, False)
    assert looked["bad_rows"][0]["row"] == 3
    assert "abc" in looked["bad_rows"][0]["why"]
    assert "--write" in begun("import", table).out
    assert begun("import", table, "--write", "--json").facts["written"] is True
    again = begun("import", table, "--write", "--json").facts
    assert (again["new"], again["known"], again["written"]) == (0, 1, False)


def test_a_table_s_object_has_the_names_its_help_lists(begun, table, words):
    listed = words("commands.import_table_json").removeprefix("With --json, a table: ")
    names = {"form", "command", *listed.removesuffix(".").split(", ")}
    assert set(begun("import", table, "--json").facts) == names
    assert "unread_settings" in begun("import", "--help").out


def test_a_table_is_matched_by_options_over_a_file(begun, table, tmp_path):
    mapping = tmp_path / "map.json"
    told = {"columns": {"dose": "Odd"}, "units": {"temperature": "fahrenheit"}}
    mapping.write_text(json.dumps(told), encoding="utf-8")
    facts = begun("import", table, "--mapping", mapping, "--unit", "dose=ounce", "--json").facts
    by_field = {one["field"]: one for one in facts["matched"]}
    assert by_field["dose"]["header"] == "Odd"
    assert by_field["dose"]["unit"] == "ounce"
    assert by_field["temperature"]["unit"] == "fahrenheit"
    missing = begun("import", table, "--match", "dose=", "--json").facts
    assert "dose" in missing["problem"]
    assert missing["new"] is None


@pytest.mark.parametrize(
    ("argv", "word"),
    [
        (("--match", "dose"), "dose=Grams"),
        (("--match", "crema=Odd"), "no field"),
        (("--match", "dose=Nowhere"), "no column"),
        (("--match", "dose=0"), "no column"),
        (("--match", "dose=Odd", "--match", "water=6"), "both"),
        (("--unit", "dose=ell"), "gram, ounce"),
        (("--unit", "coffee=gram"), "cannot be in"),
        (("--mapping", "/nowhere/map.json"), "cannot be read"),
        (("--match", "dose=", "--write"), "dose"),
    ],
)
def test_a_matching_that_cannot_be_is_refused(begun, table, journal, argv, word):
    before = journal.read_bytes()
    ran = begun("import", table, *argv)
    assert ran.code == 1
    assert word in ran.err
    assert journal.read_bytes() == before


@pytest.mark.parametrize(
    "text", ["", "[]", "{", "[" * 50_000, '{"columns": {"dose": 3}}', '{"x": 1}']
)
def test_a_mapping_file_that_is_none_is_refused(begun, table, tmp_path, text):
    mapping = tmp_path / "map.json"
    mapping.write_text(text, encoding="utf-8")
    ran = begun("import", table, "--mapping", mapping)
    assert ran.code == 1
    assert "not as it should be" in ran.err


def test_what_can_be_typed_is_what_the_model_knows():
    pairs = {
        parser_setup.SCHEMES: numbering.Scheme,
        parser_setup.FINER: grinder.Finer,
        parser_setup.FOUND: grinder.ZeroFound,
        parser_setup.SHAPES: kit.DripperShape,
        parser_setup.CARRIES: kit.ScaleCarries,
        parser_setup.DRAINED: kit.DrainedRule,
        parser_setup.PROCESSES: coffee.Process,
        parser_setup.ROASTS: coffee.Roast,
        parser_setup.WEIGHTS: WeightUnit,
        parser_setup.TEMPERATURES: TemperatureUnit,
    }
    for typed, known in pairs.items():
        assert set(typed) == set(known)
    assert set(parser_setup.REASONS) | {"first"} == set(grinder.ZeroReason)
