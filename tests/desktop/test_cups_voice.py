"""What a person's own cups say beside the rules, as a person sees it."""

import pytest
from gallery import sample_journal
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from halfclick.model.brew import Brew
from halfclick.model.moves import differences
from halfclick.model.tasting import Marks
from halfclick.service.advise import is_answered
from halfclick.service.coffees import shelf
from halfclick.service.kitchens import kit_in_use
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting


@pytest.fixture(autouse=True)
def _voices(monkeypatch, _no_voices):
    monkeypatch.setattr("halfclick_desktop.cups_voice.REST_MS", 10)


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
    sheet = program._pages("sheet")
    voice = sheet._cups
    assert "Asking your cups" in shown(voice)
    answered(qtbot, voice)
    said = shown(voice)
    assert "your cups" in said.lower()
    assert "%" in said
    assert "It rests on" in shown(sheet)


def test_the_next_cup_is_the_advice_that_stands_and_yes_takes_it(qtbot, program, sour, monkeypatch):
    monkeypatch.setattr("halfclick_desktop.cups_voice.TURNED_MS", 0)
    row, _ = sour
    program.ways._open_sheet(row.coffee.id)
    sheet = program._pages("sheet")
    answered(qtbot, sheet._cups)
    standing = sheet._cups._voices.advice
    assert sheet._offered(sheet._sheet) == (standing.recipe, standing.changes)
    qtbot.keyClick(sheet, Qt.Key.Key_A)
    planned = next_plan(program.store, row.bag.id, today=program.desk.today())
    assert planned.recipe == standing.recipe
    assert planned.changes == standing.changes
    assert "Your cups expect it to be liked" in shown(sheet._advice)


def test_what_the_other_voice_says_can_be_taken_instead(qtbot, program, sour):
    row, _ = sour
    program.ways._open_sheet(row.coffee.id)
    sheet = program._pages("sheet")
    answered(qtbot, sheet._cups)
    voices = sheet._cups._voices
    assert not voices.agree
    other = voices.rules if voices.is_cups else voices.cups
    qtbot.mouseClick(sheet._cups._take, Qt.MouseButton.LeftButton)
    planned = next_plan(program.store, row.bag.id, today=program.desk.today())
    assert planned.recipe == other.recipe
    with program.store.reading() as r:
        before = r.get(Brew, planned.parent_id).plan
    assert differences(before, planned.recipe) == other.changes


def test_a_key_meant_for_the_advice_before_takes_none(qtbot, program, sour, monkeypatch):
    monkeypatch.setattr("halfclick_desktop.cups_voice.TURNED_MS", 60_000)
    row, brew = sour
    program.ways._open_sheet(row.coffee.id)
    sheet = program._pages("sheet")
    answered(qtbot, sheet._cups)
    monkeypatch.setattr(type(sheet._cups._voices), "is_cups", True)
    qtbot.keyClick(sheet, Qt.Key.Key_A)
    assert not is_answered(program.store, brew.id)


def test_where_no_rule_speaks_the_cups_do(qtbot, program):
    store, clock = program.store, program.desk.clock
    row = max(shelf(store, program.desk.today()), key=lambda one: one.brews)
    planned = next_plan(store, row.bag.id, today=program.desk.today())
    brew = record_brew(store, BrewEntry(planned=planned), kit_in_use(store), clock=clock).value
    record_tasting(store, brew.id, TastingEntry(liking=4), clock=clock)
    program.ways._open_sheet(row.coffee.id)
    sheet = program._pages("sheet")
    answered(qtbot, sheet._cups)
    assert "No rule speaks here; your cups do." in shown(sheet._cups)
    assert sheet._waits_for_answer()


def test_a_cup_without_a_taste_asks_nothing(program):
    row = max(shelf(program.store, program.desk.today()), key=lambda one: one.brews)
    program.ways._open_sheet(row.coffee.id)
    sheet = program._pages("sheet")
    assert sheet._waits_for_answer() or not sheet._cups.isVisibleTo(sheet)
