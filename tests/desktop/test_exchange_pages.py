"""Out of the journal and into it, as a person does it."""

import json

import pytest
from hostile_files import FILES, bounded_memory
from PySide6.QtCore import Qt
from walk import unnamed, unreached

from halfclick.model.brew import Brew
from halfclick.model.coffee import Coffee
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.export import export_json
from halfclick.service.kitchens import KitchenEntry, set_up_kitchen
from halfclick.service.table_fields import Column
from halfclick.store.exchange.progress import Progress
from halfclick.store.opening import open_store
from halfclick_desktop.bring_in_page import BringInPage
from halfclick_desktop.take_out_page import TakeOutPage

TABLE = """Coffee;Date;Dose;Water;Temp;Grind;Time
Tarn Hollow;2026-03-01;15,5;250;94;18;2:45
Tarn Hollow;2026-03-02;15,5;250;94;17;long
Other Hill;2026-03-03;20;320;92;20;
"""


@pytest.fixture
def shown(qtbot):
    def page(made):
        qtbot.addWidget(made)
        made.resize(1100, 760)
        made.show()
        return made

    return page


@pytest.fixture
def kitchen(desk):
    set_up_kitchen(desk.store, KitchenEntry(), clock=desk.clock)


@pytest.fixture
def table(tmp_path):
    path = tmp_path / "cups.csv"
    path.write_text(TABLE, "utf-8")
    return path


def brews(desk):
    with desk.store.reading() as r:
        return r.all(Brew)


def test_tables_are_written_where_the_person_said(qtbot, desk, shown, tmp_path):
    add_coffee(desk.store, CoffeeEntry(name="Tarn Hollow"), clock=desk.clock)
    page = shown(TakeOutPage(desk))
    page._comma.box.click()
    place = tmp_path / "place"
    place.mkdir()
    page.write_tables(place)
    qtbot.waitUntil(lambda: "The tables lie in" in page._notice.text(), timeout=20_000)
    (folder,) = place.iterdir()
    assert str(folder) in page._notice.text()
    assert "Tarn Hollow;" in (folder / "coffees.csv").read_text("utf-8")


def test_the_whole_journal_is_written_to_a_file(qtbot, desk, shown, tmp_path):
    page = shown(TakeOutPage(desk))
    page.write_document(tmp_path / "all.json")
    qtbot.waitUntil(lambda: "records lie in" in page._notice.text(), timeout=20_000)
    assert json.loads((tmp_path / "all.json").read_text("utf-8"))["version"] == 1


def test_a_place_that_cannot_be_written_is_said_and_can_be_tried_again(
    qtbot, desk, shown, tmp_path
):
    page = shown(TakeOutPage(desk))
    page.write_document(tmp_path / "none" / "all.json")
    qtbot.waitUntil(lambda: "Choose another place" in page._notice.text(), timeout=20_000)
    assert page._document.isEnabled()


def see_table(qtbot, page, table):
    page.open_table(table)
    qtbot.waitUntil(lambda: page._main.isVisible(), timeout=20_000)


def test_a_table_is_shown_checked_and_kept_by_return_alone(qtbot, desk, shown, kitchen, table):
    page = shown(BringInPage(desk))
    see_table(qtbot, page, table)
    assert "Of the first 3 rows, 2 can be read so." in page._told.text()
    assert "“long” is no drained time." in page._told.text()
    qtbot.keyClick(page, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "would be added" in page._told.text(), timeout=20_000)
    assert "2 cups would be added. 2 coffees are new" in page._told.text()
    assert page._result.texts() == [["3", "“long” is no drained time."]]
    assert brews(desk) == []
    with qtbot.waitSignal(page.brought_in, timeout=20_000):
        qtbot.keyClick(page, Qt.Key.Key_Return)
    assert page._notice.text() == "2 cups were brought in. 2 coffees were put on the shelf."
    assert len(brews(desk)) == 2


def test_the_person_says_what_a_column_is(qtbot, desk, shown, kitchen, tmp_path):
    path = tmp_path / "odd.csv"
    path.write_text("what,date,dose,water\nA,2026-03-01,15,250\n")
    page = shown(BringInPage(desk))
    see_table(qtbot, page, path)
    assert "No coffee is named." in page._told.text()
    page._match.choose(Column.COFFEE, 0)
    assert "Of the first row, 1 can be read so." in page._told.text()


