"""Shelf, label, sheet, plan, log and history as a person uses them."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QWidget

from halfclick.model.advice import Answer, Proposal
from halfclick.model.coffee import Process, Roast
from halfclick.model.grinder import read_setting
from halfclick.model.moves import with_setting
from halfclick.model.recipe import Lever
from halfclick.model.tasting import Marks, Tasting, Verdict
from halfclick.service.coffees import CoffeeEntry, add_coffee, change_coffee, shelf
from halfclick.service.cups import cups_of_bag
from halfclick.service.done import Touched
from halfclick.service.kettle_readings import KettleReadingEntry, add_reading
from halfclick.service.kitchens import KitchenEntry, change_thing, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan, planned_from
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick_desktop.coffee_form_page import CoffeeFormPage
from halfclick_desktop.coffees_page import CoffeesPage
from halfclick_desktop.history_page import HistoryPage
from halfclick_desktop.log_page import LogPage
from halfclick_desktop.plan_page import PlanPage
from halfclick_desktop.sheet_page import SheetPage
from halfclick_desktop.taste_page import TastePage
from halfclick_desktop.times import parsed_time
from halfclick_desktop.widgets.mark import MarkKind


def texts(widget: QWidget) -> str:
    shown = [label.text() for label in widget.findChildren(QLabel) if label.isVisible()]
    return "\n".join(shown).replace("\N{NO-BREAK SPACE}", " ")


@pytest.fixture
def bag(store, clock):
    """A kit, and a bag of 100 g."""
    set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=clock)
    entry = CoffeeEntry(name="Tarn Hollow", weight_g=100.0)
    return add_coffee(store, entry, clock=clock).value


@pytest.fixture
def cup(store, clock, bag):
    """Return a function that keeps a cup at a setting and its taste."""

    def made(setting: str, drained_s: float, entry: TastingEntry):
        kit = kit_in_use(store)
        planned = next_plan(store, bag.id, today=clock().date())
        recipe = with_setting(planned.recipe, read_setting(kit.grinder, kit.zero, setting))
        planned = planned_from(store, planned, recipe)
        brew = record_brew(
            store, BrewEntry(planned=planned, drained_s=drained_s), kit, clock=clock
        ).value
        clock.advance(600)
        record_tasting(store, brew.id, entry, clock=clock)
        clock.advance(86_400)
        return brew

    return made


def opened(qtbot, page):
    qtbot.addWidget(page)
    page.resize(1100, 760)
    page.show()
    return page


def test_an_empty_shelf_says_what_to_do_first_and_does_it_with_one_key(qtbot, desk):
    page = opened(qtbot, CoffeesPage(desk))
    page.reload(~Touched.NOTHING)
    assert "Press N" in texts(page)
    with qtbot.waitSignal(page.new_asked, timeout=1000):
        qtbot.keyClicks(page, "n")


def test_a_coffee_put_away_comes_back_with_undo(qtbot, desk, store, clock, bag):
    page = opened(qtbot, CoffeesPage(desk))
    page.changed.connect(page.reload)
    page.reload(~Touched.NOTHING)
    qtbot.keyClick(page, Qt.Key.Key_Delete)
    assert not shelf(store, clock().date())
    assert "Tarn Hollow is off the shelf" in texts(page)
    page._undo()
    assert [row.coffee.name for row in shelf(store, clock().date())] == ["Tarn Hollow"]


def test_a_coffee_without_a_name_is_refused_beside_the_field(qtbot, desk, store, clock):
    page = opened(qtbot, CoffeeFormPage(desk))
    page.start_new()
    qtbot.keyClick(page._fields["name"].line, Qt.Key.Key_Return)
    assert "A coffee needs a name" in page._fields["name"].error()
    assert not shelf(store, clock().date())


def test_a_label_left_half_typed_is_still_there(qtbot, desk, store, clock):
    page = opened(qtbot, CoffeeFormPage(desk))
    page.start_new()
    qtbot.keyClicks(page._fields["name"].line, "Pell Ridge")
    page.start_new()
    assert page._fields["name"].text() == "Pell Ridge"
    page.save()
    page.start_new()
    assert page._fields["name"].text() == ""


def test_a_date_that_is_none_is_refused_and_nothing_is_lost(qtbot, desk, store, clock):
    page = opened(qtbot, CoffeeFormPage(desk))
    page.start_new()
    qtbot.keyClicks(page._fields["name"].line, "Pell Ridge")
    qtbot.keyClicks(page._fields["roasted_on"].line, "31.31.2026")
    page.save()
    assert page._fields["roasted_on"].error()
    assert page._fields["name"].text() == "Pell Ridge"
    assert not shelf(store, clock().date())


def test_a_sheet_shows_the_advice_as_the_next_cup_and_takes_no_for_an_answer(
    qtbot, desk, bag, cup, store, clock
):
    cup("18", 128.0, TastingEntry(marks=Marks(sour=7.0), liking=4.0, verdict=Verdict.CHANGE))
    page = opened(qtbot, SheetPage(desk))
    coffee_id = shelf(store, clock().date())[0].coffee.id
    page.show_coffee(coffee_id)
    qtbot.waitUntil(lambda: "was grind 18: 2 steps finer" in texts(page))
    assert "grind 16" in texts(page)
    qtbot.keyClicks(page, "n")
    qtbot.keyClicks(page._advice._reason, "the bag was open for weeks")
    qtbot.keyClick(page._advice._reason, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "was grind 18" not in texts(page))
    with store.reading() as r:
        kept = r.all(Proposal)[-1]
    assert kept.answer is Answer.REFUSED
    assert kept.answer_reason == "the bag was open for weeks"


def test_an_advice_is_accepted_by_its_key_without_brewing_yet(qtbot, desk, bag, cup, store, clock):
    cup("18", 128.0, TastingEntry(marks=Marks(sour=7.0), liking=4.0, verdict=Verdict.CHANGE))
    page = opened(qtbot, SheetPage(desk))
    page.show_coffee(shelf(store, clock().date())[0].coffee.id)
    with qtbot.assertNotEmitted(page.brew_asked):
        qtbot.keyClicks(page, "a")
    qtbot.waitUntil(lambda: "was grind 18: 2 steps finer" in texts(page))
    with store.reading() as r:
        assert r.all(Proposal)[-1].answer is Answer.ACCEPTED


def test_only_a_changed_grind_wears_the_mark_of_change_in_the_strip(
    qtbot, desk, bag, cup, store, clock
):
    page = opened(qtbot, SheetPage(desk))
    page.show_coffee(shelf(store, clock().date())[0].coffee.id)
    assert "A first cup: every lever is free." in texts(page)
    cup("18", 128.0, TastingEntry(marks=Marks(sour=7.0), liking=4.0, verdict=Verdict.CHANGE))
    page.reload(~Touched.NOTHING)
    assert page._strip.next_kind() is MarkKind.CHANGED
    for _ in range(2):
        cup("16", 150.0, TastingEntry(liking=8.0, verdict=Verdict.KEEP))
    page.reload(~Touched.NOTHING)
    assert page._strip.next_kind() is MarkKind.HELD
    assert "The good one again" in texts(page)


def test_a_reason_that_holds_for_every_number_is_said_once(qtbot, desk, bag, cup, store, clock):
    label = CoffeeEntry(name="Tarn Hollow", process=Process.WASHED, roast=Roast.LIGHT)
    change_coffee(store, bag.id, label, clock=clock)
    cup("18", 150.0, TastingEntry(liking=8.0, verdict=Verdict.KEEP))
    other = CoffeeEntry(name="Pell Ridge", process=Process.NATURAL, roast=Roast.MEDIUM)
    add_coffee(store, other, clock=clock)
    rows = shelf(store, clock().date())
    page = opened(qtbot, SheetPage(desk))
    page.show_coffee(next(row.coffee.id for row in rows if row.coffee.name == "Pell Ridge"))
    usual = (
        "Your usual: the last cup you kept, of Tarn Hollow. None of your coffees is near this one."
    )
    assert page._reasons.shown() == (usual,)


def test_a_locked_lever_is_unlocked_on_purpose_and_its_change_is_kept(
    qtbot, desk, bag, cup, store, clock
):
    cup("18", 150.0, TastingEntry(liking=5.0, verdict=Verdict.CHANGE))
    page = opened(qtbot, PlanPage(desk))
    page.show_planned(next_plan(store, bag.id, today=clock().date()))
    row = page._rows[Lever.TEMPERATURE]
    assert row.is_locked()
    row._lock.click()
    assert not row.is_locked()
    row._line.selectAll()
    qtbot.keyClicks(row._line, "90")
    qtbot.keyClick(row._line, Qt.Key.Key_Return)
    planned = page.planned()
    assert [change.lever for change in planned.changes] == [Lever.TEMPERATURE]
    assert "Experiment: one lever moved" in texts(page)


def test_a_setting_the_grinder_cannot_have_is_refused_with_its_sentence(
    qtbot, desk, bag, store, clock
):
    page = opened(qtbot, PlanPage(desk))
    page.show_planned(next_plan(store, bag.id, today=clock().date()))
    row = page._rows[Lever.GRIND]
    qtbot.keyClicks(row._line, "8-E")
    with qtbot.assertNotEmitted(page.brew_asked):
        qtbot.keyClick(row._line, Qt.Key.Key_Return)
    assert "does not read “8-E”" in texts(page)


def test_a_plan_without_a_setting_asks_for_one_before_it_is_brewed(qtbot, desk, bag, store, clock):
    page = opened(qtbot, PlanPage(desk))
    page.show_planned(next_plan(store, bag.id, today=clock().date()))
    with qtbot.assertNotEmitted(page.brew_asked):
        page._start()
    assert "Type what the dial will read" in texts(page)


def test_so_much_in_the_cup_sizes_dose_and_water_at_the_same_ratio(qtbot, desk, bag, store, clock):
    page = opened(qtbot, PlanPage(desk))
    page.show_planned(next_plan(store, bag.id, today=clock().date()))
    page._cup.line.selectAll()
    qtbot.keyClicks(page._cup.line, "300")
    page._cup.line.editingFinished.emit()
    # 300 g at 1:16 with 2.1 g kept per g: 300 / 13.9 = 21.6 g, worked by hand.
    assert page.recipe().dose_g == pytest.approx(21.6)
    assert page.recipe().water_g == pytest.approx(345.0, abs=1)


@pytest.mark.parametrize("typed", ["much", "0", "-5", "nan", "1e999"])
def test_a_dose_that_is_none_is_said_beside_it_and_nothing_is_brewed(
    qtbot, desk, bag, cup, store, clock, typed
):
    cup("18", 150.0, TastingEntry(liking=5.0, verdict=Verdict.CHANGE))
    page = opened(qtbot, PlanPage(desk))
    page.show_planned(next_plan(store, bag.id, today=clock().date()))
    page._dose.line.selectAll()
    qtbot.keyClicks(page._dose.line, typed)
    with qtbot.assertNotEmitted(page.brew_asked):
        qtbot.keyClick(page._dose.line, Qt.Key.Key_Return)
    assert page._dose.error()
    assert page.recipe().dose_g == 15.0


@pytest.mark.parametrize(
    ("lever", "typed", "said"),
    [
        (Lever.GRIND, "9" * 12, "does not read"),
        (Lever.RATIO, "150", "is not filter coffee"),
        (Lever.TEMPERATURE, "101", "where water boils in this kitchen"),
        (Lever.TEMPERATURE, "9", "Give 40 °C"),
        (Lever.POURS, "0", "Give 1 to 8 after the bloom"),
        (Lever.POURS, "2.5", "is not a whole number of pours"),
        (Lever.POUR_RATE, "0", "cannot be poured by hand"),
        (Lever.BLOOM, "0", "Give 1 to 5 times the dose"),
    ],
)
def test_a_lever_that_cannot_be_so_is_said_beside_it_and_nothing_is_brewed(
    qtbot, desk, bag, store, clock, lever, typed, said
):
    page = opened(qtbot, PlanPage(desk))
    page.show_planned(next_plan(store, bag.id, today=clock().date()))
    page._rows[Lever.GRIND]._line.setText("18")
    row = page._rows[lever]
    row._line.selectAll()
    qtbot.keyClicks(row._line, typed)
    with qtbot.assertNotEmitted(page.brew_asked):
        qtbot.keyClick(row._line, Qt.Key.Key_Return)
    assert said in texts(row)
    assert row.text() == typed


def test_more_than_is_left_in_the_bag_is_said_with_the_way_out(qtbot, desk, bag, store, clock):
    page = opened(qtbot, PlanPage(desk))
    page.show_planned(next_plan(store, bag.id, today=clock().date()))
    page._dose.line.selectAll()
    qtbot.keyClicks(page._dose.line, "120")
    page._dose.line.editingFinished.emit()
    assert "The bag has about 100 g left" in texts(page)


def test_a_brew_is_logged_with_only_what_departed(qtbot, desk, bag, store):
    page = opened(qtbot, LogPage(desk))
    page.show_bag(bag.id)
    qtbot.keyClicks(page._drained.line, "2:41")
    qtbot.keyClicks(page._setting.line, "20")
    qtbot.keyClicks(page._water.line, "243,5")
    with qtbot.waitSignal(page.logged, timeout=1000):
        qtbot.keyClick(page._water.line, Qt.Key.Key_Return)
    with store.reading() as r:
        brew = cups_of_bag(r, bag.id)[-1].brew
    assert brew.poured.drained_s.value == 161.0
    assert brew.poured.water_g.value == 243.5
    assert brew.plan.setting.text == "20"


def test_what_cannot_be_in_a_log_is_said_and_stays_typed(qtbot, desk, bag, store):
    page = opened(qtbot, LogPage(desk))
    page.show_bag(bag.id)
    qtbot.keyClicks(page._drained.line, "soon")
    page.save()
    assert "“soon” is no time" in texts(page)
    assert page._drained.text() == "soon"
    with store.reading() as r:
        assert not cups_of_bag(r, bag.id)


def test_history_reads_a_cup_by_arrow_keys_and_shows_the_same_as_a_table(
    qtbot, desk, bag, cup, store, clock
):
    cup("20", 120.0, TastingEntry(liking=4.0, verdict=Verdict.CHANGE))
    cup("18", 150.0, TastingEntry(liking=8.0, verdict=Verdict.KEEP))
    page = opened(qtbot, HistoryPage(desk))
    page.show_coffee(shelf(store, clock().date())[0].coffee.id)
    page._show_plot()
    assert "Cup 2" in page._readout.text()
    qtbot.keyClick(page._plot, Qt.Key.Key_Left)
    assert "Cup 1" in page._readout.text()
    assert "ground at 20" in page._readout.text()
    assert page._table.rows.rowCount() == 2
    assert page._table.text(1, 7) == "2 steps finer"
    assert "The grind went from 20 to 18." in page._summary.text()
    assert "The grind went from 20 to 18." in page._plot.accessibleDescription()
    page._as_table.click()
    assert page._side.currentWidget() is page._table


def test_a_taste_can_be_mended_and_the_first_one_is_corrected_not_rewritten(
    qtbot, desk, bag, cup, store
):
    brew = cup("20", 120.0, TastingEntry(marks=Marks(sour=3.0), liking=4.0))
    page = opened(qtbot, TastePage(desk))
    page.show_brew(brew.id)
    qtbot.keyClicks(page._marks[next(iter(page._marks))], "8")
    page.save()
    with store.reading() as r:
        living = r.all(Tasting, brew_id=brew.id)
        both = r.all(Tasting, brew_id=brew.id, corrected=True)
    assert [tasting.marks.sour for tasting in living] == [8.0]
    assert len(both) == 2


def test_a_kept_taste_can_be_answered_later_without_correcting_it(qtbot, desk, bag, cup, store):
    taste = TastingEntry(marks=Marks(sour=7.0), verdict=Verdict.CHANGE)
    brew = cup("20", 120.0, taste)
    page = opened(qtbot, TastePage(desk))
    page.show_brew(brew.id)
    assert page._panel._accept.isVisible()
    row = page._marks[next(iter(page._marks))]
    qtbot.keyClick(row, Qt.Key.Key_Return)
    qtbot.keyClick(page._panel, Qt.Key.Key_Return)
    with store.reading() as r:
        assert [one.answer for one in r.all(Proposal)] == [Answer.ACCEPTED]
        assert len(r.all(Tasting, brew_id=brew.id, corrected=True)) == 1


def test_a_taste_left_half_typed_is_still_there_and_saving_it_corrects_no_brew(
    qtbot, desk, bag, cup, store
):
    brew = cup("20", 167.274, TastingEntry())
    page = opened(qtbot, TastePage(desk))
    page.show_brew(brew.id)
    qtbot.keyClicks(page._marks[next(iter(page._marks))], "8")
    page.show_brew(brew.id)
    assert page._marks[next(iter(page._marks))].value() == 8.0
    qtbot.keyClick(page._marks[next(iter(page._marks))], Qt.Key.Key_Return)
    with store.reading() as r:
        assert len(cups_of_bag(r, bag.id)) == 1
        assert cups_of_bag(r, bag.id)[0].brew.id == brew.id
        assert cups_of_bag(r, bag.id)[0].tasting.marks.sour == 8.0


@pytest.mark.parametrize(
    ("text", "seconds"), [("2:08", 128), ("2.08", 128), ("208", 128), ("128s", 128), ("45", 45)]
)
def test_a_time_is_read_as_people_type_it(text, seconds):
    assert parsed_time(text) == seconds


@pytest.mark.parametrize(
    ("water_c", "said"),
    [
        (93.0, "leave the lid on and wait 0:15 to"),
        (96.0, "for 96 °C, pour at once, straight off the boil."),
    ],
)
def test_high_up_the_plan_says_how_long_the_kettle_stands(
    qtbot, desk, bag, store, clock, water_c, said
):
    kitchen = kit_in_use(store).kitchen
    change_thing(store, replace(kitchen, altitude_m=1800.0), clock=clock)
    planned = next_plan(store, bag.id, today=clock().date())
    page = opened(qtbot, PlanPage(desk))
    page.show_planned(replace(planned, recipe=replace(planned.recipe, temperature_c=water_c)))
    shown = texts(page).replace("\N{NO-BREAK SPACE}", " ")
    # 93.98 C at 1800 m (ambiance and iapws).
    assert "Water boils at 94 °C here" in shown
    assert said in shown
    assert ("one timed reading on the Kit page narrows it" in shown) is (water_c < 94.0)


def test_a_reading_kept_meanwhile_is_in_the_wait_of_a_plan_that_is_open(
    qtbot, desk, bag, store, clock
):
    page = opened(qtbot, PlanPage(desk))
    page.reload(Touched.KIT)
    page.show_planned(next_plan(store, bag.id, today=clock().date()))
    assert "not measured yet" in texts(page)
    entry = KettleReadingEntry(water_g=500.0, start_c=99.0, end_c=95.0, wait_s=240.0, room_c=22.0)
    done = add_reading(store, kit_in_use(store).kettle.id, entry, clock=clock)
    page.reload(done.touched)
    assert "Learned from 1 timed reading of this kettle" in texts(page)
    assert "not measured yet" not in texts(page)
