"""What a person sees of a forecast once the cup is brewed."""

from uuid import uuid4

from halfclick.model.forecast import Forecast
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, record_brew
from halfclick_desktop.held_panel import HeldPanel


def test_a_cup_says_what_was_expected_and_what_the_kit_learned(qtbot, desk, store, clock):
    set_up_kitchen(store, KitchenEntry(), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    planned = next_plan(store, bag.id, today=clock().date())
    kit = kit_in_use(store)
    entry = BrewEntry(planned=planned, drained_s=161.0, beverage_g=205.0)
    brew = record_brew(store, entry, kit, clock=clock).value
    panel = HeldPanel(desk)
    qtbot.addWidget(panel)

    def shown() -> str:
        panel.show_brew(brew.id)
        qtbot.waitUntil(lambda: "…" not in panel.text(), timeout=20_000)
        return panel.text()

    assert shown().startswith("No forecast was kept for this brew")
    bands = {"time_s": (140.0, 155.0, 170.0), "beverage_g": (208.0, 212.0, 216.0)}
    forecast = Forecast(
        id=uuid4(), brew_id=brew.id, made_at=clock(), engine="test", brews_behind=0, bands=bands
    )
    with store.writing(clock()) as w:
        w.add(forecast)
    said = shown().splitlines()
    assert said[0] == "Drained at 2:41; 2:20 to 2:50 was expected: inside."
    assert said[1].endswith("was expected: below.")
    assert said[2].startswith("1 of 2 readings that were forecast")
    assert said[3] == "What the kit learned from it:"
    assert said[4].startswith("“")
