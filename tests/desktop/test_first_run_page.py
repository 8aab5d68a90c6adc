import pytest
from PySide6.QtCore import Qt
from walk import unnamed, unreached

from halfclick.model.grinder import Finer
from halfclick.model.kit import DripperShape, ScaleCarries
from halfclick.model.numbering import Scheme
from halfclick.service.kitchens import kit_in_use
from halfclick_desktop.first_run_page import STEPS, FirstRunPage


@pytest.fixture
def page(qtbot, desk):
    page = FirstRunPage(desk)
    qtbot.addWidget(page)
    page.resize(1000, 700)
    page.show()
    return page


def press(qtbot, page, key: Qt.Key) -> None:
    qtbot.keyClick(page.focusWidget() or page, key)


def choose(qtbot, page, times: int) -> None:
    for _ in range(times):
        press(qtbot, page, Qt.Key.Key_Down)


def test_return_alone_leads_through_with_sensible_defaults(qtbot, page, desk):
    with qtbot.waitSignal(page.finished):
        for _ in STEPS:
            press(qtbot, page, Qt.Key.Key_Return)
    kit = kit_in_use(desk.store)
    assert kit.grinder.numbering.scheme is Scheme.CLICKS
    assert kit.dripper.name == "steep cone"
    assert kit.kitchen.altitude_m == 0


def test_every_question_can_be_skipped(qtbot, page, desk):
    with qtbot.waitSignal(page.finished):
        for _ in STEPS:
            qtbot.mouseClick(page._skip, Qt.MouseButton.LeftButton)
    assert kit_in_use(desk.store) is not None


def test_answers_given_by_keys_are_what_the_kit_holds(qtbot, page, desk):
    qtbot.keyClicks(page.focusWidget(), "Hand grinder")
    press(qtbot, page, Qt.Key.Key_Tab)
    choose(qtbot, page, 1)  # from clicks to rotations
    press(qtbot, page, Qt.Key.Key_Return)
    choose(qtbot, page, 1)  # from a steep cone to a flat bottom
    press(qtbot, page, Qt.Key.Key_Return)
    press(qtbot, page, Qt.Key.Key_Space)
    press(qtbot, page, Qt.Key.Key_Tab)
    qtbot.keyClicks(page.focusWidget(), "1600")
    press(qtbot, page, Qt.Key.Key_Return)
    choose(qtbot, page, 1)
    press(qtbot, page, Qt.Key.Key_Tab)
    qtbot.keyClicks(page.focusWidget(), "450")
    with qtbot.waitSignal(page.finished):
        press(qtbot, page, Qt.Key.Key_Return)
    kit = kit_in_use(desk.store)
    assert (kit.grinder.name, kit.grinder.numbering.bases) == ("Hand grinder", (10,))
    assert kit.grinder.finer is Finer.LOWER
    assert kit.dripper.shape is DripperShape.FLAT_BOTTOM
    assert kit.kettle.has_thermometer
    assert kit.kitchen.altitude_m == 1600
    assert kit.kitchen.scale_carries is ScaleCarries.SERVER_ALONE
    assert kit.server.capacity_g == 450


def test_a_setting_typed_to_check_the_dial_is_read_back(qtbot, page):
    form = page._grinder
    form._scheme.combo.setCurrentIndex(2)
    qtbot.keyClicks(form._check.line, "2.0")
    assert (
        form._check._hint.text() == "That is 20 steps from the dial's zero. One step finer is 1.9."
    )
    form._base.line.clear()
    qtbot.keyClicks(form._base.line, "12")
    assert "24 steps" in form._check._hint.text()
    assert "1.11" in form._check._hint.text()


def test_a_setting_the_dial_cannot_have_is_said_and_does_not_hold_anyone_up(qtbot, page):
    qtbot.keyClicks(page._grinder._check.line, "7.5")
    assert "does not read “7.5”" in page._grinder._check._hint.text()
    press(qtbot, page, Qt.Key.Key_Return)
    assert page.step() == "dripper"


def test_an_answer_that_cannot_be_is_said_beside_its_field(qtbot, page):
    press(qtbot, page, Qt.Key.Key_Return)
    press(qtbot, page, Qt.Key.Key_Return)
    page._altitude.setFocus()
    qtbot.keyClicks(page._altitude.line, "high up")
    press(qtbot, page, Qt.Key.Key_Return)
    assert page.step() == "water"
    assert "is not a number" in page._altitude.error()


def test_an_impossible_altitude_brings_its_question_back(qtbot, page, desk):
    press(qtbot, page, Qt.Key.Key_Return)
    press(qtbot, page, Qt.Key.Key_Return)
    qtbot.keyClicks(page._altitude.line, "9000")
    press(qtbot, page, Qt.Key.Key_Return)
    press(qtbot, page, Qt.Key.Key_Return)
    assert page.step() == "water"
    assert "No kitchen stands at 9000" in page._altitude.error()
    assert kit_in_use(desk.store) is None


def test_escape_goes_back_one_question(qtbot, page):
    press(qtbot, page, Qt.Key.Key_Return)
    press(qtbot, page, Qt.Key.Key_Escape)
    assert page.step() == "grinder"


def test_everything_has_a_name_and_is_reached_by_tab(qtbot, page):
    for _ in range(len(STEPS) - 1):
        assert unnamed(page) == []
        assert unreached(page) == []
        page._go_on.click()
