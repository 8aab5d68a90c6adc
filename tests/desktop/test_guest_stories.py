"""Guests and a shared pot through the real window, by keys: what is done and what is seen."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from test_stories import Person, brew, taste, texts
from walk import unnamed, unreached

from halfclick.model.grinder import read_setting
from halfclick.model.recipe import even_pours
from halfclick.model.tasting import Verdict
from halfclick.service.caffeine import CaffeineShown, show_caffeine
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick.store.opening import open_store

LARGE_CONE = KitchenEntry(
    top_m=0.15, bottom_m=0.01, height_m=0.12, kettle_has_thermometer=True, server_name="jug"
)


@pytest.fixture
def person(qtbot, start, clock):
    def begun() -> Person:
        program = start()
        # Keys with Ctrl go to the active window only.
        program.window.activateWindow()
        qtbot.waitUntil(program.window.isActiveWindow)
        return Person(qtbot, program, clock)

    return begun


@pytest.fixture
def kept(journal, clock):
    """Return a function that makes a journal with one kept cup, drained at 2:45."""

    def made(kitchen: KitchenEntry, dose_g: float, water_g: float) -> None:
        store = open_store(journal, clock=clock)
        set_up_kitchen(store, kitchen, clock=clock)
        kit = kit_in_use(store)
        bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
        planned = next_plan(store, bag.id, today=clock().date())
        recipe = replace(
            planned.recipe,
            dose_g=dose_g,
            water_g=water_g,
            pours=even_pours(dose_g, water_g),
            setting=read_setting(kit.grinder, kit.zero, "20"),
        )
        entry = BrewEntry(planned=replace(planned, recipe=recipe), drained_s=165.0)
        made_brew = record_brew(store, entry, kit, clock=clock).value
        clock.advance(600)
        tasted = TastingEntry(liking=8.0, verdict=Verdict.KEEP)
        record_tasting(store, made_brew.id, tasted, clock=clock)
        clock.advance(86_400)
        store.close()

    return made


def to_the_plan(person: Person) -> None:
    """Go from the shelf to the sheet and on to the plan."""
    person.press(Qt.Key.Key_Return)
    assert person.page() == "sheet"
    person.type("p")
    assert person.page() == "plan"


def ctrl(person: Person, key: Qt.Key) -> None:
    focused = person.window.focusWidget() or person.window
    person.qtbot.keyClick(focused, key, Qt.KeyboardModifier.ControlModifier)


def type_dose(person: Person, text: str) -> None:
    """Go on to the coffee in all by Tab, as a person does, and type it."""
    person.press(Qt.Key.Key_Tab, Qt.Key.Key_Tab)
    person.type(text)
    person.press(Qt.Key.Key_Return)


def test_a_small_recipe_is_scaled_for_guests_and_its_time_is_learned(kept, person):
    kept(LARGE_CONE, 15.0, 250.0)
    noor = person()
    to_the_plan(noor)
    ctrl(noor, Qt.Key.Key_G)
    assert noor.page() == "guests"
    type_dose(noor, "40")

    seen = noor.sees()
    assert noor.page() == "guests"
    assert "40 g of coffee, 667 g of water" in seen
    assert "bloom 120 g" in seen
    assert "About 3:30 until drained" in seen
    assert "an estimate, at the same grind" in seen
    assert "if it was, 1 to 2 steps coarser" in seen
    assert "Nothing speaks against it" in seen
    assert "to 120 g" in seen
    assert "0:45  to " in seen
    assert "to 667 g" in seen

    noor.press(Qt.Key.Key_Return)
    assert noor.page() == "plan"
    assert "to 667 g" in noor.sees()
    noor.press(Qt.Key.Key_Return)
    assert noor.page() == "guide"
    brew(noor, drained_after_s=221, final="667")
    assert noor.page() == "taste"
    assert "Scaled: about" in noor.sees()
    assert "The time it took teaches the next one." in noor.sees()
    taste(noor, sour="1", bitter="1", thin="1", harsh="1", sweet="5", felt="r", liking="8")
    noor.type("k")
    noor.press(Qt.Key.Key_Return)

    cup = noor.last_cup("Tarn Hollow")
    assert cup.scaled
    assert cup.brew.changes == ()
    assert cup.brew.poured.drained_s.value == pytest.approx(221, abs=2)

    noor.window.open_page("coffees")
    to_the_plan(noor)
    assert "to 250 g" in noor.sees()
    ctrl(noor, Qt.Key.Key_G)
    type_dose(noor, "40")
    assert "Learned from your brew of a scaled recipe on this dripper" in noor.sees()


def test_a_dripper_too_small_for_the_guests_is_said(kept, person):
    kept(KitchenEntry(), 15.0, 250.0)
    noor = person()
    to_the_plan(noor)
    ctrl(noor, Qt.Key.Key_G)
    type_dose(noor, "40")
    assert "40 g wants room for 45 g" in noor.sees()


def test_guests_and_their_cups_are_turned_into_a_dose(kept, person):
    kept(LARGE_CONE, 15.0, 250.0)
    noor = person()
    to_the_plan(noor)
    ctrl(noor, Qt.Key.Key_G)
    noor.type("3")
    noor.press(Qt.Key.Key_Tab)
    noor.type("200")
    noor.press(Qt.Key.Key_Return)
    # 600 g to drink at 1:16.67, 2.1 g kept back by each gram: 41.2 g.
    assert "41.2 g of coffee" in noor.sees()
    assert "about 600 g to drink" in noor.sees() or "about 601 g to drink" in noor.sees()


def test_water_added_afterwards_is_offered_and_goes_with_the_plan(kept, person):
    kept(LARGE_CONE, 15.0, 250.0)
    noor = person()
    to_the_plan(noor)
    ctrl(noor, Qt.Key.Key_G)
    type_dose(noor, "40")
    noor.window.page("guests")._bypass.box.setFocus()
    noor.press(Qt.Key.Key_Space)
    assert "480 g of water and 187 g afterwards" in noor.sees()
    assert "A usual way for large brews" in noor.sees()
    noor.press(Qt.Key.Key_Return)
    assert noor.page() == "plan"
    assert "then add 187 g of hot water to the drink" in noor.sees()


def test_a_shared_pot_says_its_caffeine_as_a_range_with_the_authoritys_figures(kept, person):
    kept(LARGE_CONE, 20.0, 320.0)
    dana = person()
    to_the_plan(dana)
    assert "mg of caffeine" not in dana.sees()
    ctrl(dana, Qt.Key.Key_K)
    assert dana.page() == "guests"
    dana.type("40")
    dana.press(Qt.Key.Key_Return)

    seen = dana.sees()
    assert dana.page() == "guests"
    assert "This pot: 170 to 270 mg" in seen
    assert "A share of 40 %: 70 to 110 mg" in seen
    assert "EFSA (2015)" in seen
    assert "Pregnant or breastfeeding: no concern up to 200 mg a day" in seen
    assert "Ask your doctor or midwife; this is not medical advice." in seen
    assert "With 10 g of it and 10 g of decaf instead" in seen
    for claim in ("safe amount", "healthy choice"):
        assert claim not in seen

    dana.window.page("guests")._caffeine._half.click()
    assert "Noted with the recipe: 10 g of this coffee and 10 g of decaf." in dana.sees()
    dana.window.page("guests")._take.click()
    planned = dana.window.page("plan").planned()
    assert any(one.code == "caffeine_panel.half_decaf_note" for one in planned.why)


def test_whoever_does_not_want_to_see_caffeine_does_not(kept, person, journal, clock):
    kept(LARGE_CONE, 20.0, 320.0)
    store = open_store(journal, clock=clock)
    show_caffeine(store, CaffeineShown.NEVER, clock=clock)
    store.close()
    dana = person()
    to_the_plan(dana)
    ctrl(dana, Qt.Key.Key_K)
    assert dana.page() == "plan"
    ctrl(dana, Qt.Key.Key_G)
    assert dana.page() == "guests"
    ctrl(dana, Qt.Key.Key_K)
    assert "Caffeine" not in texts(dana.window.page("guests"))


def test_hot_water_is_warned_of_once_and_can_be_read_again(kept, person):
    kept(LARGE_CONE, 15.0, 250.0)
    ada = person()
    to_the_plan(ada)
    assert "Brew water burns at once" in ada.sees()
    assert "IARC Monographs volume 116 (2016)" in ada.sees()
    ctrl(ada, Qt.Key.Key_D)
    assert "Brew water burns at once" not in ada.sees()
    ada.press(Qt.Key.Key_Escape)
    ada.type("p")
    assert ada.page() == "plan"
    assert "Brew water burns at once" not in ada.sees()

    ada.window.open_page("settings")
    settings = ada.window.page("settings")
    assert "Brew water burns at once" not in ada.sees()
    settings._cautions._read.setFocus()
    ada.press(Qt.Key.Key_Space)
    assert "Brew water burns at once" in ada.sees()
    assert "Brown and Diller (2008)" in ada.sees()


def test_what_cannot_be_is_refused_with_a_sentence(kept, person):
    kept(LARGE_CONE, 15.0, 250.0)
    ada = person()
    to_the_plan(ada)
    ctrl(ada, Qt.Key.Key_G)
    page = ada.window.page("guests")
    type_dose(ada, "9999")
    assert page._dose.error()
    ada.press(Qt.Key.Key_Return)
    assert ada.page() == "guests"
    page._people.setFocus()
    page._people.line.selectAll()
    ada.type("1.5")
    ada.press(Qt.Key.Key_Return)
    assert "Give a whole number" in page._people.error()


def test_everything_for_guests_has_a_name_and_is_reached_by_tab(kept, person):
    kept(LARGE_CONE, 20.0, 320.0)
    ada = person()
    to_the_plan(ada)
    ctrl(ada, Qt.Key.Key_K)
    page = ada.window.page("guests")
    assert unnamed(page) == []
    assert unreached(page) == []
