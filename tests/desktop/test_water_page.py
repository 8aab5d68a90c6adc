import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from walk import unnamed, unreached

from halfclick.model.concentrate import Salt
from halfclick.model.kit import Water
from halfclick.physics.minerals.hardness_units import HardnessUnit
from halfclick.service.concentrates import concentrates
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitchenEntry, kit_in_use, list_kit, set_up_kitchen
from halfclick_desktop.water_page import WaterPage

LABEL = {
    "calcium": "80",
    "magnesium": "26",
    "bicarbonate": "360",
    "sodium": "6,5",
    "chloride": "10",
    "sulfate": "14",
}


@pytest.fixture
def page(qtbot, desk):
    set_up_kitchen(desk.store, KitchenEntry(), clock=desk.clock)
    page = WaterPage(desk)
    qtbot.addWidget(page)
    page.changed.connect(page.reload)
    page.resize(1096, 760)
    page.reload(~Touched.NOTHING)
    page.show()
    return page


def typed(qtbot, page, name: str = "Bottled spring") -> None:
    """Type a label as it stands on a bottle, and leave it unsaved."""
    qtbot.keyClick(page, Qt.Key.Key_N)
    qtbot.keyClicks(page.focusWidget(), name)
    for ion, text in LABEL.items():
        qtbot.keyClicks(page._form._ions[ion].line, text)


def kept(qtbot, page) -> None:
    typed(qtbot, page)
    qtbot.keyClick(page._form._tds.line, Qt.Key.Key_Return)


def choose(field, text: str) -> None:
    field.combo.setCurrentIndex(field.combo.findText(text))


def test_a_new_user_is_told_what_to_do_first(page):
    assert "Press E and type" in page._report.texts()
    assert "is not known yet" in page._mix.texts()


def test_a_label_is_read_while_it_is_typed(qtbot, page):
    typed(qtbot, page)
    said = page._report.texts()
    assert "Hardness 307 mg/L, alkalinity 295 mg/L" in said
    assert "Scale: much" in said
    assert "Total hardness: 307 mg/L: 132 mg/L too high" in said
    assert len(list_kit(page._desk.store, Water)) == 1  # nothing is kept yet


def test_what_do_i_add_to_this_bottled_water(qtbot, page):
    kept(qtbot, page)
    said = page._mix.texts()
    assert "1. Take 135.5\N{NO-BREAK SPACE}g of Bottled spring." in said
    assert "of demineralised water" in said
    assert "magnesium sulfate heptahydrate" in said
    assert "That makes hardness 68 mg/L and alkalinity 40 mg/L." in said
    assert "keep it as a stock" in said


def test_without_anything_to_thin_it_the_page_says_what_binds(qtbot, page):
    kept(qtbot, page)
    choose(page._mix._thin, "nothing")
    assert "adding takes nothing away" in page._mix.texts()


def test_an_absurd_target_is_refused_with_a_sentence_and_nothing_can_be_kept(qtbot, page):
    kept(qtbot, page)
    page._mix._hardness.line.clear()
    qtbot.keyClicks(page._mix._hardness.line, "2000")
    assert "is not for brewing" in page._mix.texts()
    assert "Take" not in page._mix.texts()
    assert not page._mix.keep.isEnabled()


def test_the_finished_water_is_kept_and_can_be_brewed_with(qtbot, page):
    kept(qtbot, page)
    page._mix._made.line.setFocus()
    qtbot.keyClick(page._mix._made.line, Qt.Key.Key_Return)
    assert "made for brewing was kept" in page._notice.text()
    qtbot.keyClick(page, Qt.Key.Key_U)
    water = kit_in_use(page._desk.store).water
    assert water.name == "Bottled spring, made for brewing"
    assert water.hardness_mg_l == 68.0
    assert water.minerals.sodium_mg_l == pytest.approx(0.9, abs=0.1)


