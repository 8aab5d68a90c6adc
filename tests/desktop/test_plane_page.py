"""What a person sees of strength and extraction."""

import threading

from PySide6.QtCore import Qt
from walk import unnamed, unreached

from halfclick.errors import BadInput
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick_desktop.plane_page import PlanePage


def test_cups_are_shown_told_and_written_out(qtbot, desk, store, clock, tmp_path):
    set_up_kitchen(store, KitchenEntry(), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    page = PlanePage(desk)
    qtbot.addWidget(page)
    page.resize(1000, 700)
    page.show()
    assert page._said.text() == "No coffee was brewed yet."
    for strength in (0.0130, 0.0138):
        planned = next_plan(store, bag.id, today=clock().date())
        entry = BrewEntry(planned=planned, drained_s=150.0, beverage_g=207.0)
        brew = record_brew(store, entry, kit_in_use(store), clock=clock).value
        record_tasting(store, brew.id, TastingEntry(strength=strength), clock=clock)
        clock.advance(86_400)
    page.reload(Touched.BREWS)
    qtbot.waitUntil(lambda: "…" not in page._said.text(), timeout=20_000)
    assert page._said.text().startswith("2 measured cups: strength 1.3")
    assert page._plot.accessibleDescription() == page._said.text()
    assert page._table.rows.rowCount() == 2
    before = page._plot.grab().toImage()
    qtbot.keyClick(page, Qt.Key.Key_B)
    assert not page._classic.isChecked()
    assert page._plot.grab().toImage() != before
    page.export(tmp_path / "plane.csv", "csv")
    assert "1.38" in (tmp_path / "plane.csv").read_text(encoding="utf-8-sig")
    page.export(tmp_path / "plane.png", "png")
    assert (tmp_path / "plane.png").read_bytes()[1:4] == b"PNG"
    assert not unnamed(page)
    assert not unreached(page)


def test_a_history_is_read_while_the_plane_is_reckoned(qtbot, desk, store, clock, monkeypatch):
    set_up_kitchen(store, KitchenEntry(), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    planned = next_plan(store, bag.id, today=clock().date())
    record_brew(store, BrewEntry(planned=planned), kit_in_use(store), clock=clock)
    begun, go_on = threading.Event(), threading.Event()

    def reckoned(*given: object, **named: object) -> None:
        begun.set()
        go_on.wait(10)
        raise BadInput("plane.no_coffee")

    monkeypatch.setattr("halfclick_desktop.plane_page.plane_of", reckoned)
    page = PlanePage(desk)
    qtbot.addWidget(page)
    page.show()
    page.reload(Touched.BREWS)
    qtbot.waitUntil(begun.is_set)
    with qtbot.waitSignal(desk.jobs.run(int).done):
        pass
    assert page._said.text().endswith("…")
    go_on.set()
    qtbot.waitUntil(lambda: not page._said.text().endswith("…"))
