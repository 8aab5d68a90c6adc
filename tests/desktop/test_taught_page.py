"""What a person sees of what their kit taught."""

import pytest
from PySide6.QtWidgets import QLabel, QPushButton
from walk import unnamed, unreached

from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, record_brew
from halfclick_desktop.taught_page import TaughtPage


@pytest.fixture
def page(qtbot, desk):
    set_up_kitchen(desk.store, KitchenEntry(grinder_name="Hand grinder"), clock=desk.clock)
    page = TaughtPage(desk)
    qtbot.addWidget(page)
    page.resize(1100, 700)
    page.reload(Touched.KIT)
    return page


def shown(qtbot, page) -> list[str]:
    page.show()
    qtbot.waitUntil(lambda: "…" not in page._said.text(), timeout=20_000)
    return [label.text() for label in page.findChildren(QLabel)]


def test_before_any_brew_nothing_is_told_and_the_unknown_is_said_to_be(qtbot, page):
    said = shown(qtbot, page)
    assert any("No brew with Hand grinder" in text for text in said)
    assert "Not told by your brews: still about 427 to 1147 µm." in said
    assert any("Unknown in the field" in text and "No measured value" in text for text in said)
    assert not unnamed(page)
    assert not unreached(page)


def test_brews_narrow_bands_and_a_measurement_leads_to_its_form(qtbot, page, desk, clock):
    bag = add_coffee(desk.store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    kit = kit_in_use(desk.store)
    for _ in range(2):
        planned = next_plan(desk.store, bag.id, today=clock().date())
        entry = BrewEntry(planned=planned, drained_s=150.0, beverage_g=205.0)
        record_brew(desk.store, entry, kit, clock=clock)
        clock.advance(86_400)
    page.reload(Touched.BREWS)
    said = shown(qtbot, page)
    assert any(text.startswith("From 2 brews with Hand grinder on My dripper") for text in said)
    assert any(text.startswith("A little told: ") for text in said)
    buttons = {one.text(): one for one in page.findChildren(QPushButton)}
    with qtbot.waitSignal(page.measure_asked) as asked:
        buttons["Sieve that setting"].click()
    assert asked.args == ["sieving"]
