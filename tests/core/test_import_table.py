"""Cups from a table that somebody else wrote."""

import csv
import io
from datetime import UTC, date, datetime

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from halfclick.errors import BadInput, CoreError
from halfclick.model.brew import Brew, How
from halfclick.model.coffee import Bag, Coffee, Lot
from halfclick.model.tasting import Tasting, Verdict
from halfclick.service.export import export_tables
from halfclick.service.import_table import bring_in_table, first_rows, gather
from halfclick.service.sheet import coffee_sheet
from halfclick.service.table_fields import Column, Matching, Unit, matched
from halfclick.service.table_rows import CupRow
from halfclick.store.exchange import table_in
from halfclick.store.exchange.csv_out import CsvForm
from halfclick.store.exchange.progress import Progress, Stopped
from halfclick.store.exchange.table_in import look_at_table

PLAIN = """Coffee,Date,Dose (g),Water (g),Temp (°C),Grind,Time,TDS %,Rating (1-9),Taste notes
Tarn Hollow,2026-03-01,15,250,94,18,2:45,1.35,7,plums
Tarn Hollow,2026-03-02,15.5,250,95,17,3:05,1.4,8,"plums, tea"
Other Hill,2026-03-03,20,320,92,20,,,,
"""


@pytest.fixture
def table(tmp_path):
    """Return what writes a text to a file and looks at it as a table."""

    def looked(text, encoding="utf-8", **options):
        path = tmp_path / "cups.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return look_at_table(path, **options)

    return looked


@pytest.fixture
def gathered(store, clock, kit):
    def read(found, matching=None):
        return gather(
            store, found, matching or matched(found), clock=clock, progress=Progress(), zone=UTC
        )

    return read


@pytest.fixture
def bring(store, clock, gathered):
    def brought(found, matching=None):
        return bring_in_table(
            store,
            gathered(found, matching),
            source="cups.csv",
            clock=clock,
            progress=Progress(),
        ).value

    return brought


def test_headers_are_known_by_their_words(table):
    found = table(PLAIN)
    names = {column: found.header[place] for column, place in matched(found).columns.items()}
    assert names == {
        Column.COFFEE: "Coffee",
        Column.BREWED_ON: "Date",
        Column.DOSE: "Dose (g)",
        Column.WATER: "Water (g)",
        Column.TEMPERATURE: "Temp (°C)",
        Column.SETTING: "Grind",
        Column.DRAINED: "Time",
        Column.STRENGTH: "TDS %",
        Column.LIKING: "Rating (1-9)",
        Column.WORDS: "Taste notes",
    }


def test_a_row_becomes_a_cup_with_its_taste(store, table, bring):
    assert bring(table(PLAIN)).cups == 3
    with store.reading() as r:
        brew = min(r.all(Brew), key=lambda one: one.started_at)
        tasting = r.all(Tasting, brew_id=brew.id)[0]
        assert {coffee.name for coffee in r.all(Coffee)} == {"Tarn Hollow", "Other Hill"}
        assert len(r.all(Tasting)) == 2
    assert brew.started_at == datetime(2026, 3, 1, 12, tzinfo=UTC)
    assert (brew.poured.dose_g.value, brew.poured.water_g.value) == (15.0, 250.0)
    assert brew.plan.temperature_c == 94.0
    assert brew.plan.setting.text == "18"
    assert brew.poured.drained_s.value == 165.0
    assert tasting.strength == pytest.approx(0.0135)
    assert (tasting.liking, tasting.words) == (7.0, "plums")


def test_such_a_cup_counts_for_less_and_in_no_band(store, table, bring, words):
    bring(table(PLAIN))
    with store.reading() as r:
        brew = r.all(Brew)[0]
    assert brew.weight == 0.5
    assert brew.poured.drained_s.how is How.ESTIMATED
    assert words.sentences(brew.why) == (
        "Brought in from cups.csv; how it was poured is not known."
    )


def test_the_sheet_of_a_coffee_brought_in_opens(store, table, bring, clock):
    bring(table(PLAIN))
    with store.reading() as r:
        coffee = r.all(Coffee)[0]
    assert coffee_sheet(store, coffee.id, clock().date()).cups == 2


