import pytest
from PySide6.QtCore import Qt
from walk import focusable, unnamed, unreached

from halfclick.model.grinder import ZeroFound, ZeroReason
from halfclick.model.minerals import Minerals
from halfclick.service.concentrates import edit_water
from halfclick.service.done import Touched
from halfclick.service.grinders import zeros_of
from halfclick.service.kettle_readings import readings_of
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.sievings import sievings_of
from halfclick.units import TemperatureUnit, Units
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

    buttons = page.findChildren(QPushButton)
    return next(b for b in buttons if name in (b.accessibleName(), b.text()))


def test_what_is_in_use_is_shown(page):
    assert page._choices["grinder"].combo.currentText() == "Hand grinder"
    assert page._choices["water"].combo.currentText() == "tap water"
    assert "first zero" in page._zeros.said()


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


def test_tab_goes_from_the_last_field_of_a_form_to_save(qtbot, page):
    button(page, "Add another Grinder").click()
    form = page._forms["grinder"]
    last = [one for one in focusable(page) if form.isAncestorOf(one)][-1]
    last.setFocus()
    qtbot.keyClick(last, Qt.Key.Key_Tab)
    assert page.focusWidget() is page._side.save
    qtbot.keyClick(page._side.save, Qt.Key.Key_Tab)
    assert page.focusWidget() is page._side._cancel


def test_ways_from_the_kit_have_keys(qtbot, page):
    page.activateWindow()
    qtbot.waitUntil(page.isActiveWindow)
    for key, asked in ((Qt.Key.Key_T, page.taught_asked), (Qt.Key.Key_B, page.convert_asked)):
        with qtbot.waitSignal(asked):
            qtbot.keyClick(page, key, Qt.KeyboardModifier.ControlModifier)


def test_whether_the_dripper_is_warmed_first_is_kept(qtbot, page, desk):
    warmed = page._place.preheats
    assert warmed.value()
    warmed.box.setFocus()
    qtbot.keyClick(warmed.box, Qt.Key.Key_Space)
    with qtbot.waitSignal(page.changed):
        qtbot.keyClick(warmed.box, Qt.Key.Key_Return)
    assert not kit_in_use(desk.store).preheats
    assert not warmed.value()


def test_a_change_can_be_undone(qtbot, page, desk):
    button(page, "Change Kettle").click()
    page._forms["kettle"]._tells.box.click()
    page._side.save.click()
    assert kit_in_use(desk.store).kettle.has_thermometer
    page._notice._undo.click()
    assert not kit_in_use(desk.store).kettle.has_thermometer


def test_a_thing_without_a_name_is_refused_and_what_was_typed_stays(qtbot, page, desk):
    button(page, "Add another Server or mug").click()
    form = page._forms["server"]
    qtbot.keyClicks(form._capacity.line, "600")
    page._side.save.click()
    assert "Give the server a name" in form._name.error()
    assert form._capacity.text() == "600"


def test_a_dripper_is_measured_in_millimetres(qtbot, page, desk):
    button(page, "Change Dripper").click()
    form = page._forms["dripper"]
    qtbot.keyClicks(form._sizes["top"].line, "116,5")
    page._side.save.click()
    assert kit_in_use(desk.store).dripper.top_m == pytest.approx(0.1165)


def test_a_size_that_cannot_be_is_said_beside_it(qtbot, page):
    button(page, "Change Dripper").click()
    form = page._forms["dripper"]
    qtbot.keyClicks(form._sizes["top"].line, "5")
    page._side.save.click()
    assert "5 mm cannot be" in form._sizes["top"].error()


def test_a_zero_taken_keeps_why_and_how(qtbot, page, desk):
    page._open_zero()
    page._zero._found.combo.setCurrentIndex(1)
    qtbot.keyClicks(page._zero._reading.line, "3")
    page._side.save.click()
    zero = zeros_of(desk.store, kit_in_use(desk.store).grinder.id)[-1]
    assert (zero.reason, zero.found, zero.reading) == (
        ZeroReason.CLEANED,
        ZeroFound.FIRST_RUB,
        3,
    )
    assert "cleaned, burrs first rubbed" in page._zeros.said()


def test_a_reading_the_dial_has_not_got_is_refused(qtbot, page):
    page._open_zero()
    qtbot.keyClicks(page._zero._reading.line, "A")
    page._side.save.click()
    assert "does not read “A”" in page._zero._reading.error()


