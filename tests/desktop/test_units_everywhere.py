"""Units chosen in Settings reach every page, shown and typed, and change nothing that is kept."""

import pytest
from gallery import opened_pages, sample_journal
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QPushButton

from halfclick.model.recipe import Lever
from halfclick.service.coffees import shelf
from halfclick.service.plan import next_plan
from halfclick_desktop.widgets.field import NumberField


@pytest.fixture
def program(start, journal, clock):
    sample_journal(journal, clock)
    return start()


def choose_ours(qtbot, program) -> None:
    settings = program._pages("settings")
    program.window.open_page("settings")
    for field in (settings._temperature, settings._weight):
        field.combo.setFocus()
        qtbot.keyClick(field.combo, Qt.Key.Key_End)


def shown(page) -> str:
    parts = [w.text() for w in page.findChildren(QLabel) if w.isVisibleTo(page)]
    parts += [w.text() for w in page.findChildren(QPushButton) if w.isVisibleTo(page)]
    parts += [w.accessibleName() for w in page.findChildren(QLineEdit) if w.isVisibleTo(page)]
    parts += [w.currentText() for w in page.findChildren(QComboBox) if w.isVisibleTo(page)]
    return " | ".join(parts).replace("\N{NO-BREAK SPACE}", " ") + " "


def test_no_page_shows_a_gram_or_a_degree_celsius_to_who_reads_others(qtbot, program):
    for _ in opened_pages(program):
        pass
    choose_ours(qtbot, program)
    for name in opened_pages(program):
        text = shown(program.window.page(name))
        for sign in (" g ", " g,", " g.", " g/s", "°C"):
            before, found, after = text.partition(sign)
            assert not found, f"{name}: {before[-60:]}{found}{after[:40]}"


def test_a_page_that_is_open_is_printed_anew_when_units_change(qtbot, program):
    row = next(r for r in shelf(program.store, program.desk.today()) if r.last_brewed_at)
    plan = program._pages("plan")
    plan.show_planned(next_plan(program.store, row.bag.id, today=program.desk.today()))
    before = plan.recipe()
    assert plan._dose.text() == "15"
    choose_ours(qtbot, program)
    program.window.open_page("plan")
    assert plan._dose.text() == "0.53"
    assert plan._rows[Lever.TEMPERATURE].text() == "203"
    assert "oz" in plan._schedule.text()
    assert plan.recipe() == before


@pytest.mark.parametrize(("typed", "water_c"), [("199.4", 93.0), ("199,4", 93.0)])
def test_a_temperature_is_planned_as_typed_in_fahrenheit(qtbot, program, typed, water_c):
    row = next(r for r in shelf(program.store, program.desk.today()) if r.last_brewed_at)
    plan = program._pages("plan")
    choose_ours(qtbot, program)
    program.window.open_page("plan")
    plan.show_planned(next_plan(program.store, row.bag.id, today=program.desk.today()))
    plan._unlock(Lever.TEMPERATURE)
    line = plan._rows[Lever.TEMPERATURE]._line
    line.selectAll()
    qtbot.keyClicks(line, typed)
    line.editingFinished.emit()
    assert plan.recipe().temperature_c == pytest.approx(water_c)


def test_a_lever_typed_as_it_stood_is_no_change_though_it_was_rounded(qtbot, program):
    row = next(r for r in shelf(program.store, program.desk.today()) if r.last_brewed_at)
    plan = program._pages("plan")
    choose_ours(qtbot, program)
    program.window.open_page("plan")
    plan.show_planned(next_plan(program.store, row.bag.id, today=program.desk.today()))
    before = plan.recipe()
    plan._unlock(Lever.POUR_RATE)
    line = plan._rows[Lever.POUR_RATE]._line
    text = line.text()
    line.selectAll()
    qtbot.keyClicks(line, text)
    line.editingFinished.emit()
    assert plan.recipe() == before


def test_units_there_and_back_leave_every_field_as_it_was(qtbot, program):
    for _ in opened_pages(program):
        pass
    fields = program.window.findChildren(NumberField)
    before = [(field.text(), field.value()) for field in fields]
    choose_ours(qtbot, program)
    settings = program._pages("settings")
    for field in (settings._temperature, settings._weight):
        qtbot.keyClick(field.combo, Qt.Key.Key_Home)
    assert [field.text() for field in fields] == [text for text, _ in before]
    assert [field.value() for field in fields] == pytest.approx([v for _, v in before])