def test_the_same_file_twice_adds_nothing(store, table, bring, gathered):
    bring(table(PLAIN))
    assert gathered(table(PLAIN)).new == 0
    brought = bring(table(PLAIN))
    assert (brought.cups, brought.coffees) == (0, 0)
    with store.reading() as r:
        assert len(r.all(Brew)) == 3


def test_a_row_added_at_the_end_is_the_only_one_added(table, bring):
    bring(table(PLAIN))
    assert bring(table(PLAIN + "Tarn Hollow,2026-03-09,15,250,94,16,2:50,,,\n")).cups == 1


def test_two_cups_told_alike_are_two(store, table, bring):
    row = "Tarn Hollow,2026-03-01,15,250\n"
    assert bring(table("coffee,date,dose,water\n" + row + row)).cups == 2


def test_a_coffee_on_the_shelf_is_found_by_its_name(store, table, bring, coffee):
    bag = coffee("tarn  hollow")
    assert bring(table(PLAIN)).coffees == 1
    with store.reading() as r:
        assert len(r.all(Brew, bag_id=bag.id)) == 2


def test_a_bag_a_roast(store, table, bring):
    text = (
        "coffee,roast date,date,dose,water\n"
        "A,2026-02-20,2026-03-05,15,250\nA,2026-02-01,2026-02-10,15,250\n"
    )
    bring(table(text))
    with store.reading() as r:
        lots = [r.get(Lot, bag.lot_id) for bag in r.all(Bag)]
    assert [lot.roasted_on for lot in lots] == [date(2026, 2, 1), date(2026, 2, 20)]


def test_bad_rows_are_listed_with_line_and_reason_and_left_out(table, gathered, words):
    text = (
        "coffee,date,dose,water,drained\n"
        ",2026-03-01,15,250,\n"
        '"A\nB",2026-03-01,15,250,2:30\n'
        "A,2026-13-01,15,250,\n"
        "A,2026-03-01,much,250,\n"
        "A,2026-03-01,15,,\n"
        "A,2026-03-01,15,25000,\n"
        "A,2026-03-01,15,250,2:75\n"
        "A,2031-03-01,15,250,\n"
        "A,2026-03-01\n"
    )
    found = gathered(table(text))
    assert len(found.rows) == 1
    assert [(bad.line, words.sentence(bad.why)[:12]) for bad in found.bad] == [
        (2, "No coffee is"),
        (5, "“2026-13-01”"),
        (6, "“much” is no"),
        (7, "Dose and wat"),
        (8, words("recipe.bad_water", given_g=25000.0, dose_g=15.0)[:12]),
        (9, "“2:75” is no"),
        (10, "1 Mar 2031 h"),
        (11, "Dose and wat"),
    ]


def test_a_setting_of_another_dial_is_kept_as_a_note(store, table, bring, gathered):
    found = table("coffee,date,dose,water,grind,notes\nA,2026-03-01,15,250,medium fine,late\n")
    assert gathered(found).unread_settings == 1
    bring(found)
    with store.reading() as r:
        brew = r.all(Brew)[0]
    assert brew.plan.setting is None
    assert brew.note == "late\nmedium fine"


SEMICOLONS = (
    "Coffee;Datum;Date;Dose;Ratio;Temp;Time;TDS\r\nA;x;01.03.2026;15,5;1:16;94,5;2,75;1,35\r\n"
)


def test_semicolons_and_decimal_commas_are_found(table, gathered):
    found = table(SEMICOLONS)
    assert found.delimiter == ";"
    row = gathered(found).rows[0]
    assert row.brewed_at.date() == date(2026, 3, 1)
    assert (row.dose_g, row.water_g, row.temperature_c) == (15.5, 248.0, 94.5)
    assert row.drained_s == 165.0  # 2.75 min
    assert row.strength == pytest.approx(0.0135)