def test_the_grinder_is_to_be_unplugged_before_it_is_opened_and_that_is_said_once(page):
    page._open_zero()
    assert "Unplug an electric grinder" in page._side.spots["zero"].text()
    page._side.spots["zero"].see()
    page._open_zero()
    assert page._side.spots["zero"].text() == ""


def test_minerals_are_spoken_of_where_a_water_is_entered(page):
    page._add("water")
    assert "food grade only" in page._side.spots["water"].text()
    assert page._side.spots["zero"].text() == ""


def test_another_thing_chosen_is_put_to_use(qtbot, page, desk):
    button(page, "Add another Water").click()
    qtbot.keyClicks(page.focusWidget(), "bottled")
    page._side.save.click()
    page._choices["water"].combo.setFocus()
    qtbot.keyClick(page._choices["water"].combo, Qt.Key.Key_Up)
    assert kit_in_use(desk.store).water.name == "tap water"


def typed(qtbot, form, **texts: str) -> None:
    for name, text in texts.items():
        qtbot.keyClicks(form.fields[name].line, text)


def test_a_timed_wait_is_typed_listed_taken_away_and_brought_back(qtbot, page, desk):
    assert "not measured yet" in page._waits.taught()
    page._place.room.show_value(21.0)
    page._keep_place()
    button(page, "Add a reading after a timed wait").click()
    form = page._forms["wait"]
    assert form.fields["room"].text() == "21"
    typed(qtbot, form, water="600", start="96", wait="2:00", end="93,5")
    with qtbot.waitSignal(page.changed):
        qtbot.keyClick(page.focusWidget(), Qt.Key.Key_Return)
    (kept,) = readings_of(desk.store, kit_in_use(desk.store).kettle.id)
    assert (kept.wait_s, kept.end_c, kept.lid_on, kept.sd_c) == (120.0, 93.5, True, 0.5)
    (line,) = page._waits.lines()
    assert "a minute near the boil with the lid on (" in page._waits.taught()
    assert page._waits.taught().endswith("from 1 reading.")
    assert "96\N{NO-BREAK SPACE}°C to 93.5\N{NO-BREAK SPACE}°C in 2:00" in line
    page._waits._list.setCurrentRow(0)
    qtbot.keyClick(page._waits._list, Qt.Key.Key_Delete)
    assert page._waits.lines() == []
    assert "not measured yet" in page._waits.taught()
    page._notice._undo.click()
    assert page._waits.lines() == [line]


def test_what_a_timed_wait_still_needs_is_said_beside_it(qtbot, page):
    page._open_wait()
    form = page._forms["wait"]
    typed(qtbot, form, water="600", start="96", wait="soon")
    page._side.save.click()
    assert "is no time" in form.fields["wait"].error()
    form.fields["wait"].show_text("2:00")
    page._side.save.click()
    assert "when the wait was over" in form.fields["end"].error()
    typed(qtbot, form, end="97", room="20")
    page._side.save.click()
    assert "it did not cool" in form.fields["end"].error()


def test_a_thermometers_scatter_is_a_difference_in_fahrenheit_too(qtbot, page, desk, words):
    page._open_wait()
    form = page._forms["wait"]
    words.units = Units(temperature=TemperatureUnit.FAHRENHEIT)
    try:
        for name in ("start", "end", "room", "sd"):
            form.fields[name].show_units()
        typed(qtbot, form, water="600", start="204.8", wait="2:00", end="200", room="68", sd="1.8")
        page._side.save.click()
    finally:
        words.units = Units()
    (kept,) = readings_of(desk.store, kit_in_use(desk.store).kettle.id)
    assert kept.sd_c == pytest.approx(1.0)
    assert kept.start_c == pytest.approx(96.0)


