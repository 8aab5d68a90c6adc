"""How good the model is, as it is seen, read out and gone through by keys."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QLabel
from test_look import contrast
from test_pseudo_language import cut, plain, settle, texts_of
from walk import unnamed, unreached

from halfclick.pseudo import pseudo_wording
from halfclick.service.done import Touched
from halfclick.service.held_bands import Held
from halfclick.service.kitchens import KitchenEntry, set_up_kitchen
from halfclick.service.model_check import check_model
from halfclick_desktop import look
from halfclick_desktop.desk import Desk
from halfclick_desktop.kit_page import KitPage
from halfclick_desktop.model_check_page import ModelCheckPage
from halfclick_desktop.widgets.curve_picture import CurvePicture


@pytest.fixture(scope="module")
def check():
    return check_model()


@pytest.fixture
def opened(qtbot, desk, monkeypatch, check):
    """Return what opens the page; the check is computed once for all tests."""
    monkeypatch.setattr("halfclick.service.model_check.check_model", lambda: check)

    def made(words=desk.words) -> ModelCheckPage:
        page = ModelCheckPage(Desk(store=desk.store, clock=desk.clock, words=words, jobs=desk.jobs))
        qtbot.addWidget(page)
        page.resize(1100, 760)
        page.show()
        qtbot.waitUntil(lambda: page._turn.isEnabled() and bool(page._held.text()), timeout=20_000)
        settle()
        return page

    return made


def said(page) -> list[str]:
    return [one.text() for one in page.findChildren(QLabel) if one.isVisibleTo(page)]


def test_each_curve_stands_with_its_source_and_how_far_off_ours_is(opened):
    page = opened()
    shown = " ".join(said(page)).replace("\u00a0", " ")
    assert len(page.findChildren(CurvePicture)) == 5
    assert "Predicted, off by 2.7 kg/m³ on average." in shown
    assert shown.count("Fitted to these points") == 2
    assert shown.count("Moroney et al. (2015)") == 5
    assert "are being computed" not in shown


def test_what_it_does_not_know_and_the_constants_are_told(opened):
    page = opened()
    shown = said(page)
    assert any("drip paper" in one for one in shown)
    assert any("burrs wear" in one for one in shown)
    assert "burrs wear" in page._unknown.accessibleDescription()
    cells = [page._constants.text(2, column).replace("\u00a0", " ") for column in range(4)]
    assert cells[1:3] == ["20 µm²", "6.3 to 63 µm²"]
    assert "3 mL/s" in cells[3]


def test_left_and_right_go_from_point_to_point_and_say_each(qtbot, opened):
    page = opened()
    picture = page.findChildren(CurvePicture)[2]
    assert "Predicted" in picture.accessibleName()
    assert picture.accessibleDescription().startswith("At 42.2 s: published 24.47")
    qtbot.keyClick(picture, Qt.Key.Key_Right)
    assert picture.accessibleDescription().startswith("At 59.2 s")
    qtbot.keyClick(picture, Qt.Key.Key_End)
    qtbot.keyClick(picture, Qt.Key.Key_Right)
    assert picture.accessibleDescription().startswith("At 300 s: published 32.26")
    qtbot.keyClick(picture, Qt.Key.Key_Home)
    assert picture.told().startswith("At 42.2 s")


def test_t_shows_the_curves_as_a_table_and_again_as_pictures(qtbot, opened):
    page = opened()
    qtbot.keyClick(page._turn, Qt.Key.Key_T)
    assert page._table.isVisible()
    assert not page._pictures.isVisible()
    row = [page._table.text(0, column).replace("\u00a0", " ") for column in range(5)]
    assert row[:3] == ["Stirred, fine, 405 µm", "At 34.7 s", "29.01 kg/m³"]
    qtbot.keyClick(page._table, Qt.Key.Key_T)
    assert page._pictures.isVisible()


def test_published_and_ours_differ_by_shape_and_are_seen_in_both_themes(qapp, opened):
    page = opened()
    picture = page.findChildren(CurvePicture)[0]
    for theme, tokens in ((look.Theme.DARK, look.DARK), (look.Theme.LIGHT, look.LIGHT)):
        look.apply(qapp, theme)
        image = picture.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
        pixels = set(memoryview(image.constBits()).cast("I"))
        colours = {f"#{pixel & 0xFFFFFF:06X}" for pixel in pixels}
        assert tokens.ink in colours
        assert tokens.change not in colours
        assert contrast(tokens.ink, tokens.sheet) >= 4.5


def test_own_forecasts_are_counted_or_it_is_said_that_there_are_none(opened):
    page = opened()
    assert "No forecast of yours" in page._held.text()
    page._show_held((Held(quantity="time_s", cups=8, held=7),))
    assert page._held.text() == "Drained time: inside the band in 7 of 8 cups."


def test_a_change_of_brews_is_read_again(qtbot, opened, monkeypatch):
    page = opened()
    answer = (Held(quantity="strength", cups=1, held=1),)
    monkeypatch.setattr("halfclick_desktop.model_check_page.held_bands", lambda store: answer)
    page.reload(Touched.KIT)
    page.reload(Touched.BREWS)
    qtbot.waitUntil(lambda: "1 of 1 cup." in page._held.text())


def test_everything_has_a_name_and_the_tab_key_reaches_it(opened):
    page = opened()
    assert unnamed(page) == []
    assert unreached(page) == []


def test_page_down_goes_down_the_page(qtbot, opened):
    page = opened()
    qtbot.keyClick(page._turn, Qt.Key.Key_PageDown)
    assert page._scroll.verticalScrollBar().value() > 0
    qtbot.keyClick(page._turn, Qt.Key.Key_PageUp)
    assert page._scroll.verticalScrollBar().value() == 0


def test_every_text_is_from_a_catalogue_and_none_is_cut(opened):
    page = opened(pseudo_wording())
    assert [text for text in texts_of(page) if plain(text, set())] == []
    page._turn.toggle()
    assert [text for text in texts_of(page) if plain(text, set())] == []
    page._turn.toggle()
    page.resize(page.minimumSizeHint().width(), 760)
    settle()
    assert cut(page) == []


def test_the_kit_page_leads_to_it(qtbot, desk):
    set_up_kitchen(desk.store, KitchenEntry(), clock=desk.clock)
    page = KitPage(desk)
    qtbot.addWidget(page)
    with qtbot.waitSignal(page.page_asked) as asked:
        page._model.key.click()
    assert asked.args == ["model_check"]


def test_what_comes_in_later_takes_the_keys_from_no_one(opened, qapp):
    page = opened()
    others = [one for one in qapp.topLevelWidgets() if one is not page.window() and one.isVisible()]
    assert others == []
    assert qapp.activeWindow() is page.window()


def test_where_there_is_less_room_fewer_curves_stand_in_a_row(qapp, opened):
    page = opened()
    curves = page.findChildren(CurvePicture)

    def in_the_first_row():
        qapp.processEvents()
        tops = [one.mapTo(page, one.rect().topLeft()).y() for one in curves]
        return tops.count(min(tops))

    page.resize(1200, 700)
    assert in_the_first_row() == 3
    page.resize(717, 470)
    assert in_the_first_row() == 2
    assert page.minimumSizeHint().width() <= 717
