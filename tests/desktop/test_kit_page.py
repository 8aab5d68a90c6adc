import pytest
from PySide6.QtCore import Qt
from walk import unnamed, unreached

from halfclick.model.grinder import ZeroFound, ZeroReason
from halfclick.service.done import Touched
from halfclick.service.grinders import zeros_of
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick_desktop.kit_page import KINDS, KitPage


@pytest.fixture
def page(qtbot, desk):
    set_up_kitchen(desk.store, KitchenEntry(grinder_name="Hand grinder"), clock=desk.clock)
    page = KitPage(desk)
    qtbot.addWidget(page)
    page.changed.connect(page.reload)
    page.resize(1100, 900)
    page.reload(Touched.KIT)
    page.show()
    return page


def button(page, name: str):
    from PySide6.QtWidgets import QPushButton

    return next(b for b in page.findChildren(QPushButton) if b.accessibleName() == name)


def test_what_is_in_use_is_shown(page):
    assert page._choices["grinder"].combo.currentText() == "Hand grinder"
    assert page._choices["water"].combo.currentText() == "tap water"
    assert "first zero" in page._zero_said.text()


def test_a_grinder_added_is_in_use_and_has_a_zero_of_its_own(qtbot, page, desk):
    button(page, "Add another Grinder").click()
    qtbot.keyClicks(page.focusWidget(), "Big grinder")
    with qtbot.waitSignal(page.changed):
        qtbot.keyClick(page.focusWidget(), Qt.Key.Key_Return)
    kit = kit_in_use(desk.store)
    assert kit.grinder.name == "Big grinder"
    assert len(zeros_of(desk.store, kit.grinder.id)) == 1
    assert page._choices["grinder"].combo.currentText() == "Big grinder"
    assert "Big grinder was added" in page._notice.text()


def test_a_change_can_be_undone(qtbot, page, desk):
    button(page, "Change Kettle").click()
    page._forms["kettle"]._tells.box.click()
    page._save.click()
    assert kit_in_use(desk.store).kettle.has_thermometer
    page._notice._undo.click()
    assert not kit_in_use(desk.store).kettle.has_thermometer


def test_a_thing_without_a_name_is_refused_and_what_was_typed_stays(qtbot, page, desk):
    button(page, "Add another Server or mug").click()
    form = page._forms["server"]
    qtbot.keyClicks(form._capacity.line, "600")
    page._save.click()
    assert "Give the server a name" in form._name.error()
    assert form._capacity.text() == "600"


def test_a_dripper_is_measured_in_millimetres(qtbot, page, desk):
    button(page, "Change Dripper").click()
    form = page._forms["dripper"]
    qtbot.keyClicks(form._sizes["top"].line, "116,5")
    page._save.click()
    assert kit_in_use(desk.store).dripper.top_m == pytest.approx(0.1165)


def test_a_size_that_cannot_be_is_said_beside_it(qtbot, page):
    button(page, "Change Dripper").click()
    form = page._forms["dripper"]
    qtbot.keyClicks(form._sizes["top"].line, "5")
    page._save.click()
    assert "5 mm cannot be" in form._sizes["top"].error()


def test_a_zero_taken_keeps_why_and_how(qtbot, page, desk):
    page._open_zero()
    page._zero._found.combo.setCurrentIndex(1)
    qtbot.keyClicks(page._zero._reading.line, "3")
    page._save.click()
    zero = zeros_of(desk.store, kit_in_use(desk.store).grinder.id)[-1]
    assert (zero.reason, zero.found, zero.reading) == (
        ZeroReason.CLEANED,
        ZeroFound.FIRST_RUB,
        3,
    )
    assert "cleaned, burrs first rubbed" in page._zero_said.text()


def test_a_reading_the_dial_has_not_got_is_refused(qtbot, page):
    page._open_zero()
    qtbot.keyClicks(page._zero._reading.line, "A")
    page._save.click()
    assert "does not read “A”" in page._zero._reading.error()


def test_the_grinder_is_to_be_unplugged_before_it_is_opened_and_that_is_said_once(page):
    page._open_zero()
    assert "Unplug an electric grinder" in page._spots["zero"].text()
    page._spots["zero"].see()
    page._open_zero()
    assert page._spots["zero"].text() == ""


def test_minerals_are_spoken_of_where_a_water_is_entered(page):
    page._add("water")
    assert "food grade only" in page._spots["water"].text()
    assert page._spots["zero"].text() == ""


def test_another_thing_chosen_is_put_to_use(qtbot, page, desk):
    button(page, "Add another Water").click()
    qtbot.keyClicks(page.focusWidget(), "bottled")
    page._save.click()
    page._choices["water"].combo.setFocus()
    qtbot.keyClick(page._choices["water"].combo, Qt.Key.Key_Up)
    assert kit_in_use(desk.store).water.name == "tap water"


def test_escape_leaves_a_form_and_changes_nothing(qtbot, page, desk):
    button(page, "Change Grinder").click()
    qtbot.keyClicks(page.focusWidget(), "x")
    qtbot.keyClick(page.focusWidget(), Qt.Key.Key_Escape)
    assert not page._save.isVisible()
    assert kit_in_use(desk.store).grinder.name == "Hand grinder"


def test_everything_has_a_name_and_is_reached_by_tab(qtbot, page):
    assert unnamed(page) == []
    assert unreached(page) == []
    for kind in KINDS:
        page._add(kind)
        assert unnamed(page) == []
        assert unreached(page) == []
    page._open_zero()
    assert unnamed(page) == []
    assert unreached(page) == []
