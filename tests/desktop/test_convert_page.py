"""What a person sees who goes to another grinder."""

from uuid import uuid4

from PySide6.QtCore import Qt
from walk import unnamed, unreached

from halfclick.model.grinder import Grinder, read_setting
from halfclick.model.moves import with_setting
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.done import Touched
from halfclick.service.kitchens import (
    PLAIN_CLICKS,
    KitchenEntry,
    add_thing,
    kit_in_use,
    set_up_kitchen,
)
from halfclick.service.plan import next_plan, planned_from
from halfclick.service.record import BrewEntry, record_brew
from halfclick_desktop.convert_page import ConvertPage


def test_a_new_grinder_is_told_where_to_begin_and_why_the_range_is_wide(qtbot, desk, store, clock):
    set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    other = Grinder(id=uuid4(), name="Other grinder", numbering=PLAIN_CLICKS)
    add_thing(store, other, clock=clock)
    page = ConvertPage(desk)
    qtbot.addWidget(page)
    page.resize(1000, 700)
    page.reload(Touched.KIT)
    page.show()
    assert not unnamed(page)
    assert not unreached(page)
    page._grinder.show_value(other.id)
    # Said before anything is asked for.
    assert "begin where its maker puts filter coffee" in page._said.text()

    def answer() -> str:
        qtbot.keyClick(page._dose.line, Qt.Key.Key_Return)
        qtbot.waitUntil(lambda: "…" not in page._said.text(), timeout=20_000)
        return page._said.text()

    assert "no coffee yet to take a recipe from" in answer()
    assert page._setting.isHidden()
    kit = kit_in_use(store)
    planned = next_plan(store, bag.id, today=clock().date())
    recipe = with_setting(planned.recipe, read_setting(kit.grinder, kit.zero, "18"))
    planned = planned_from(store, planned, recipe)
    record_brew(store, BrewEntry(planned=planned, drained_s=150.0), kit, clock=clock)
    page.reload(Touched.BREWS)
    said = answer()
    assert "Eight chances of ten that it lies from" in said
    assert "Other grinder has taught nothing yet, so the range is wide." in said
    assert "What one step moves its burrs is not known either" in said
    assert "one confirming brew" in said
    assert page._setting.isVisible()
    assert int(page._setting.text()) > 0
