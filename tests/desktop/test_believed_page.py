"""What a coffee's cups have taught, as a person sees it."""

import pytest
from gallery import sample_journal
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from halfclick.service.coffees import shelf
from halfclick_desktop.widgets.liking_curves import LikingCurve


@pytest.fixture
def program(start, journal, clock):
    sample_journal(journal, clock)
    return start()


def shown(page) -> str:
    labels = [one.text() for one in page.findChildren(QLabel) if one.isVisibleTo(page)]
    return "\n".join(labels).replace("\u00a0", " ")


def test_a_key_on_the_sheet_opens_where_it_is_liked_and_along_which_levers(qtbot, program):
    row = max(shelf(program.store, program.desk.today()), key=lambda one: one.brews)
    program.ways._open_sheet(row.coffee.id)
    sheet = program._pages("sheet")
    qtbot.waitUntil(lambda: sheet._buttons["believed"].isEnabled(), timeout=20_000)
    qtbot.keyClick(sheet, Qt.Key.Key_Y)
    page = program._pages("believed")
    qtbot.waitUntil(lambda: page._found is not None, timeout=20_000)
    said = shown(page)
    assert row.coffee.name in said
    assert "You like this coffee at a strength of" in said
    assert "within half a point of your best with" in said
    qtbot.waitUntil(lambda: not page._looking_back.waits(), timeout=20_000)
    assert "Bands of 3 cups that held: liking" in shown(page)
    assert page._plane._plane.zone.last_number == 4
    assert "the cross is where the last cup" in page._plane.accessibleDescription()
    assert "expected" in page._checked.accessibleDescription()
    curves = {one.accessibleName(): one for one in page.findChildren(LikingCurve)}
    assert {"Grind", "Ratio", "Water", "Pour rate"} <= set(curves)
    assert "best at" in curves["Grind"].accessibleDescription()
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    assert program.window.current() == "sheet"


def test_a_key_opens_the_plan_with_what_the_cups_say_asked_for(qtbot, program):
    row = max(shelf(program.store, program.desk.today()), key=lambda one: one.brews)
    program.ways._open_sheet(row.coffee.id)
    program.ways._open_believed(row.coffee.id, row.coffee.name)
    page = program._pages("believed")
    qtbot.waitUntil(lambda: page._found is not None, timeout=20_000)
    qtbot.keyClick(page, Qt.Key.Key_W)
    assert program.window.current() == "plan"
    spot = program._pages("plan")._what_if
    qtbot.waitUntil(lambda: spot.value("liking") != "", timeout=20_000)


def test_without_a_coffee_it_says_what_is_wanted(program):
    program.window.open_page("believed")
    assert "tasted cup" in shown(program._pages("believed"))
