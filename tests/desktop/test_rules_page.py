"""The rule book by keyboard: found as you type, switched off and back, and written by oneself."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel
from walk import unnamed, unreached

from halfclick.model.advice import Act
from halfclick.model.tasting import Complaint, Mark, Marks, Verdict
from halfclick.service.advise import advise
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.cups import coffee_of_brew
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick.service.rule_book import add_own_rule, built_in, rule_book, switch_rule
from halfclick.taste.diagnosis import LAWS
from halfclick.taste.own_text import OwnRuleEntry, written
from halfclick.taste.rules import ClockPlace, Lever, Move, Way
from halfclick_desktop.guide_page import GuidePage
from halfclick_desktop.rules_page import RulesPage
from halfclick_desktop.sheet_page import SheetPage
from halfclick_desktop.taste_page import TastePage
from halfclick_desktop.widgets.advice_panel import AdvicePanel

FAST_FINER = OwnRuleEntry(
    clock=ClockPlace.FAST, deed=Move(lever=Lever.GRIND, way=Way.LESS), words="because it is so"
)


@pytest.fixture
def page(qtbot, desk):
    page = RulesPage(desk)
    qtbot.addWidget(page)
    page.changed.connect(page.reload)
    page.resize(1180, 760)
    page.reload(Touched.SETTINGS)
    page.show()
    page.activateWindow()
    return page


def names(page):
    return page._table.names()


def sought(qtbot, page, text):
    page._search.line.selectAll()
    qtbot.keyClicks(page._search.line, text)
    return names(page)


def test_every_law_and_rule_is_listed_the_laws_first(page):
    assert names(page) == [*LAWS, *(rule.id for rule in built_in())]
    assert f"{len(names(page))} rules." in page._count.text()


@pytest.mark.parametrize(
    ("text", "found", "not_found"),
    [
        ("papery", "papery_rinse", "sour_fast"),  # a complaint
        ("finer sour", "sour_fast", "sour_hotter"),  # a lever, and a complaint
        ("worn burrs", "sour_bitter_grinder", "thin"),  # a cause
        ("batali", "bitter_cooler", "papery_rinse"),  # a source
        ("altitude", "", "sour_fast"),
        ("high kitchens", "sour_at_boil", "sour_fast"),  # a note
    ],
)
def test_rules_are_found_as_one_types(qtbot, page, text, found, not_found):
    shown = sought(qtbot, page, text)
    assert not found or found in shown
    assert not_found not in shown


def test_a_search_that_finds_nothing_says_so(qtbot, page):
    assert sought(qtbot, page, "zebra") == []
    assert "No rule has all these words" in page._count.text()
    assert page._panel.isHidden()


def test_the_chosen_rule_says_everything_that_stands_behind_it(page):
    page.show_rule("sour_at_boil")
    panel = page._panel
    assert panel.heading() == "Sour, did not drain slowly, water as hot as it gets: grind finer"
    assert panel.text_of("does") == "Grind finer"
    assert "too coarse" in panel.text_of("causes")
    assert panel.text_of("evidence") == "broad consensus"
    assert "Common practice, no source" in panel.text_of("sources")
    assert "Contested" in panel.text_of("contested")
    assert "wrong way round" in panel.text_of("note")
    assert panel.text_of("also") == "Thin"


def test_a_law_is_shown_and_cannot_be_switched_off(qtbot, page, desk):
    page.show_rule("hold")
    assert "cannot be switched off" in page._panel.state()
    qtbot.keyClick(page._table, Qt.Key.Key_Return)
    assert all(view.is_on for view in rule_book(desk.store))


def test_return_switches_a_rule_off_and_undo_switches_it_on_again(qtbot, page, desk):
    page.show_rule("sour_fast")
    with qtbot.waitSignal(page.changed):
        qtbot.keyClick(page._table, Qt.Key.Key_Return)
    assert "no advice rests on it" in page._panel.state()
    assert page._table.item(page._table.currentRow(), 0).text() == "off"
    assert "Switched off" in page._notice.text()
    page._notice._undo.click()
    assert page._table.item(page._table.currentRow(), 0).text() == "on"
    assert all(view.is_on for view in rule_book(desk.store))


def test_return_in_the_search_goes_to_the_list_and_switches_nothing(qtbot, page, desk):
    page._search.setFocus()
    qtbot.keyClick(page._search.line, Qt.Key.Key_Return)
    assert page._table.hasFocus()
    assert all(view.is_on for view in rule_book(desk.store))


def test_a_rule_is_written_in_the_form_and_comes_first(qtbot, page, desk):
    page.show_rule("hold")
    qtbot.keyClick(page._table, Qt.Key.Key_N)
    form = page._form
    next(iter(form._ticks.values())).setChecked(True)  # sour
    form._deed.show_value(Move(lever=Lever.TEMPERATURE, way=Way.MORE))
    form._why.show_text("My kettle runs cold.")
    qtbot.keyClick(form._why.line, Qt.Key.Key_Return)
    view = rule_book(desk.store)[0]
    assert (view.name, view.rule.words) == ("mine_1", "My kettle runs cold.")
    assert page._table.name() == "mine_1"
    assert "Your own rule" in page._panel.state()
    assert "Kept" in page._notice.text()
    assert 'marks = ["sour"]' in page._panel.text_of("text")


def test_a_form_that_does_nothing_is_refused_with_a_sentence(qtbot, page, desk):
    page._buttons["new"].click()
    page._form._keep.click()
    assert "Say what must hold of the cup" in page._form.error()
    page._form._clock.show_value(ClockPlace.FAST)
    page._form._keep.click()
    assert "Choose the one thing" in page._form.error()
    assert all(view.own is None for view in rule_book(desk.store))


def test_the_form_turns_to_text_and_back(qtbot, page):
    page._buttons["new"].click()
    page._form.show_entry(FAST_FINER, is_new=True)
    page._form._turn.click()
    assert 'clock = ["fast"]' in page._form.text()
    page._form._turn.click()
    assert page._form.entry() == FAST_FINER


def test_a_text_that_is_wrong_says_where(qtbot, page, desk):
    page._buttons["new"].click()
    page._form.show_text(written(FAST_FINER, "mine_1").replace("clock", "clocks"))
    page._form._keep.click()
    assert "Rule mine_1: the field clocks is not known" in page._form.error()
    assert all(view.own is None for view in rule_book(desk.store))


def test_an_own_rule_is_changed_by_its_key_and_keeps_its_name(qtbot, page, desk):
    add_own_rule(desk.store, written(FAST_FINER, "quick"), clock=desk.clock)
    page.reload(Touched.SETTINGS)
    page.show_rule("quick")
    qtbot.keyClick(page._table, Qt.Key.Key_E)
    assert page._form.entry() == FAST_FINER
    page._form._deed.show_value(Move(lever=Lever.POURS, way=Way.MORE))
    page._form._keep.click()
    (own,) = [view for view in rule_book(desk.store) if view.own]
    assert (own.name, own.rule.moves[0].lever) == ("quick", Lever.POURS)


def test_a_rule_the_form_cannot_hold_is_changed_as_text(qtbot, page, desk):
    text = written(FAST_FINER, "quick") + "age_min = 30\n"
    add_own_rule(desk.store, text, clock=desk.clock)
    page.reload(Touched.SETTINGS)
    page.show_rule("quick")
    qtbot.keyClick(page._table, Qt.Key.Key_E)
    assert page._form.is_text()
    assert page._form.text() == text
    assert "more than the form" in page._form._text_hint.text()


def test_an_own_rule_is_removed_and_brought_back(qtbot, page, desk):
    add_own_rule(desk.store, written(FAST_FINER, "quick"), clock=desk.clock)
    page.reload(Touched.SETTINGS)
    page.show_rule("quick")
    qtbot.keyClick(page._table, Qt.Key.Key_Delete)
    assert "quick" not in names(page)
    page._notice._undo.click()
    assert "quick" in names(page)


def test_a_built_in_rule_is_neither_changed_nor_removed(qtbot, page):
    page.show_rule("sour_fast")
    qtbot.keyClick(page._table, Qt.Key.Key_E)
    qtbot.keyClick(page._table, Qt.Key.Key_Delete)
    assert page._write.isHidden()
    assert "sour_fast" in names(page)


def test_escape_leaves_the_form_first_and_then_the_page(qtbot, page):
    page._buttons["new"].click()
    with qtbot.assertNotEmitted(page.left):
        qtbot.keyClick(page._form._why.line, Qt.Key.Key_Escape)
    assert page._write.isHidden()
    with qtbot.waitSignal(page.left):
        qtbot.keyClick(page._table, Qt.Key.Key_Escape)


# The advice says which rule it rests on.


@pytest.fixture
def papery(store, clock):
    """Return a cup that tastes of paper: its brew, and the coffee's bag."""
    set_up_kitchen(store, KitchenEntry(), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    planned = next_plan(store, bag.id, today=clock().date())
    brew = record_brew(store, BrewEntry(planned=planned), kit_in_use(store), clock=clock).value
    entry = TastingEntry(complaints=(Complaint.PAPERY,), marks=Marks(sour=1.0))
    record_tasting(store, brew.id, entry, clock=clock)
    return brew


def test_an_act_is_the_headline_and_the_rule_is_named(qtbot, store, words, papery):
    panel = AdvicePanel(words)
    qtbot.addWidget(panel)
    panel.show_advice(advise(store, papery.id), papery.plan)
    assert (
        panel.headline() == "Rinse the paper with 200\N{NO-BREAK SPACE}g to 300\N{NO-BREAK SPACE}g"
    )
    assert (
        panel.text_of("rule")
        == "Papery: rinse the paper with 200\N{NO-BREAK SPACE}g to 300\N{NO-BREAK SPACE}g"
    )
    assert panel.text_of("runner") == "a fresh bag (contested)"
    with qtbot.waitSignal(panel.rule_asked) as asked:
        panel._which.click()
    assert asked.args == ["papery_rinse"]


def test_a_law_is_named_where_no_rule_was_asked(qtbot, store, clock, words, papery):
    kept = TastingEntry(verdict=Verdict.KEEP)
    panel = AdvicePanel(words)
    qtbot.addWidget(panel)
    panel.show_advice(advise(store, papery.id, kept), papery.plan)
    assert panel.text_of("rule") == "A first good cup is brewed once more"


def test_an_own_rule_is_said_to_be_the_persons_own(qtbot, store, clock, words, papery):
    text = written(replace(FAST_FINER, clock=ClockPlace.UNKNOWN, deed=Act.SWAP_WATER), "mine_1")
    add_own_rule(store, text, clock=clock)
    own = advise(store, papery.id, TastingEntry(verdict=Verdict.CHANGE))
    panel = AdvicePanel(words)
    qtbot.addWidget(panel)
    panel.show_advice(own, papery.plan)
    assert "your own rule, tried before the built-in ones" in panel.text_of("rule")
    assert "because it is so" in panel.text_of("why")


def test_the_sheet_and_the_guide_show_the_act_as_the_change(qtbot, desk, papery):
    sheet = SheetPage(desk)
    qtbot.addWidget(sheet)
    sheet.show_coffee(coffee_of_brew(desk.store, papery.id).id)
    heroes = [one.text() for one in sheet.findChildren(QLabel) if one.property("role") == "hero"]
    assert heroes == ["Rinse the paper with 200\N{NO-BREAK SPACE}g to 300\N{NO-BREAK SPACE}g"]
    sheet._accept_shown()
    heroes = [one.text() for one in sheet.findChildren(QLabel) if one.property("role") == "hero"]
    assert heroes[-1] == "Rinse the paper with 200\N{NO-BREAK SPACE}g to 300\N{NO-BREAK SPACE}g"
    planned = sheet._sheet.next
    guide = GuidePage(desk)
    qtbot.addWidget(guide)
    guide.start(planned)
    said = [one.text() for one in guide.findChildren(QLabel)]
    assert "Rinse the paper with 200\N{NO-BREAK SPACE}g to 300\N{NO-BREAK SPACE}g" in said
    assert any(
        "rinse the paper with 200\N{NO-BREAK SPACE}g to 300\N{NO-BREAK SPACE}g" in one
        for one in said
    )


def test_which_rule_opens_the_book_there_and_escape_comes_back(qtbot, start, clock):
    program = start()
    store = program.ways._desk.store
    set_up_kitchen(store, KitchenEntry(), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    planned = next_plan(store, bag.id, today=clock().date())
    brew = record_brew(store, BrewEntry(planned=planned), kit_in_use(store), clock=clock).value
    window = program.window
    program.ways._taste(brew.id)
    taste = window.page("taste")
    qtbot.keyClick(taste._marks[Mark.SOUR], Qt.Key.Key_7)
    qtbot.keyClicks(taste._marks[Mark.BITTER], "?")
    assert window.current() == "rules"
    assert window.page("rules")._table.name() == advise(store, brew.id, taste.entry()).rule
    qtbot.keyClick(window.page("rules")._table, Qt.Key.Key_Escape)
    assert window.current() == "taste"
    assert taste.entry().marks.sour == 7.0
    window.open_page("settings")
    window.page("settings")._rules.click()
    assert window.current() == "rules"
    qtbot.keyClick(window.page("rules")._table, Qt.Key.Key_Escape)
    assert window.current() == "settings"


def test_every_control_is_named_and_reached_by_tab(qtbot, page, desk):
    add_own_rule(desk.store, written(FAST_FINER, "quick"), clock=desk.clock)
    page.reload(Touched.SETTINGS)
    page.show_rule("quick")
    assert unnamed(page) == []
    assert unreached(page) == []
    page._buttons["edit"].click()
    assert unnamed(page) == []
    assert unreached(page) == []


def test_a_rule_switched_off_meanwhile_changes_the_advice_and_not_what_is_typed(
    qtbot, desk, papery
):
    taste = TastePage(desk)
    qtbot.addWidget(taste)
    taste.show_brew(papery.id)
    qtbot.keyClick(taste._marks[Mark.SOUR], Qt.Key.Key_8)
    before = taste._panel.text_of("rule")
    rule = advise(desk.store, papery.id, taste.entry()).rule
    taste.reload(switch_rule(desk.store, rule, on=False, clock=desk.clock).touched)
    assert taste._panel.text_of("rule") != before
    assert taste.entry().marks.sour == 8.0
