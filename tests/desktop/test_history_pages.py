"""History by age, mended, deleted and brought back, compared, found and exported: as people do."""

import csv
import io
from xml.etree import ElementTree as ET

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from story_drift import brew_the_bag
from walk import unnamed, unreached

from halfclick.errors import NotFound
from halfclick.model.brew import Brew, SlipKind
from halfclick.service.corrections import brew_versions
from halfclick.service.history import coffee_history
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.photos import photos_folder, photos_of
from halfclick.service.record import TastingEntry, correct_tasting
from halfclick.service.tastings import cup_to_taste
from halfclick_desktop.compare_page import ComparePage
from halfclick_desktop.cup_page import CupPage
from halfclick_desktop.history_page import HistoryPage
from halfclick_desktop.pictures import decodes
from halfclick_desktop.search_page import SearchPage
from halfclick_desktop.widgets.record_table import RecordTable


@pytest.fixture
def bag(store, clock):
    """Return what brews the bag that drifts, and its coffee."""
    set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=clock)
    return lambda **changed: brew_the_bag(store, clock, lambda: kit_in_use(store), **changed)


@pytest.fixture
def opened(qtbot, desk):
    def made(kind):
        page = kind(desk)
        qtbot.addWidget(page)
        page.changed.connect(page.reload)
        page.resize(1100, 720)
        page.show()
        page.activateWindow()
        qtbot.waitActive(page)
        return page

    return made


@pytest.fixture
def history(opened, bag):
    def shown(**changed):
        page = opened(HistoryPage)
        page.show_coffee(bag(**changed))
        return page

    return shown


def brews(store, coffee_id):
    return [point.cup.brew for point in coffee_history(store, coffee_id).points]


def test_a_bag_by_its_age_says_what_drifts_and_what_to_do(qtbot, history):
    page = history()
    page._by_age.click()
    said = page._summary.text()
    assert "liking falls from about day 20 and the drain gets quicker" in said
    assert "no other recorded change" in said
    assert "one step finer" in said
    assert "finish the bag by day 40" in said
    assert said == page._plot.accessibleDescription()
    assert "liking 6" in page._readout.text()
    qtbot.keyClick(page._plot, Qt.Key.Key_Home)
    assert "liking 8" in page._readout.text()
    assert page._table.rows.rowCount() == 14


def test_another_water_on_day_21_is_marked_and_nothing_is_blamed(qtbot, history):
    page = history(new_water_on=21)
    page._by_age.click()
    said = page._summary.text()
    assert "two things changed" in said
    assert "Neither can be blamed" in said
    assert "finer" not in said
    assert page._ageing_breaks() == {6: "the water used"}


def test_a_cup_is_deleted_and_brought_back(qtbot, history, store):
    page = history()
    page._plot.focus_point(4)
    page._acts[3].click()
    assert page._table.rows.rowCount() == 13
    assert "Cup 5 was deleted" in page._notice.text()
    page._notice._undo.click()
    assert page._table.rows.rowCount() == 14
    assert page._notice.isHidden()


def test_the_last_cup_deleted_leaves_an_empty_history_that_can_come_back(qtbot, history):
    page = history(cups=1)
    page._acts[3].click()
    assert page._table.rows.rowCount() == 0
    assert page._readout.text() == ""
    page._notice._undo.click()
    assert page._table.rows.rowCount() == 1


@pytest.mark.parametrize("by_age", [False, True])
def test_what_is_shown_is_exported_as_picture_drawing_and_data(qtbot, history, tmp_path, by_age):
    page = history()
    if by_age:
        page._by_age.click()
    for kind in ("png", "svg", "csv"):
        page.export(tmp_path / f"plot.{kind}", kind)
    assert QImage(str(tmp_path / "plot.png")).width() > 400
    drawing = ET.parse(tmp_path / "plot.svg").getroot()
    assert drawing.tag.endswith("svg")
    assert len(list(drawing.iter())) > 50
    text = (tmp_path / "plot.csv").read_text("utf-8-sig")
    rows = list(csv.reader(io.StringIO(text)))
    assert rows[0][:4] == ["Cup", "Date", "Day", "Setting"]
    assert len(rows) == 15
    assert str(tmp_path / "plot.csv") in page._notice.text()