def test_a_sieved_setting_is_typed_row_by_row_and_begins_with_the_last_stack(qtbot, page, desk):
    button(page, "Sieve this setting").click()
    form = page._forms["sieving"]
    assert [form.fields[f"opening_{n}"].isVisible() for n in (4, 5)] == [True, False]
    typed(qtbot, form, setting="18", opening_1="1000", weight_1="4", opening_2="500", weight_2="5")
    typed(qtbot, form, pan="1")
    with qtbot.waitSignal(page.changed):
        qtbot.keyClick(page.focusWidget(), Qt.Key.Key_Return)
    (kept,) = sievings_of(desk.store, kit_in_use(desk.store).grinder.id)
    assert kept.shares == pytest.approx((0.4, 0.5, 0.1))
    (line,) = page._sievings.lines()
    assert "at 18; 1000\N{NO-BREAK SPACE}µm 40\N{NO-BREAK SPACE}%" in line
    page._open_sieving()
    assert form.fields["opening_1"].text() == "1000"
    assert form.fields["weight_1"].text() == ""
    for number in (3, 4):
        typed(qtbot, form, **{f"opening_{number}": "100"})
    assert form.fields["opening_5"].isVisible()


def test_a_sieve_without_its_weight_is_said(qtbot, page):
    page._open_sieving()
    form = page._forms["sieving"]
    typed(qtbot, form, setting="18", opening_1="1000", pan="1")
    page._side.save.click()
    assert "no weight beside it" in form.fields["opening_1"].error()


def test_the_kitchens_air_is_kept(qtbot, page, desk):
    qtbot.keyClicks(page._place.barometer.line, "982.5")
    qtbot.keyClicks(page._place.room.line, "21")
    page._place.room.line.setFocus()
    qtbot.keyClick(page._place.room.line, Qt.Key.Key_Return)
    kitchen = kit_in_use(desk.store).kitchen
    assert (kitchen.barometer_pa, kitchen.room_c) == (pytest.approx(98_250.0), 21.0)
    page._place.barometer.line.clear()
    qtbot.keyClicks(page._place.barometer.line, "30")
    page._keep_place()
    assert "not reduced to sea level" in page._place.barometer.error()


def test_a_kettles_body_and_a_wedges_outlets_are_kept(qtbot, page, desk):
    button(page, "Change Kettle").click()
    typed(qtbot, page._forms["kettle"], body="620", capacity="900")
    page._side.save.click()
    button(page, "Change Dripper").click()
    form = page._forms["dripper"]
    assert not form.fields["bottom_length"].isVisible()
    form.fields["shape"].combo.setCurrentIndex(2)
    typed(qtbot, form, bottom="12", bottom_length="50", outlets="3", outlet="4")
    form.fields["ribs"].combo.setCurrentIndex(1)
    page._side.save.click()
    kit = kit_in_use(desk.store)
    assert (kit.kettle.body_g, kit.kettle.capacity_g) == (620.0, 900.0)
    assert (kit.dripper.outlets, kit.dripper.ribbed) == (3, True)
    assert (kit.dripper.outlet_m, kit.dripper.bottom_length_m) == pytest.approx((0.004, 0.05))


def test_half_an_outlet_is_refused(qtbot, page):
    button(page, "Change Dripper").click()
    form = page._forms["dripper"]
    typed(qtbot, form, outlets="2.5")
    page._side.save.click()
    assert "2.5 outlets" in form.fields["outlets"].error()


def test_a_water_changed_here_keeps_what_is_told_of_it_elsewhere(qtbot, page, desk):
    ions = Minerals(calcium_mg_l=20.0)
    water_id = kit_in_use(desk.store).water.id
    edit_water(desk.store, water_id, minerals=ions, ph=7.0, clock=desk.clock)
    page.reload(Touched.KIT)
    button(page, "Change Water").click()
    typed(qtbot, page._forms["water"], hardness="80")
    page._side.save.click()
    water = kit_in_use(desk.store).water
    assert (water.hardness_mg_l, water.minerals, water.ph) == (80.0, ions, 7.0)


def test_escape_leaves_a_form_and_changes_nothing(qtbot, page, desk):
    button(page, "Change Grinder").click()
    qtbot.keyClicks(page.focusWidget(), "x")
    qtbot.keyClick(page.focusWidget(), Qt.Key.Key_Escape)
    assert not page._side.save.isVisible()
    assert kit_in_use(desk.store).grinder.name == "Hand grinder"


def test_everything_has_a_name_and_is_reached_by_tab(qtbot, page):
    assert unnamed(page) == []
    assert unreached(page) == []
    for kind in KINDS:
        page._add(kind)
        assert unnamed(page) == []
        assert unreached(page) == []
    for opened in (page._open_zero, page._open_wait, page._open_sieving):
        opened()
        assert unnamed(page) == []
        assert unreached(page) == []
