"""The window goes on while a long journal is read, and keys act on nothing that is not shown."""

import threading
from functools import partial
from itertools import pairwise

import pytest
from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QWidget

from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.cups import coffee_of_brew
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick_desktop import coffees_page, history_page, history_read, sheet_page, taste_page
from halfclick_desktop.in_turns import InTurns
from halfclick_desktop.latest import Latest
from halfclick_desktop.window import Window


class HeldJob(QObject):
    done = Signal(object)
    failed = Signal(object)

    def __init__(self, work) -> None:
        super().__init__()
        self.work = work


class HeldJobs:
    """A runner that answers when it is told to."""

    def __init__(self) -> None:
        self.asked: list[HeldJob] = []

    def run(self, work) -> HeldJob:
        self.asked.append(HeldJob(work))
        return self.asked[-1]

    def answer(self) -> None:
        job = self.asked.pop(0)
        job.done.emit(job.work())


@pytest.fixture
def latest(qapp):
    parent = QObject()
    runner = HeldJobs()
    answers: list[object] = []
    latest = Latest(runner, parent)
    latest.done.connect(answers.append)
    yield latest, runner, answers
    parent.deleteLater()


def test_an_answer_that_another_question_overtook_is_dropped(latest):
    latest, runner, answers = latest
    for number in range(4):
        latest.ask(lambda number=number: number)
    runner.answer()
    assert answers == []
    runner.answer()
    assert answers == [3]
    assert runner.asked == []  # those in between were never run
    assert not latest.waits()


def test_an_answer_that_nobody_wants_any_more_is_dropped(latest):
    latest, runner, answers = latest
    latest.ask(lambda: 1)
    latest.drop()
    runner.answer()
    assert answers == []


def test_a_page_out_of_sight_is_told_once_when_it_is_opened(qtbot, words):
    class Told(QWidget):
        def __init__(self) -> None:
            super().__init__()
            self.told: list[Touched] = []

        def reload(self, touched: Touched) -> None:
            self.told.append(touched)

    window = Window(words)
    qtbot.addWidget(window)
    seen, hidden = Told(), Told()
    for name, page in (("coffees", seen), ("kit", hidden)):
        window.add_page(name, page, page)
    window.open_page("coffees")
    window.reload(Touched.BREWS)
    window.reload(Touched.KIT)
    assert seen.told == [Touched.BREWS, Touched.KIT]
    assert hidden.told == []
    window.open_page("kit")
    assert hidden.told == [Touched.BREWS | Touched.KIT]
    window.open_page("kit")
    assert len(hidden.told) == 1


def test_a_page_is_filled_one_thing_a_turn_and_only_with_what_was_asked_last(qtbot, qapp):
    parent = QObject()
    filling = InTurns(parent)
    done: list[str] = []
    filling.do(lambda: done.append("old"), lambda: done.append("older"))
    filling.do(*(partial(done.append, name) for name in ("first", "second", "third")))
    assert done == []
    seen = []
    while filling.waits():
        qapp.processEvents()
        seen.append(len(done))
    assert done == ["first", "second", "third"]
    assert all(after - before <= 1 for before, after in pairwise([0, *seen]))
    filling.do(partial(done.append, "fourth"))
    filling.drop()
    qtbot.wait(5)
    assert len(done) == 3
    parent.deleteLater()


@pytest.fixture
def long_ones(monkeypatch, store, clock):
    """Two coffees of one tasted cup each, both taken for long ones."""
    monkeypatch.setattr("halfclick.service.history.LONG", 0)
    monkeypatch.setattr("halfclick.service.coffees.FULL", 0)
    set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=clock)
    brews = []
    for name in ("Tarn Hollow", "Pell Ridge"):
        bag = add_coffee(store, CoffeeEntry(name=name), clock=clock).value
        planned = next_plan(store, bag.id, today=clock().date())
        entry = BrewEntry(planned=planned, drained_s=120.0)
        brew = record_brew(store, entry, kit_in_use(store), clock=clock).value
        record_tasting(store, brew.id, TastingEntry(liking=4.0), clock=clock)
        clock.advance(86_400)
        brews.append(brew)
    return brews