def test_an_export_that_cannot_be_written_is_said_and_leaves_nothing(history, tmp_path):
    page = history()
    page.export(tmp_path / "missing" / "plot.csv", "csv")
    assert "could not be written" in page._notice.text()
    page.export(tmp_path / "plot.exe", "exe")
    assert "no format" in page._notice.text()
    assert not (tmp_path / "plot.exe").exists()


def test_a_cup_is_mended_and_its_earlier_version_stays_in_sight(qtbot, opened, bag, store):
    coffee_id = bag()
    first = brews(store, coffee_id)[0]
    page = opened(CupPage)
    page.show_brew(first.id)
    assert page._drained.text() == "2:58"
    assert "None" in page._versions.text()
    page._water.line.clear()
    qtbot.keyClicks(page._water.line, "297")
    qtbot.keyClicks(page._note.line, "hurried")
    page._slips[SlipKind.STALL].click()
    with qtbot.waitSignal(page.left):
        qtbot.keyClick(page._note.line, Qt.Key.Key_Return)
    page.show_brew(first.id)
    assert page._water.text() == "297"
    assert "Drained: 2:58" in page._versions.text()
    standing = brews(store, coffee_id)[0]
    assert (standing.note, standing.slips[0].kind) == ("hurried", SlipKind.STALL)
    # Kept again as it stands, nothing is added.
    page.save()
    assert len(brew_versions(store, first.id)) == 2


def test_what_cannot_be_is_said_and_stays_typed(qtbot, opened, bag, store):
    coffee_id = bag(cups=1)
    page = opened(CupPage)
    page.show_brew(brews(store, coffee_id)[0].id)
    page._drained.show_text("soon")
    page.save()
    assert "“soon” is no time" in page._error.text()
    with store.reading() as r:
        assert len(r.all(Brew, corrected=True)) == 1


def test_a_photo_is_copied_shown_removed_and_brought_back(qtbot, opened, bag, store, tmp_path):
    brew = brews(store, bag(cups=1))[0]
    image = QImage(40, 30, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.darkGray)
    source = tmp_path / "camera.png"
    assert image.save(str(source))
    page = opened(CupPage)
    page.show_brew(brew.id)
    page.add_photo_of(tmp_path / "none.png")
    qtbot.waitUntil(lambda: page._error.text() != "")
    page.add_photo_of(source)
    qtbot.waitUntil(lambda: page._shown_photos.count() == 1)
    assert page._error.text() == ""
    qtbot.waitUntil(lambda: not page._shown_photos.item(0).icon().isNull())
    assert len(list(photos_folder(store).iterdir())) == 1
    page._remove.click()
    assert photos_of(store, brew.id) == ()
    page._notice._undo.click()
    assert page._shown_photos.count() == 1


def test_a_photo_that_cannot_be_removed_or_brought_back_says_so(
    qtbot, opened, bag, store, tmp_path, monkeypatch
):
    image = QImage(40, 30, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.darkGray)
    assert image.save(str(tmp_path / "camera.png"))
    page = opened(CupPage)
    page.show_brew(brews(store, bag(cups=1))[0].id)
    page.add_photo_of(tmp_path / "camera.png")
    qtbot.waitUntil(lambda: page._shown_photos.count() == 1)

    def busy(*_: object, **__: object) -> None:
        raise NotFound("store.not_found", kind="photo")

    monkeypatch.setattr("halfclick_desktop.cup_page.remove_photo", busy)
    page._remove.click()
    assert page._error.text()
    assert page._shown_photos.count() == 1
    monkeypatch.undo()
    page._remove.click()
    assert page._error.text() == ""
    monkeypatch.setattr("halfclick_desktop.cup_page.bring_back_photo", busy)
    page._notice._undo.click()
    assert page._error.text()


def test_what_only_begins_like_a_picture_is_refused(qtbot, opened, bag, store, tmp_path):
    page = opened(CupPage)
    page.show_brew(brews(store, bag(cups=1))[0].id)
    source = tmp_path / "odd.webp"
    source.write_bytes(b"RIFF\x10\x00\x00\x00WEBPVP8 \x00\x00\x00\x00")
    page.add_photo_of(source)
    qtbot.waitUntil(lambda: "no picture" in page._error.text())
    assert not photos_folder(store).exists()
    assert not decodes(b"", "png")


