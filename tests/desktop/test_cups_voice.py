"""What a person's own cups say beside the rules, as a person sees it."""

import pytest
from gallery import sample_journal
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from halfclick.model.tasting import Marks
from halfclick.service.coffees import shelf
from halfclick.service.kitchens import kit_in_use
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting


@pytest.fixture
def program(start, journal, clock):
    sample_journal(journal, clock)
    return start()


@pytest.fixture
def sour(program):
    """A sour cup of the demo's longest search, kept and not yet answered."""
    store, clock = program.store, program.desk.clock
    row = max(shelf(store, program.desk.today()), key=lambda one: one.brews)
    planned = next_plan(store, row.bag.id, today=program.desk.today())
    entry = BrewEntry(planned=planned, water_g=planned.recipe.water_g, drained_s=150.0)
    brew = record_brew(store, entry, kit_in_use(store), clock=clock).value
    taste = TastingEntry(marks=Marks(sour=6, thin=4, bitter=2, sweet=4, harsh=1), liking=5)
    record_tasting(store, brew.id, taste, clock=clock)
    return row, brew


def shown(widget) -> str:
    labels = [one.text() for one in widget.findChildren(QLabel) if one.isVisibleTo(widget)]
    return "\n".join(labels).replace("\u00a0", " ")


def answered(qtbot, voice) -> None:
    qtbot.waitUntil(lambda: voice._voices is not None, timeout=20_000)


def test_the_sheet_tells_what_the_cups_say_and_whose_advice_stands(qtbot, program, sour):
    row, _ = sour
    program.ways._open_sheet(row.coffee.id)
    voice = program._pages("sheet")._cups
    assert "Asking your cups" in shown(voice)
    answered(qtbot, voice)
    said = shown(voice)
    assert "your cups" in said.lower()
    assert "%" in said
    assert "It rests on" in said


def test_what_the_cups_say_can_be_taken_instead(qtbot, program, sour):
    row, brew = sour
    program.ways._open_sheet(row.coffee.id)
    sheet = program._pages("sheet")
    answered(qtbot, sheet._cups)
    cups = sheet._cups._voices.cups
    if not sheet._cups._take.isVisibleTo(sheet._cups):
        assert sheet._cups._voices.agree
        return
    qtbot.mouseClick(sheet._cups._take, Qt.MouseButton.LeftButton)
    planned = next_plan(program.store, row.bag.id, today=program.desk.today())
    assert planned.recipe == cups.recipe
    assert brew.id == planned.parent_id


def test_a_cup_without_a_taste_asks_nothing(program):
    row = max(shelf(program.store, program.desk.today()), key=lambda one: one.brews)
    program.ways._open_sheet(row.coffee.id)
    sheet = program._pages("sheet")
    assert sheet._waits_for_answer() or not sheet._cups.isVisibleTo(sheet)
