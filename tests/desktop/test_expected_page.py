"""What a person sees of a forecast on the plan page: numbers, dimmed ones, cautions, pours."""

import time
from dataclasses import replace
from types import SimpleNamespace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication

from halfclick.errors import CoreError
from halfclick.model.forecast import Forecast
from halfclick.model.grinder import read_setting
from halfclick.model.kit import DripperShape
from halfclick.model.moves import with_setting
from halfclick.model.recipe import Lever
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.done import Touched
from halfclick.service.expected import picture_of, rests_on, rows_of
from halfclick.service.foresee import foresee
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan, sized_for_dose
from halfclick.service.record import BrewEntry, record_brew
from halfclick_desktop.guide_page import GuidePage
from halfclick_desktop.plan_page import PlanPage
from halfclick_desktop.widgets.expected_panel import NAMES, ExpectedPanel

FLAT = KitchenEntry(
    shape=DripperShape.FLAT_BOTTOM,
    top_m=0.115,
    bottom_m=0.045,
    height_m=0.06,
    kettle_has_thermometer=True,
)
LONG_MS = 60_000


@pytest.fixture(autouse=True)
def _forecasts(monkeypatch, _no_forecasts):
    """Let forecasts be made here, as soon as they are asked for, of few samples to be quick."""
    monkeypatch.setattr("halfclick_desktop.forecasts.REST_MS", 0)
    monkeypatch.setattr("halfclick.service.learned.SAMPLES", 24)
    monkeypatch.setattr("halfclick.service.learned.DRAWN", 48)


@pytest.fixture
def planning(qtbot, desk, store, clock):
    """Return a function that shows a plan on a new user's flat-bottom dripper of 6 cm."""

    def shown(dose_g: float = 15.0, *, brewed: bool = False) -> SimpleNamespace:
        set_up_kitchen(store, FLAT, clock=clock)
        kit = kit_in_use(store)
        bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
        planned = next_plan(store, bag.id, today=clock().date())
        setting = read_setting(kit.grinder, kit.zero, "20")
        recipe = with_setting(sized_for_dose(planned.recipe, dose_g), setting)
        plan = replace(planned, recipe=recipe)
        if brewed:
            record_brew(store, BrewEntry(planned=plan, drained_s=165.0), kit, clock=clock)
            plan = next_plan(store, bag.id, today=clock().date())
        page = PlanPage(desk)
        qtbot.addWidget(page)
        page.resize(1100, 740)
        page.show()
        # Keys with Ctrl go to the active window only.
        page.activateWindow()
        qtbot.waitUntil(page.isActiveWindow)
        page.show_planned(plan)
        return SimpleNamespace(page=page, panel=page._expected, bag=bag, plan=plan)

    return shown


def wait_for_numbers(qtbot, panel: ExpectedPanel) -> None:
    qtbot.waitUntil(lambda: panel.state() == "" and panel.value("time_s") != "", timeout=LONG_MS)


def move(qtbot, page: PlanPage, lever: Lever, text: str) -> None:
    """Type a lever's value as a person does, and go on by Tab."""
    line = page._rows[lever]._line
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, text)
    qtbot.keyClick(line, Qt.Key.Key_Tab)


def test_will_my_flat_bottom_dripper_overflow_with_30_g(qtbot, planning, store, words):
    at = planning()
    wait_for_numbers(qtbot, at.panel)
    assert "run over the rim" not in at.page._warnings.text()
    line = at.page._dose.line
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, "30")
    qtbot.keyClick(line, Qt.Key.Key_Tab)
    wait_for_numbers(qtbot, at.panel)
    said = at.page._warnings
    assert said.isVisible()
    expected = at.panel.expected()
    assert expected.overflows_share > 0.05
    assert "may run over the rim" in said.text()
    assert "smaller dose" in said.text()
    assert at.panel.value("free_height_m").startswith("from ")

    # Nor can any pours mend it; that is said, and nothing is taken.
    pours = at.page._schedule.text()
    qtbot.keyClick(at.page, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: "What binds is the rim" in at.page._fitting.text(), timeout=LONG_MS)
    assert "smaller dose or a larger dripper" in at.page._fitting.text()
    assert at.page._schedule.text() == pours


def test_the_numbers_are_the_services_in_words(qtbot, planning, store, words):
    at = planning()
    assert at.panel.state() == "Working it out."
    assert not at.panel._picture.isVisible()
    wait_for_numbers(qtbot, at.panel)
    recipe = at.page.recipe()
    expected = foresee(store, recipe, at.bag.id).expected
    for row in rows_of(expected):
        assert at.panel.value(row.name) == words.sentence(row.message)
        assert at.panel._values[row.name].isVisible()
    assert "most likely" in at.panel.value("time_s")
    assert "%" in at.panel.value("strength")
    assert at.panel._rests_on.text() == words.sentence(rests_on(expected))
    assert "no brew" in at.panel._rests_on.text()
    # The picture says to a screen reader, and under it, what it shows.
    summary = words.sentence(picture_of(expected, recipe).summary)
    assert at.panel._picture.accessibleDescription() == summary
    assert at.panel._summary.text() == summary
    assert QAccessible.queryAccessibleInterface(at.panel._picture) is not None
    assert not at.panel._picture.grab().isNull()


