"""A journal with something in every room, and every page of the program opened on it.

Names and notes are in Greek letters, so that no page shows a Latin one but by its own words.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from random import Random

from PySide6.QtCore import QEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from halfclick.model.coffee import Process, Roast
from halfclick.model.grinder import read_setting
from halfclick.model.tasting import Marks, Verdict
from halfclick.model.trial_kinds import Blinding, Question, TrialKind
from halfclick.service.coffees import CoffeeEntry, add_coffee, shelf
from halfclick.service.cups import cups_of_bag
from halfclick.service.done import Touched
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick.service.trial_paper import Counted, file_paper
from halfclick.service.trial_views import all_trials
from halfclick.service.trials import TrialPlan, begin_trial
from halfclick.store.journal import Store
from halfclick.store.opening import open_store
from halfclick_desktop.app import Program
from halfclick_desktop.pages import PAGES

# Setting, drained time, marks, liking and verdict of each cup of the first coffee.
CUPS = (
    ("18", 128.0, Marks(sour=6.0, thin=5.0), 5.0, Verdict.CHANGE),
    ("16", 141.0, Marks(sour=4.0, thin=2.0), 7.0, Verdict.CHANGE),
    ("15", 150.0, Marks(sour=1.0), 8.0, Verdict.KEEP),
    ("14", 171.0, Marks(bitter=5.0, harsh=3.0), 5.0, Verdict.CHANGE),
)


def sample_journal(path: Path, clock) -> None:
    """Make a journal: a kitchen, a coffee with cups, and one just bought."""
    store = open_store(path, clock=clock, person_name="Άδα", device_name="δ")
    kitchen = KitchenEntry(
        grinder_name="Μύλος",
        dripper_name="Κώνος",
        paper_name="χαρτί",
        kettle_name="βραστήρας",
        water_name="βρύση",
        server_name="Κανάτα",
        step_um=25.0,
        altitude_m=300.0,
    )
    set_up_kitchen(store, kitchen, clock=clock)
    kit = kit_in_use(store)
    label = CoffeeEntry(
        name="Λόφος της Λίμνης", roaster="Φρύγανο", process=Process.WASHED, roast=Roast.LIGHT
    )
    bag = add_coffee(store, replace(label, weight_g=250.0), clock=clock).value
    for setting, drained_s, marks, liking, verdict in CUPS:
        planned = next_plan(store, bag.id, today=clock().date())
        recipe = replace(planned.recipe, setting=read_setting(kit.grinder, kit.zero, setting))
        entry = BrewEntry(planned=replace(planned, recipe=recipe), drained_s=drained_s)
        brew = record_brew(store, entry, kit, clock=clock).value
        clock.advance(600)
        taste = TastingEntry(marks=marks, liking=liking, verdict=verdict, words="φεύγει γρήγορα")
        record_tasting(store, brew.id, taste, clock=clock)
        clock.advance(86_400)
    other = CoffeeEntry(name="Μέλι", process=Process.NATURAL, roast=Roast.MEDIUM)
    add_coffee(store, other, clock=clock)
    _add_trials(store, clock)
    store.close()


def _add_trials(store: Store, clock) -> None:
    """Begin a trial, and file one from paper."""
    plan = TrialPlan(
        kind=TrialKind.NAMED_PAIR,
        question=Question.THESE_BREWS,
        names=("με", "χωρίς"),
        tasters=("Άδα",),
        rounds_planned=10,
        smaller_than_d=1.5,
        blinding=Blinding.SERVED,
    )
    numbers = iter(range(101, 1000))
    begin_trial(
        store,
        plan,
        clock=clock,
        codes=lambda count, taken: tuple(str(next(numbers)) for _ in range(count)),
        entropy=Random(1).randbytes,
    )
    clock.advance(60)
    paper = replace(plan, kind=TrialKind.TRIANGLE)
    file_paper(store, paper, Counted(asked=10, right=7), clock=clock)


def opened_pages(program: Program) -> Iterator[str]:
    """Open every page on the sample journal, one after another; yield the name of each."""
    store, today = program.store, program.desk.today()
    row = next(row for row in shelf(store, today) if row.coffee.name.startswith("Λόφος"))
    planned = next_plan(store, row.bag.id, today=today)
    with store.reading() as r:
        cups = cups_of_bag(r, row.bag.id)
    first, last = cups[0].brew.id, cups[-1].brew.id
    filed, begun = (view.trial.id for view in all_trials(store))
    page = program._pages
    shown = {
        "coffee_form": lambda: page("coffee_form").start_new(),
        "sheet": lambda: page("sheet").show_coffee(row.coffee.id),
        "plan": lambda: page("plan").show_planned(planned),
        "taste": lambda: page("taste").show_brew(last),
        "log": lambda: page("log").show_bag(row.bag.id),
        "history": lambda: page("history").show_coffee(row.coffee.id),
        "cup": lambda: page("cup").show_brew(last),
        "compare": lambda: page("compare").show_brews(first, last),
        "guests": lambda: page("guests").show_planned(planned),
        "plane": lambda: page("plane").show_coffee(row.coffee.id),
        "believed": lambda: page("believed").show_coffee(row.coffee.id, row.coffee.name),
        "trial": lambda: page("trial").show_trial(begun),
        "trial_result": lambda: page("trial_result").show_trial(filed),
        "guide": lambda: page("guide").start(planned),
    }
    # A brew must be under way for the page that takes one up again.
    names = sorted(PAGES, key=lambda name: name == "resume")
    for name in names:
        page(name)
        program.window.open_page(name)
        shown.get(name, bool)()
        if name == "resume":
            page(name).reload(~Touched.NOTHING)
        QApplication.processEvents()
        if name == "trial_start":
            _wait_for(page(name).proposed)
        if name == "trial":
            _wait_for(lambda: page("trial")._overview._stands.text() or None)
        if name == "trial_result":
            _wait_for(page(name).result)
        # What was taken off the page is still a child of it until this.
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
        yield name


def _wait_for(found: Callable[[], object]) -> None:
    """Wait for what a page works out off the thread, which moves its labels when it comes."""
    for _ in range(2000):
        if found() is not None:
            return
        QTest.qWait(10)
    raise AssertionError("nothing was worked out")