@pytest.mark.parametrize(
    ("encoding", "found_as", "guessed"),
    [
        ("utf-8", "utf-8", False),
        ("utf-8-sig", "utf-8-sig", False),
        ("utf-16", "utf-16", False),
        ("cp1252", "cp1252", True),
    ],
)
def test_letters_are_read_as_they_were_written(table, gathered, encoding, found_as, guessed):
    found = table("coffee,date,dose,water\nCafé “x”,2026-03-01,15,250\n", encoding)
    assert (found.encoding, found.guessed_encoding) == (found_as, guessed)
    assert gathered(found).rows[0].coffee == "Café “x”"


@pytest.mark.parametrize(
    ("header", "cell", "column", "unit"),
    [
        ("Dose (oz)", "0.5", Column.DOSE, Unit.OUNCE),
        ("Dose", "15", Column.DOSE, Unit.GRAM),
        ("Temp F", "200", Column.TEMPERATURE, Unit.FAHRENHEIT),
        ("Temp", "201", Column.TEMPERATURE, Unit.FAHRENHEIT),
        ("Temp", "93", Column.TEMPERATURE, Unit.CELSIUS),
        ("Time (min)", "2.5", Column.DRAINED, Unit.MINUTES),
        ("Time", "165", Column.DRAINED, Unit.SECONDS),
        ("TDS", "0.0135", Column.STRENGTH, Unit.FRACTION),
        ("TDS", "1.35", Column.STRENGTH, Unit.PERCENT),
        ("Date", "13/02/2026", Column.BREWED_ON, Unit.DAY_FIRST),
        ("Date", "02/13/2026", Column.BREWED_ON, Unit.MONTH_FIRST),
        ("Date", "2026-02-13", Column.BREWED_ON, Unit.YEAR_FIRST),
        ("Stars", "4", Column.LIKING, Unit.TO_FIVE),
        ("Score", "87", Column.LIKING, Unit.TO_HUNDRED),
        ("Rating", "10", Column.LIKING, Unit.TO_TEN),
    ],
)
def test_the_unit_of_a_column_is_guessed(table, header, cell, column, unit):
    found = table(f"{header},other\n{cell},x\n")
    assert matched(found).unit(column) is unit


def test_the_person_says_another_unit_and_another_column(table, gathered):
    found = table("name,x,d,w,t\nA,02/03/2026,0.5,8.5,200\n")
    matching = Matching(
        columns={
            Column.COFFEE: 0,
            Column.BREWED_ON: 1,
            Column.DOSE: 2,
            Column.WATER: 3,
            Column.TEMPERATURE: 4,
        },
        units={
            Column.BREWED_ON: Unit.MONTH_FIRST,
            Column.DOSE: Unit.OUNCE,
            Column.WATER: Unit.OUNCE,
            Column.TEMPERATURE: Unit.FAHRENHEIT,
        },
    )
    row = gathered(found, matching).rows[0]
    assert row.brewed_at.date() == date(2026, 2, 3)
    # The international avoirdupois ounce (1959) is 28.349523125 g: half of one, and eight and
    # a half; 200 °F is (200 - 32) / 1.8 °C.
    assert (row.dose_g, row.water_g, row.temperature_c) == (14.17, 240.97, 93.3)


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("x,date,dose,water", "which column names the coffee"),
        ("coffee,x,dose,water", "the day each cup"),
        ("coffee,date,dose,x", "the dose and the water"),
    ],
)
def test_a_column_that_is_needed_is_asked_for(table, gathered, words, header, said):
    with pytest.raises(BadInput) as caught:
        gathered(table(f"{header}\n1,2,3,4\n"))
    assert said in words.sentence(caught.value)


def test_without_a_kit_it_says_so(store, clock, table, words):
    found = table(PLAIN)
    with pytest.raises(BadInput) as caught:
        gather(store, found, matched(found), clock=clock, progress=Progress())
    assert "under Kit" in words.sentence(caught.value)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("", "holds no table"),
        ("\n\n", "holds no table"),
        (",".join("x" * 1_000_000), "longer than"),
        (",".join("x" * 1_000), "more than 200 columns"),
        ("coffee,date\n" + ",".join("x" * 1_000), "more than 200 columns"),
        ('coffee,date\n"' + "a\n" * 400_000, "cannot be read as a row"),
        ("coffee,date\n" + '"\n",' * 100_000, "longer than"),
        ("coffee\0,date\n", "signs that no text has"),
        ("coffee,date".encode("utf-16-le"), "signs that no text has"),
        (b"\xff\xfe\x00\xd8\x00", "letters around line"),
    ],
)
def test_what_is_no_table_is_refused_with_a_sentence(table, words, content, said):
    with pytest.raises(BadInput) as caught:
        table(content)
    assert said in words.sentence(caught.value)


