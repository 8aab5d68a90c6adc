"""What a plan would be like by a person's own cups, as they see it beside the levers."""

import re

import pytest
from PySide6.QtCore import Qt

from halfclick.model.grinder import read_setting
from halfclick.model.moves import with_setting
from halfclick.model.recipe import Lever
from halfclick.model.tasting import Marks, Verdict
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan, planned_from
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick_desktop.plan_page import PlanPage

LONG_MS = 30_000
SOUR = Marks(sour=7.0, bitter=1.0, thin=4.0, harsh=1.0, sweet=3.0)


@pytest.fixture
def bag(store, clock):
    set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=clock)
    return add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value


@pytest.fixture
def cup(store, clock, bag):
    """Return a function that keeps a cup at setting 18, and its taste where there is one."""

    def made(entry: TastingEntry | None = None):
        kit = kit_in_use(store)
        planned = next_plan(store, bag.id, today=clock().date())
        recipe = with_setting(planned.recipe, read_setting(kit.grinder, kit.zero, "18"))
        planned = planned_from(store, planned, recipe)
        brew = record_brew(store, BrewEntry(planned=planned, drained_s=150.0), kit, clock=clock)
        if entry is not None:
            record_tasting(store, brew.value.id, entry, clock=clock)
        clock.advance(86_400)

    return made


@pytest.fixture
def planning(qtbot, desk, bag, store, clock):
    def shown() -> PlanPage:
        page = PlanPage(desk)
        qtbot.addWidget(page)
        page.resize(1100, 740)
        page.show()
        page.activateWindow()
        qtbot.waitUntil(page.isActiveWindow)
        page.show_planned(next_plan(store, bag.id, today=clock().date()))
        return page

    return shown


def answered(qtbot, page, key: bool = True):
    if key:
        qtbot.keyClick(page, Qt.Key.Key_U, Qt.KeyboardModifier.ControlModifier)
    spot = page._what_if
    qtbot.waitUntil(lambda: spot.state() == "" and spot.value("liking") != "", timeout=LONG_MS)
    return spot


def numbers(text: str) -> list[float]:
    return [float(one) for one in re.findall(r"\d+(?:\.\d+)?", text)]


def test_nothing_is_reckoned_until_it_is_asked_for(qtbot, planning, cup):
    cup(TastingEntry(marks=SOUR, liking=4.0, verdict=Verdict.CHANGE))
    page = planning()
    assert page._what_if._button.isVisible()
    assert not page._what_if._asking.waits()


def test_a_lever_moved_shows_its_marks_and_liking_with_bands_against_the_plan_as_given(
    qtbot, planning, cup
):
    cup(TastingEntry(marks=SOUR, liking=4.0, verdict=Verdict.CHANGE))
    page = planning()
    spot = answered(qtbot, page)
    low, high, middle, _ = numbers(spot.value("liking"))
    assert 1 <= low < middle < high <= 9
    low, high, middle = numbers(spot.value("sour"))
    assert 0 <= low < middle < high <= 10
    assert not spot._values["strength"].isVisible()  # nobody measured it
    assert not spot._gain.isVisible()  # as it was given
    before = spot.value("sour")
    page._unlock(Lever.TEMPERATURE)
    page._moved(Lever.TEMPERATURE, "84")
    assert "before" in spot.state()
    assert spot.value("sour") == before  # the last answer, until the new one is there
    answered(qtbot, page, key=False)
    assert spot.value("sour") != before
    assert "the plan as it was given" in spot._gain.text()
    page._moved(Lever.TEMPERATURE, "93")
    answered(qtbot, page, key=False)
    assert "From one tasted cup" in spot._rests_on.text()


def test_without_a_tasted_cup_it_says_what_is_wanted(qtbot, planning, cup):
    cup()
    page = planning()
    qtbot.keyClick(page, Qt.Key.Key_U, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: "brew one and taste it" in page._what_if.state(), timeout=LONG_MS)


def test_the_next_plan_of_the_bag_hears_the_cup_brewed_since(
    qtbot, planning, cup, bag, store, clock
):
    cup(TastingEntry(marks=SOUR, liking=4.0, verdict=Verdict.CHANGE))
    page = planning()
    assert "From one tasted cup" in answered(qtbot, page)._rests_on.text()
    cup(TastingEntry(marks=SOUR, liking=5.0, verdict=Verdict.CHANGE))
    page.show_planned(next_plan(store, bag.id, today=clock().date()))
    assert "From 2 tasted cups" in answered(qtbot, page)._rests_on.text()