def test_a_moved_lever_moves_the_numbers_at_once_dimmed_until_its_own_are_there(
    qtbot, planning, store
):
    at = planning()
    wait_for_numbers(qtbot, at.panel)
    before = {name: at.panel.value(name) for name in NAMES}
    move(qtbot, at.page, Lever.RATIO, "18")
    assert at.panel.is_dimmed()
    qtbot.waitUntil(lambda: "at a glance" in at.panel.state())
    assert at.panel.value("beverage_g") != before["beverage_g"]
    assert at.panel.is_dimmed()
    assert at.panel._values["time_s"].property("role") == "quiet"
    wait_for_numbers(qtbot, at.panel)
    assert not at.panel.is_dimmed()
    assert at.panel.value("beverage_g") != before["beverage_g"]
    # Moved back, the numbers are there at once.
    move(qtbot, at.page, Lever.RATIO, "16")
    assert at.panel.state() == ""
    assert {name: at.panel.value(name) for name in NAMES} == before


def test_the_answer_for_another_recipe_is_not_shown(qtbot, planning, desk, store):
    at = planning()
    wait_for_numbers(qtbot, at.panel)
    answers = []
    desk.forecasts.ready.connect(lambda: answers.append(at.panel.value("beverage_g")))
    # Typed on while the first is being made: only the last is shown.
    for text in ("17", "14", "18"):
        move(qtbot, at.page, Lever.RATIO, text)
        QApplication.processEvents()
    wait_for_numbers(qtbot, at.panel)
    shown = foresee(store, at.page.recipe(), at.bag.id).expected
    drink = next(row.message for row in rows_of(shown) if row.name == "beverage_g")
    assert at.panel.value("beverage_g") == desk.words.sentence(drink)
    assert len(answers) == 1


def test_another_plan_begins_without_the_numbers_of_the_one_before(qtbot, planning, desk):
    at = planning()
    wait_for_numbers(qtbot, at.panel)
    at.page.show_planned(replace(at.plan, recipe=sized_for_dose(at.plan.recipe, 18.0)))
    assert at.panel.value("time_s") == ""
    assert at.panel.state() == "Working it out."
    assert not at.panel._picture.isVisible()
    wait_for_numbers(qtbot, at.panel)


def test_from_key_to_paint_the_window_never_waits_for_a_forecast(qtbot, planning):
    at = planning()
    wait_for_numbers(qtbot, at.panel)
    took_s = []
    for text in ("17", "15", "17.5", "15.5", "18"):
        line = at.page._rows[Lever.RATIO]._line
        line.setFocus()
        line.selectAll()
        qtbot.keyClicks(line, text)
        begun = time.thread_time()
        qtbot.keyClick(line, Qt.Key.Key_Tab)
        at.page.repaint()
        took_s.append(time.thread_time() - begun)
        assert at.panel.is_dimmed()
    # Of this thread alone: how busy the machine is besides is not the page's doing.
    assert sorted(took_s)[2] < 0.05


def test_pours_found_are_a_proposal_and_the_one_change_when_taken(qtbot, planning):
    at = planning(20.0, brewed=True)
    fitting = at.page._fitting
    # So far apart that the bed runs dry in any case.
    at.page.resize_recipe(_with_late_pours(at.page.recipe()))
    late = at.page._schedule.text()

    def find() -> None:
        qtbot.keyClick(at.page, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
        qtbot.waitUntil(lambda: fitting.pours_text() != "", timeout=LONG_MS)

    find()
    assert at.page._schedule.text() == late  # nothing is applied by itself
    assert "one change" in fitting._counts.text()
    assert fitting._take.hasFocus()
    qtbot.keyClick(fitting._take, Qt.Key.Key_Tab)
    qtbot.keyClick(fitting._leave, Qt.Key.Key_Space)
    assert at.page._schedule.text() == late
    assert (fitting.text(), fitting._take.isVisible()) == ("", False)

    find()
    proposed = fitting.pours_text()
    qtbot.keyClick(fitting._take, Qt.Key.Key_Space)
    assert at.page._schedule.text() == proposed
    assert {change.lever for change in at.page.planned().changes} == {Lever.POURS}
    assert "one lever moved" in at.page._mode.text()
    assert not fitting._take.isVisible()


def test_pours_found_for_a_plan_that_went_on_are_not_proposed(qtbot, planning, desk):
    at = planning(20.0)
    at.page._fitting._find.click()
    move(qtbot, at.page, Lever.RATIO, "18")
    over = desk.jobs.run(int)
    qtbot.waitSignal(over.done, timeout=LONG_MS).wait()
    assert at.page._fitting.text() == ""
    assert at.page._fitting.pours_text() == ""


def test_a_journal_that_cannot_be_read_is_said(qtbot, planning, desk):
    at = planning()
    wait_for_numbers(qtbot, at.panel)
    move(qtbot, at.page, Lever.RATIO, "18")
    desk.forecasts.failed.emit(CoreError("store.busy_now", path="journal.db"))
    assert at.panel.state().startswith("It cannot be worked out now.")
    assert at.panel.value("time_s") == ""


def test_a_kit_that_was_changed_is_forecast_anew(qtbot, planning, desk):
    at = planning()
    wait_for_numbers(qtbot, at.panel)
    desk.forecasts.reload(Touched.KIT)
    at.page.reload(Touched.KIT)
    assert at.panel.is_dimmed()
    wait_for_numbers(qtbot, at.panel)


def test_what_was_expected_goes_with_the_brew_at_the_kettle(qtbot, planning, desk, store, clock):
    at = planning()
    wait_for_numbers(qtbot, at.panel)
    guide = GuidePage(desk)
    qtbot.addWidget(guide)
    guide.start(at.page.planned())
    guide._finish()
    with store.reading() as r:
        (kept,) = r.all(Forecast)
    assert kept.bands["time_s"] == at.panel.expected().bands["time_s"]


def _with_late_pours(recipe):
    """Return a recipe whose pours are so far apart that any bed runs dry between them."""
    pours = tuple(
        replace(pour, start_s=pour.start_s + 600.0 * max(number - 1, 0))
        for number, pour in enumerate(recipe.pours)
    )
    return replace(recipe, pours=pours)