def test_a_file_beyond_the_limit_is_refused_unread(table, words, monkeypatch):
    monkeypatch.setattr(table_in, "MOST_BYTES", 1_000_000)
    with pytest.raises(BadInput) as caught:
        table("coffee,date\n" + "x,y\n" * 300_000)
    assert "larger than 1 MB" in words.sentence(caught.value)


def test_more_rows_than_the_limit_are_refused(table, gathered, words, monkeypatch):
    monkeypatch.setattr(table_in, "MOST_ROWS", 2)
    with pytest.raises(BadInput) as caught:
        gathered(table(PLAIN))
    assert "more than 2 rows" in words.sentence(caught.value)


def test_a_stop_keeps_nothing(store, clock, table, gathered):
    found = gathered(table(PLAIN))
    progress = Progress()
    progress.stop()
    with pytest.raises(Stopped):
        bring_in_table(store, found, source="x", clock=clock, progress=progress)
    with store.reading() as r:
        assert r.all(Brew) == []
        assert r.all(Coffee) == []


def test_our_own_table_of_cups_comes_in_again(store, clock, coffee, cup, words, tmp_path, gathered):
    bag = coffee("=Tarn Hollow", roaster="in town")
    cup(bag, "18", Verdict.KEEP)
    folder = export_tables(
        store, tmp_path, CsvForm(), words.sentences, clock=clock, progress=Progress(), zone=UTC
    )
    row = gathered(look_at_table(folder / "cups.csv")).rows[0]
    assert (row.coffee, row.roaster) == ("=Tarn Hollow", "in town")
    assert (row.setting_text, row.drained_s, row.verdict) == ("18", 160.0, Verdict.KEEP)
    assert row.brewed_at == datetime(2026, 11, 25, 8, 0, tzinfo=UTC)


def test_the_first_rows_are_shown_before_anything_is_read(table, clock):
    rows = first_rows(table(PLAIN), matched(table(PLAIN)), clock=clock, zone=UTC)
    assert [row.coffee for row in rows if isinstance(row, CupRow)] == [
        "Tarn Hollow",
        "Tarn Hollow",
        "Other Hill",
    ]


CELL = st.text(max_size=12) | st.sampled_from(
    [
        "2026-03-01",
        "1:16",
        "15",
        "250",
        "2:45",
        "=1+1",
        "-3",
        "1e9",
        "９",
        "², g",
        "99/99/9999",
        "'",
    ]
)


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(rows=st.lists(st.lists(CELL, max_size=8), max_size=5), comma=st.booleans())
def test_no_row_ends_in_anything_but_a_cup_or_a_sentence(tmp_path, clock, words, rows, comma):
    stream = io.StringIO()
    writer = csv.writer(stream)
    writer.writerow(["coffee", "date", "dose", "water", "ratio", "temp", "time", "liking"])
    writer.writerows(rows)
    path = tmp_path / "any.csv"
    path.write_text(stream.getvalue(), "utf-8", errors="replace", newline="")
    try:
        found = look_at_table(path)
    except CoreError as error:
        words.sentence(error)
        return
    columns = {column: place for place, column in enumerate(list(Column)[:8])}
    matching = Matching(columns=columns, decimal_comma=comma)
    for row in first_rows(found, matching, clock=clock, zone=UTC):
        if not isinstance(row, CupRow):
            words.sentence(row.why)


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(content=st.binary(max_size=200))
def test_no_bytes_end_in_anything_but_a_table_or_a_sentence(tmp_path, clock, words, content):
    path = tmp_path / "any.csv"
    path.write_bytes(content)
    try:
        first_rows(look_at_table(path), matched(look_at_table(path)), clock=clock, zone=UTC)
    except CoreError as error:
        words.sentence(error)
