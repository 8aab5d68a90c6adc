import pytest
from PySide6.QtCore import Qt
from walk import unnamed, unreached

from halfclick.model.kit import DrainedRule
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.settings import who
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
    page._name_kept.click()
    assert "Type a name" in page._name.error()
    assert who(desk.store)[0].name == "Ada"


def test_a_theme_chosen_is_asked_for_at_once(qtbot, page):
    with qtbot.waitSignal(page.theme_asked) as asked:
        page._theme.combo.setFocus()
        qtbot.keyClick(page._theme.combo, Qt.Key.Key_End)
    assert asked.args == [Theme.DARK.value]


def test_what_drained_means_is_kept(qtbot, page, desk):
    qtbot.keyClick(page._drained.combo, Qt.Key.Key_End)
    assert kit_in_use(desk.store).kitchen.drained_rule is DrainedRule.BED_VISIBLE


def test_the_journals_place_is_shown(page, desk):
    assert str(desk.store.path) in page._place.text()


def test_a_copy_asked_for_is_made_and_shown(qtbot, page, desk):
    page._copy.click()
    qtbot.waitUntil(lambda: "A copy lies at" in page._notice.text(), timeout=20_000)
    assert len(list((desk.store.path.parent / "backups").glob("*.db"))) == 1
    assert "One copy" in page._copies.text()


def test_everything_has_a_name_and_is_reached_by_tab(qtbot, page):
    assert unnamed(page) == []
    assert unreached(page) == []