def test_a_strip_is_typed_in_degrees_and_kept_in_mg(qtbot, page):
    choose(page._side.unit, "German degrees, °dH")
    qtbot.keyClick(page, Qt.Key.Key_E)
    qtbot.keyClicks(page._form._hardness.line, "10")
    qtbot.keyClicks(page._form._alkalinity.line, "6")
    page._save.click()
    water = kit_in_use(page._desk.store).water
    assert water.hardness_mg_l == pytest.approx(178.48, abs=0.01)
    assert "Hardness 10 °dH, alkalinity 6 °dH" in page._report.texts()
    assert "at most" in page._report.texts()
    assert "3.81" in page._mix._hardness.text()  # 68 mg/L


def test_a_stock_says_how_it_is_made_and_doses_in_millilitres(qtbot, page):
    kept(qtbot, page)
    qtbot.keyClick(page, Qt.Key.Key_S)
    assert "Dissolve 2.46\N{NO-BREAK SPACE}g" in page._stock_form.recipe()
    page._save.click()
    assert "food or pharmacopoeia grade" in page._stock_form._food_grade.error()
    page._stock_form._food_grade.box.click()
    page._save.click()
    assert concentrates(page._desk.store)[0].salt is Salt.MAGNESIUM_SULFATE_7H2O
    assert "mL of magnesium sulfate heptahydrate stock" in page._mix.texts()
    page._side.buttons["remove_stock"].click()
    assert concentrates(page._desk.store) == ()
    page._notice._undo.click()
    assert len(concentrates(page._desk.store)) == 1


def test_an_impossible_number_is_said_beside_its_field(qtbot, page):
    qtbot.keyClick(page, Qt.Key.Key_N)
    qtbot.keyClicks(page.focusWidget(), "Spring")
    qtbot.keyClicks(page._form._ions["calcium"].line, "80000")
    page._save.click()
    assert "0 to 5000" in page._form._ions["calcium"].error()
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    assert not page._editor.isVisible()


def test_a_misread_label_is_doubted(qtbot, page):
    kept(qtbot, page)
    qtbot.keyClick(page, Qt.Key.Key_E)
    qtbot.keyClick(page._form._ions["calcium"].line, Qt.Key.Key_Backspace)
    assert "do not balance" in page._report.texts()
    page._save.click()
    page._notice._undo.click()
    assert list_kit(page._desk.store, Water)[-1].minerals.calcium_mg_l == 80.0


def test_an_empty_target_is_the_usual_one_and_never_none(qtbot, page):
    kept(qtbot, page)
    page._mix._alkalinity.line.setFocus()
    for _ in "40":
        qtbot.keyClick(page._mix._alkalinity.line, Qt.Key.Key_Backspace)
    assert page._mix._alkalinity.text() == ""
    assert page._mix._alkalinity.line.placeholderText() == "40"
    assert "alkalinity 40 mg/L" in page._mix.texts()


def test_undo_gives_back_the_water_that_was_edited_not_the_one_looked_at_since(qtbot, page):
    kept(qtbot, page)
    qtbot.keyClick(page, Qt.Key.Key_E)
    page._form._ions["calcium"].show_text("70")
    page._side.waters.choose(0)
    page._save.click()
    page._notice._undo.click()
    bottle = list_kit(page._desk.store, Water)[-1]
    assert (bottle.name, bottle.minerals.calcium_mg_l) == ("Bottled spring", 80.0)


def test_the_picture_is_told_in_words_too(qtbot, page):
    kept(qtbot, page)
    assert "Sodium: 6.5\N{NO-BREAK SPACE}mg/L: 3.5\N{NO-BREAK SPACE}mg/L under target" in (
        page._report.picture.accessibleDescription()
    )
    assert page._report.picture.accessibleName()


@pytest.mark.parametrize("key", [None, Qt.Key.Key_N, Qt.Key.Key_S])
def test_every_control_is_named_and_reached(qtbot, page, key):
    if key is not None:
        qtbot.keyClick(page, key)
    assert unnamed(page) == []
    assert unreached(page) == []


def test_every_unit_prints_every_water(qtbot, page):
    kept(qtbot, page)
    for unit in HardnessUnit:
        page._side.unit.show_value(unit)
        page._choose_unit(unit)
        figures = page._report.findChildren(QLabel)
        assert any(
            page._desk.words(f"hardness_unit.sign_{unit.value}") in one.text() for one in figures
        )
