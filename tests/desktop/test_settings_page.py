import pytest
from old_copies import unasked_copies
from PySide6.QtCore import Qt
from walk import unnamed, unreached

from halfclick.model.kit import DrainedRule
from halfclick.service import photos, trial_keys
from halfclick.service.advise import two_changes_allowed
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.settings import units_of, who
from halfclick.units import TemperatureUnit, Units
from halfclick_desktop.look import Theme
from halfclick_desktop.settings_page import SettingsPage


@pytest.fixture
def page(qtbot, desk):
    set_up_kitchen(desk.store, KitchenEntry(), clock=desk.clock)
    page = SettingsPage(desk)
    qtbot.addWidget(page)
    page.resize(900, 900)
    page.reload(Touched.SETTINGS)
    page.show()
    return page


def test_the_name_is_kept_by_return(qtbot, page, desk):
    page._name.line.selectAll()
    qtbot.keyClicks(page._name.line, "Grace")
    with qtbot.waitSignal(page.changed):
        qtbot.keyClick(page._name.line, Qt.Key.Key_Return)
    assert who(desk.store)[0].name == "Grace"


def test_an_empty_name_is_refused_with_a_sentence(qtbot, page, desk):
    page._name.line.clear()
    page._keep.click()
    assert "Type a name" in page._name.error()
    assert who(desk.store)[0].name == "Ada"


def test_the_devices_name_is_kept_by_return(qtbot, page, desk):
    page._device.line.selectAll()
    qtbot.keyClicks(page._device.line, "big machine")
    qtbot.keyClick(page._device.line, Qt.Key.Key_Return)
    assert who(desk.store)[1].name == "big machine"
    assert page._notice.text() == "The names were kept."


def test_a_theme_chosen_is_asked_for_at_once(qtbot, page):
    with qtbot.waitSignal(page.theme_asked) as asked:
        page._theme.combo.setFocus()
        qtbot.keyClick(page._theme.combo, Qt.Key.Key_End)
    assert asked.args == [Theme.DARK.value]


def test_what_drained_means_is_kept(qtbot, page, desk):
    qtbot.keyClick(page._drained.combo, Qt.Key.Key_End)
    assert kit_in_use(desk.store).kitchen.drained_rule is DrainedRule.BED_VISIBLE


def test_two_changes_at_once_are_allowed_by_a_tick_and_forbidden_again(qtbot, page, desk):
    for allowed in (True, False):
        page._two.box.setFocus()
        qtbot.keyClick(page._two.box, Qt.Key.Key_Space)
        with desk.store.reading() as r:
            assert two_changes_allowed(r) is allowed


def test_units_chosen_are_kept_and_told(qtbot, page, desk):
    with qtbot.waitSignal(page.units_chosen) as chosen:
        page._temperature.combo.setFocus()
        qtbot.keyClick(page._temperature.combo, Qt.Key.Key_End)
    fahrenheit = Units(temperature=TemperatureUnit.FAHRENHEIT)
    assert chosen.args == [fahrenheit]
    assert units_of(desk.store) == fahrenheit


def test_the_languages_there_are_can_be_chosen_and_no_other(page):
    assert [page._language.combo.itemText(i) for i in range(page._language.combo.count())] == [
        "English"
    ]
    assert "English is the only language there is so far" in page._language._hint.text()


def test_the_journals_place_is_shown_and_how_to_move_it(page, desk):
    assert str(desk.store.path) in page._journal._place.accessibleName()
    told = page._journal._move.text()
    assert "--journal" in told
    # What lies beside the journal and is named in it would stay behind.
    for folder in ("backups", photos.FOLDER, trial_keys.FOLDER):
        assert f"“{folder}”" in told


def test_a_copy_asked_for_is_made_and_shown(qtbot, page, desk):
    page._copies._copy.click()
    qtbot.waitUntil(lambda: "A copy lies at" in page._notice.text(), timeout=20_000)
    assert len(list((desk.store.path.parent / "backups").glob("*.db"))) == 1
    assert "One copy" in page._copies._said.text()
    assert "25 Nov 2026" in page._copies._list.item(0).text()
    assert "asked for" in page._copies._list.item(0).text()


def test_fewer_copies_kept_removes_the_oldest_that_were_made_unasked(qtbot, page, desk):
    unasked_copies(desk.store, 6)
    page.reload(Touched.SETTINGS)
    page._copies._kept.combo.setFocus()
    qtbot.keyClick(page._copies._kept.combo, Qt.Key.Key_Home)  # the newest 3
    qtbot.waitUntil(lambda: "3 old copies were removed" in page._notice.text(), timeout=20_000)
    assert page._copies._list.count() == 3


def test_the_rules_stand_nowhere_else_and_are_opened_from_here(qtbot, page):
    with qtbot.waitSignal(page.page_asked) as asked:
        page._rules.click()
    assert asked.args == ["rules"]


def test_everything_has_a_name_and_is_reached_by_tab(qtbot, page):
    assert unnamed(page) == []
    assert unreached(page) == []