def test_a_sheet_without_rows_offers_nothing_to_check(qtbot, desk, shown, kitchen, tmp_path):
    path = tmp_path / "empty.csv"
    path.write_text("coffee,date,dose,water\n")
    page = shown(BringInPage(desk))
    page.open_table(path)
    qtbot.waitUntil(lambda: "no row" in page._told.text())
    assert "no row under the names" in page._told.text()
    assert not page._main.isVisible()


def test_a_column_that_is_missing_is_asked_for(qtbot, desk, shown, kitchen, tmp_path):
    path = tmp_path / "odd.csv"
    path.write_text("what,date,dose,water\nA,2026-03-01,15,250\n")
    page = shown(BringInPage(desk))
    see_table(qtbot, page, path)
    page._main.click()
    qtbot.waitUntil(lambda: page._notice.isVisible(), timeout=20_000)
    assert page._notice.text() == "Say which column names the coffee."


def test_what_is_no_table_is_said(qtbot, desk, shown, tmp_path):
    path = tmp_path / "x.csv"
    path.write_bytes(b"\0\0\0")
    page = shown(BringInPage(desk))
    page.open_table(path)
    qtbot.waitUntil(lambda: "not a CSV file" in page._notice.text(), timeout=20_000)


@pytest.mark.parametrize("case", FILES)
def test_a_file_nobody_should_bring_in_is_refused_within_bounded_memory(
    qtbot, desk, shown, kitchen, tmp_path, case
):
    ending, content, word = FILES[case]
    path = tmp_path / f"x.{ending}"
    path.write_bytes(content())
    page = shown(BringInPage(desk))
    with bounded_memory():
        (page.open_table if ending == "csv" else page.open_journal)(path)
        qtbot.waitUntil(lambda: page._notice.isVisible() or page._main.isVisible(), timeout=60_000)
        if page._main.isVisible():  # its beginning looks like a table: checked whole
            page._main.click()
        qtbot.waitUntil(page._notice.isVisible, timeout=60_000)
    assert word in page._notice.text().replace("\N{NO-BREAK SPACE}", " ")
    assert brews(desk) == []


def test_a_journal_is_counted_before_it_is_kept(qtbot, desk, shown, clock, tmp_path):
    other = open_store(tmp_path / "other.db", clock=clock, person_name="Ben", device_name="desk")
    add_coffee(other, CoffeeEntry(name="Tarn Hollow"), clock=clock)
    export_json(other, tmp_path / "all.json", clock=clock, progress=Progress())
    other.close()
    page = shown(BringInPage(desk))
    page.open_journal(tmp_path / "all.json")
    qtbot.waitUntil(lambda: page._main.isVisible(), timeout=20_000)
    assert page._result.texts() == [
        ["persons", "1", "", "", ""],
        ["devices", "1", "", "", ""],
        ["coffees", "1", "", "", ""],
        ["lots", "1", "", "", ""],
        ["bags", "1", "", "", ""],
    ]
    with qtbot.waitSignal(page.brought_in, timeout=20_000):
        page._main.click()
    assert page._notice.text() == "5 records were brought in."
    with desk.store.reading() as r:
        assert [coffee.name for coffee in r.all(Coffee)] == ["Tarn Hollow"]


def test_everything_has_a_name_and_is_reached_by_tab(qtbot, desk, shown, kitchen, table):
    out = shown(TakeOutPage(desk))
    assert (unnamed(out), unreached(out)) == ([], [])
    page = shown(BringInPage(desk))
    see_table(qtbot, page, table)
    assert (unnamed(page), unreached(page)) == ([], [])


def test_both_are_reached_from_the_menu_and_from_settings(qtbot, start):
    program = start()
    window = program.window
    assert window.current() == "first_run"
    window.rail_asked.emit("bring_in")
    assert window.current() == "bring_in"
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    assert window.current() == "first_run"
    set_up_kitchen(program.store, KitchenEntry(), clock=program.desk.clock)
    window.open_page("settings")
    window.page("settings")._take_out.click()
    assert window.current() == "take_out"
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    assert window.current() == "settings"
