"""Whatever is typed into a form: a clear sentence or a sound record, and nothing typed is lost."""

import math
from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from functools import partial
from uuid import UUID

import pytest
from PySide6.QtWidgets import QLabel, QPushButton, QWidget

from halfclick.model.grinder import setting_at
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan
from halfclick.service.record import BrewEntry, record_brew
from halfclick.store.journal import Store
from halfclick.store.rows import TABLES
from halfclick_desktop.coffee_form_page import CoffeeFormPage
from halfclick_desktop.convert_page import ConvertPage
from halfclick_desktop.cup_page import CupPage
from halfclick_desktop.desk import Desk
from halfclick_desktop.first_run_page import FirstRunPage
from halfclick_desktop.guests_page import GuestsPage
from halfclick_desktop.kit_page import KitPage
from halfclick_desktop.log_page import LogPage
from halfclick_desktop.plan_page import PlanPage
from halfclick_desktop.rules_page import RulesPage
from halfclick_desktop.search_page import SearchPage
from halfclick_desktop.settings_page import SettingsPage
from halfclick_desktop.taste_page import TastePage
from halfclick_desktop.trial_paper_page import TrialPaperPage
from halfclick_desktop.trial_start_page import TrialStartPage
from halfclick_desktop.water_page import WaterPage
from halfclick_desktop.widgets.field import DateField, Field, NumberField, TextField

HOSTILE = {
    "spaces only": "   ",
    "a word": "abc",
    "not a number": "NaN",
    "infinite": "inf",
    "huge": "9" * 300,
    "too many digits": "1e309",
    "negative": "-5",
    "nought": "0",
    "two decimal marks": "1,2.3",
    "thousands": "1.000.000",
    "emoji": "\N{HOT BEVERAGE}\N{SKULL}",
    "right to left": "\N{RIGHT-TO-LEFT OVERRIDE}\N{HEBREW LETTER ALEF}15",
    "other digits": "\N{ARABIC-INDIC DIGIT ONE}\N{ARABIC-INDIC DIGIT FIVE}",
    "a null": "15\x00",
    "lines": "15\n16",
    "markup": "<b>15</b><img src=x>",
    "a statement": "'); DROP TABLE brew;--",
    "another grinder's setting": "99-Z",
    "a very long line": "ab " * 40_000,
}
# What some field of these forms may well hold.
POSSIBLE = {"   ", "0"}


def form_of_coffee(desk: Desk) -> QWidget:
    page = CoffeeFormPage(desk)
    page.start_new()
    return page


def log(desk: Desk) -> QWidget:
    page = LogPage(desk)
    page.show_bag(_bag_id(desk))
    return page


def plan(desk: Desk) -> QWidget:
    page = PlanPage(desk)
    page.show_planned(next_plan(desk.store, _bag_id(desk), today=desk.today()))
    return page


def taste(desk: Desk) -> QWidget:
    page = TastePage(desk)
    page.show_brew(_brew_id(desk))
    return page


def kit_form(kind: str) -> Callable[[Desk], QWidget]:
    """Return what opens the form of a new thing of a kind."""

    def made(desk: Desk) -> QWidget:
        from halfclick.service.done import Touched

        page = KitPage(desk)
        page.reload(Touched.KIT)
        page._add(kind)
        return page

    return made


def measuring(form: str) -> Callable[[Desk], QWidget]:
    """Return what opens the form of something measured of the kit."""

    def made(desk: Desk) -> QWidget:
        from halfclick.service.done import Touched

        page = KitPage(desk)
        page.reload(Touched.KIT)
        (page._open_wait if form == "wait" else page._open_sieving)()
        return page

    return made


def first_run(desk: Desk) -> QWidget:
    return FirstRunPage(desk)


def settings(desk: Desk) -> QWidget:
    page = SettingsPage(desk)
    page.reload(~_nothing())
    return page


def guests(desk: Desk) -> QWidget:
    page = GuestsPage(desk)
    page.show_planned(next_plan(desk.store, _bag_id(desk), today=desk.today()))
    return page


def cup(desk: Desk) -> QWidget:
    page = CupPage(desk)
    page.show_brew(_brew_id(desk))
    return page


def search(desk: Desk) -> QWidget:
    page = SearchPage(desk)
    page.reload(~_nothing())
    return page


def convert(desk: Desk) -> QWidget:
    kit = kit_in_use(desk.store)
    planned = next_plan(desk.store, _bag_id(desk), today=desk.today())
    recipe = replace(planned.recipe, setting=setting_at(kit.grinder, kit.zero, 20))
    entry = BrewEntry(planned=replace(planned, recipe=recipe), drained_s=150.0)
    record_brew(desk.store, entry, kit, clock=desk.clock)
    page = ConvertPage(desk)
    page.reload(~_nothing())
    return page


def own_rule(desk: Desk) -> QWidget:
    page = RulesPage(desk)
    page.reload(~_nothing())
    page._new()
    return page


def minerals(kind: str) -> Callable[[Desk], QWidget]:
    """Return what opens the form of a new water or stock on the page of waters."""

    def made(desk: Desk) -> QWidget:
        page = WaterPage(desk)
        page.reload(~_nothing())
        page._do(kind)
        return page

    return made


def trial_paper(desk: Desk) -> QWidget:
    page = TrialPaperPage(desk)
    page.start()
    return page