def test_two_cups_are_compared_with_what_differs_first(opened, bag, store):
    found = brews(store, bag(new_water_on=21))
    page = opened(ComparePage)
    page.show_brews(found[4].id, found[6].id)
    assert "One recorded thing changed: the water used." in page._said.text()
    assert page._table.text(0, 0) == "differs"
    page.show_brews(found[0].id, found[6].id)
    assert "None of them alone can be blamed" in page._said.text()


def test_any_two_cups_are_compared_by_keys(qtbot, opened, bag, store):
    found = brews(store, bag(new_water_on=21))
    page = opened(ComparePage)
    page.show_brews(found[4].id, found[5].id)
    qtbot.keyClick(page._chosen[1], Qt.Key.Key_Down)
    assert page._chosen[1].currentText().startswith("cup 7 of Pell Ridge")
    assert "One recorded thing changed: the water used." in page._said.text()
    qtbot.keyClick(page._chosen[0], Qt.Key.Key_Home)
    assert "None of them alone can be blamed" in page._said.text()


def test_the_first_cup_is_compared_with_the_one_after(qtbot, history, store):
    page = history(cups=3)
    page._table_moved(0)
    found = [point.cup.brew.id for point in page._points()]
    with qtbot.waitSignal(page.compare_asked) as asked:
        page._acts[2].click()
    assert asked.args == found[:2]


def test_an_earlier_version_of_a_taste_stays_in_sight(opened, bag, store, clock):
    first = brews(store, bag(cups=1))[0]
    kept = cup_to_taste(store, first.id).cup.tasting
    clock.advance(86_400)
    correct_tasting(store, kept.id, TastingEntry(liking=5.0), clock=clock)
    page = opened(CupPage)
    page.show_brew(first.id)
    assert "Taste, written" in page._versions.text()
    assert "liking 8" in page._versions.text()
    assert "liking 5" not in page._versions.text()


def test_brews_are_found_as_words_are_typed_and_one_is_opened(qtbot, opened, bag, store):
    found = brews(store, bag())
    page = opened(SearchPage)
    qtbot.waitUntil(lambda: page._table.rows.rowCount() == 14)
    qtbot.keyClicks(page._liking.line, "8")
    qtbot.waitUntil(lambda: page._table.rows.rowCount() == 4)
    assert "4 brews" in page._said.text()
    page._table.setFocus()
    with qtbot.waitSignal(page.brew_asked) as asked:
        qtbot.keyClick(page._table, Qt.Key.Key_Return)
    assert asked.args == [found[4].id]
    qtbot.keyClicks(page._words.line, "nowhere")
    qtbot.waitUntil(lambda: "No brew has all of this" in page._said.text())
    page._liking.line.setText("12")
    page._liking.line.textEdited.emit("12")
    qtbot.waitUntil(lambda: "outside" in page._said.text())


@pytest.mark.parametrize("kind", [HistoryPage, SearchPage, ComparePage, CupPage])
def test_every_control_has_a_name_and_is_reached_by_the_tab_key(qtbot, opened, bag, store, kind):
    coffee_id = bag()
    page = opened(kind)
    if kind is HistoryPage:
        page.show_coffee(coffee_id)
    if kind is ComparePage:
        page.show_brews(*[brew.id for brew in brews(store, coffee_id)[:2]])
    if kind is CupPage:
        page.show_brew(brews(store, coffee_id)[0].id)
    if kind is SearchPage:
        qtbot.waitUntil(lambda: page._table.rows.rowCount() == 14)
    assert unnamed(page) == []
    assert unreached(page) == []


def test_a_table_of_many_rows_words_only_what_is_in_sight(qtbot):
    asked = set()

    class Rows:
        def __len__(self):
            return 20_000

        def __getitem__(self, row):
            asked.add(row)
            return [str(row), "text"]

    table = RecordTable(["row", "text"], "many")
    qtbot.addWidget(table)
    table.resize(400, 300)
    table.show_rows(Rows())
    with qtbot.waitExposed(table):
        table.show()
    assert len(asked) < 400


def test_a_long_history_is_read_off_the_main_thread(qtbot, history, monkeypatch):
    monkeypatch.setattr("halfclick.service.history.LONG", 3)
    page = history()
    assert page._summary.text().startswith("Reading")
    qtbot.waitUntil(lambda: page._table.rows.rowCount() == 14)
    assert "14 cups" in page._summary.text()