@pytest.fixture
def read_on(monkeypatch):
    """The threads that each slow question was asked on, by its name."""
    threads: dict[str, set[int]] = {}

    def watch(module, name):
        asks = getattr(module, name)

        def asked(*given, **named):
            threads.setdefault(name, set()).add(threading.get_ident())
            return asks(*given, **named)

        monkeypatch.setattr(module, name, asked)

    for module, name in (
        (coffees_page, "shelf"),
        (sheet_page, "coffee_sheet"),
        (history_read, "coffee_history"),
        (history_read, "coffees_by_name"),
        (taste_page, "advise"),
    ):
        watch(module, name)
    return threads


def test_no_slow_question_is_asked_on_the_main_thread(qtbot, desk, store, long_ones, read_on):
    brew = long_ones[0]
    coffee_id = coffee_of_brew(store, brew.id).id
    shelf = coffees_page.CoffeesPage(desk)
    sheet = sheet_page.SheetPage(desk)
    history = history_page.HistoryPage(desk)
    taste = taste_page.TastePage(desk)
    for page in (shelf, sheet, history, taste):
        qtbot.addWidget(page)
    shelf.reload(~Touched.NOTHING)
    assert shelf.waits()
    sheet.show_coffee(coffee_id)
    history.show_coffee(coffee_id)
    taste.show_brew(brew.id)
    qtbot.waitUntil(lambda: not shelf.waits() and not taste._advising.waits())
    asked = {"shelf", "coffee_sheet", "coffee_history", "coffees_by_name", "advise"}
    assert set(read_on) == asked
    assert threading.get_ident() not in set().union(*read_on.values())


def test_keys_do_nothing_on_a_sheet_that_is_still_being_read(qtbot, desk, store, long_ones):
    page = sheet_page.SheetPage(desk)
    qtbot.addWidget(page)
    one, other = (coffee_of_brew(store, brew.id).id for brew in long_ones)
    page.show_coffee(one)
    qtbot.waitUntil(lambda: page._name.text() == "Tarn Hollow")
    page.show_coffee(other)
    assert page._name.text() == ""
    assert "Reading" in page._facts.text()
    asked = []
    for signal in (page.brew_asked, page.plan_asked, page.log_asked, page.taste_asked):
        signal.connect(asked.append)
    for key in (Qt.Key.Key_Return, Qt.Key.Key_P, Qt.Key.Key_L, Qt.Key.Key_T, Qt.Key.Key_G):
        qtbot.keyClick(page, key)
    assert asked == []
    qtbot.waitUntil(lambda: page._name.text() == "Pell Ridge")


def test_cups_of_another_coffee_go_while_a_history_is_being_read(qtbot, desk, store, long_ones):
    page = history_page.HistoryPage(desk)
    qtbot.addWidget(page)
    one, other = (coffee_of_brew(store, brew.id).id for brew in long_ones)
    page.show_coffee(one)
    qtbot.waitUntil(lambda: page._brew_id() == long_ones[0].id)
    page.show_coffee(other)
    assert page._brew_id() is None
    assert not any(button.isEnabled() for button in page._acts[:5])
    assert "Reading" in page._summary.text()
    qtbot.waitUntil(lambda: page._brew_id() == long_ones[1].id)


def test_a_taste_kept_before_its_advice_came_still_asks_for_an_answer(qtbot, desk, long_ones):
    page = taste_page.TastePage(desk)
    qtbot.addWidget(page)
    page.show()
    page.show_brew(long_ones[0].id)
    assert page._advice is None
    assert "advice" in page._prompt.text()
    qtbot.keyClick(page, Qt.Key.Key_Return)  # kept already; the advice is not there yet
    qtbot.waitUntil(lambda: page._advice is not None)
    assert page._panel.hasFocus() or page._advice.outcome.value == "nothing"