def trial_start(desk: Desk) -> QWidget:
    page = TrialStartPage(desk)
    page.reload(~_nothing())
    return page


FORMS: dict[str, Callable[[Desk], QWidget]] = {
    "coffee": form_of_coffee,
    "log": log,
    "plan": plan,
    "taste": taste,
    "grinder": kit_form("grinder"),
    "dripper": kit_form("dripper"),
    "water": kit_form("water"),
    "server": kit_form("server"),
    "timed wait": measuring("wait"),
    "sieving": measuring("sieving"),
    "settings": settings,
    "first run": first_run,
    "cup": cup,
    "own rule": own_rule,
    "figures of a water": minerals("add_water"),
    "stock": minerals("add_stock"),
    "kettle": kit_form("kettle"),
    "paper": kit_form("paper"),
    "trial from paper": trial_paper,
    "trial": trial_start,
}

# Pages that keep nothing: what is typed is answered, or refused, at once or after a pause.
ASKED: dict[str, Callable[[Desk], QWidget]] = {
    "guests": guests,
    "search": search,
    "convert": convert,
}


@pytest.mark.parametrize("form", ASKED)
def test_what_cannot_be_asked_is_refused_with_a_sentence_and_kept_as_typed(qtbot, desk, form):
    _furnish(desk)
    page = ASKED[form](desk)
    qtbot.addWidget(page)
    page.resize(1100, 760)
    page.show()
    written = _counted(desk.store)
    for text in HOSTILE.values():
        for field in _lines(page):
            field.show_error("")
            field.line.setText(text)
            field.line.setModified(True)
            field.line.textEdited.emit(field.line.text())
            field.line.editingFinished.emit()
        typed = {id(field): field.line.text() for field in _lines(page)}
        _press_main(page)
        if text not in POSSIBLE:
            qtbot.waitUntil(partial(_is_refused, page), timeout=5_000)
        assert {id(field): field.line.text() for field in _lines(page)} == typed
    assert _counted(desk.store) == written


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
@pytest.mark.parametrize("form", FORMS)
def test_what_cannot_be_is_refused_with_a_sentence_and_kept_as_typed(qtbot, desk, form, text):
    if form != "first run":
        _furnish(desk)
    page = FORMS[form](desk)
    qtbot.addWidget(page)
    page.resize(1100, 760)
    page.show()
    written = _counted(desk.store)
    for field in _lines(page):
        field.line.setText(text)
        field.line.textEdited.emit(field.line.text())
    typed = {id(field): field.line.text() for field in _lines(page)}
    _press_main(page)
    if form in {"coffee", "log", "grinder", "dripper", "water", "server"} and text not in POSSIBLE:
        assert _counted(desk.store) == written
    refused = [field for field in _lines(page) if field.error()]
    says_nothing_new = form == "cup" and not text.strip()
    if (
        _counted(desk.store) == written
        and _has_numbers(page)
        and page.isVisible()
        and not says_nothing_new
    ):
        # Nothing was kept: it says why, somewhere a person looks.
        assert _sentences(page), f"{form} says nothing about {text[:20]!r}"
    if refused:
        for field in _lines(page):
            assert field.line.text() == typed[id(field)]
    _is_sound(desk.store)


def _furnish(desk: Desk) -> None:
    set_up_kitchen(desk.store, KitchenEntry(step_um=25.0), clock=desk.clock)
    add_coffee(desk.store, CoffeeEntry(name="Tarn Hollow", weight_g=250.0), clock=desk.clock)


def _brew_id(desk: Desk) -> UUID:
    kit = kit_in_use(desk.store)
    planned = next_plan(desk.store, _bag_id(desk), today=desk.today())
    return record_brew(desk.store, BrewEntry(planned=planned), kit, clock=desk.clock).value.id


def _bag_id(desk: Desk):
    from halfclick.model.coffee import Bag

    with desk.store.reading() as r:
        return r.all(Bag)[0].id


def _nothing():
    from halfclick.service.done import Touched

    return Touched.NOTHING


def _lines(page: QWidget) -> list[Field]:
    return [
        field
        for field in page.findChildren(Field)
        if isinstance(field, NumberField | TextField | DateField) and field.isVisible()
    ]


def _has_numbers(page: QWidget) -> bool:
    return any(isinstance(field, NumberField) for field in _lines(page))


def _press_main(page: QWidget) -> None:
    for button in page.findChildren(QPushButton):
        if button.property("role") == "main" and button.isVisible() and button.isEnabled():
            button.click()
            return


def _sentences(page: QWidget) -> list[str]:
    return [
        label.text()
        for label in page.findChildren(QLabel)
        if label.property("role") == "caution" and label.isVisible() and label.text()
    ]


def _is_refused(page: QWidget) -> bool:
    return bool(_sentences(page))


def _counted(store: Store) -> dict[str, int]:
    with store.reading() as r:
        return {kind.__name__: len(r.all(kind, corrected=True)) for kind in TABLES}


def _is_sound(store: Store) -> None:
    """Read every record back, which checks it, and find no number in it that is none."""
    with store.reading() as r:
        for kind in TABLES:
            for record in r.all(kind, corrected=True):
                _is_finite(record)


def _is_finite(value: object) -> None:
    if isinstance(value, float):
        assert math.isfinite(value)
    elif is_dataclass(value):
        for one in fields(value):
            _is_finite(getattr(value, one.name))
    elif isinstance(value, tuple):
        for each in value:
            _is_finite(each)
