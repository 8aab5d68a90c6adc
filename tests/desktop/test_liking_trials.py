"""Preference and ranking through the real window, by keys: from the start to the verdict."""

import pytest
from test_trial_pages import Kitchen

from halfclick.model.trial import Habit
from halfclick.model.trial_kinds import Finding, Question
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, set_up_kitchen
from halfclick.service.trial_findings import habits_found
from halfclick.store.opening import open_store


@pytest.fixture
def table(qtbot, start, journal, clock):
    """Open the program on a kitchen with a coffee."""
    store = open_store(journal, clock=clock, person_name="Ada", device_name="laptop")
    set_up_kitchen(store, KitchenEntry(water_name="filtered"), clock=clock)
    add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock)
    store.close()
    return Kitchen(qtbot, start(), clock)


def result_pixels(person) -> list[int]:
    """Return how many dark points stand on each page of the printed result."""
    from halfclick_desktop.print_dialog import result_sheet
    from halfclick_desktop.printing import preview

    page = person.window.page("trial_result")
    sheet = result_sheet(page._desk, page.result())
    without = type(sheet)(sheet.title, sheet.html.replace("<img", "<i"), sheet.foot)
    dark = []
    for one in (sheet, without):
        image = preview(one, "a4", 40, person.window._words)[0]
        points = (image.pixelColor(x, y) for x in range(image.width()) for y in range(40, 400))
        dark.append(sum(point.lightness() < 200 for point in points))
    return dark


def test_who_likes_brews_without_the_swirl_is_heard_and_swirling_is_not_called_small(table):
    ada = table
    ada.open_start()
    ada.choose("question", Question.BETTER)
    ada.type_into("rounds", "8")
    ada.wait_proposed()
    assert "Which of two cups is liked better, or neither" in ada.sees()
    ada.begin()
    twice = 0
    for _ in range(8):
        brews = ada.hand_over()
        same = len(set(brews)) == 1
        twice += same
        ada.answer("0" if same else str(brews.index(1) + 1))
    assert twice == 2
    told = ada.verdict()
    # Six of six, two-sided: 2 / 64.
    assert told.main.p == pytest.approx(2 / 64)
    assert (told.main.finding, told.main.about_habit) == (Finding.SHOWN, True)
    seen = ada.sees()
    assert "Shown: brews made without the habit are liked better." in seen
    assert "“with the swirl” 0 times, “without the swirl” 6 times, neither 0 times" in seen
    assert "In 2 hidden pairs both cups held the same brew; one of them was liked better 0" in seen
    assert "brews without it were liked better" in seen
    found = habits_found(ada.store)
    assert (set(found.shown), found.small) == ({Habit.SWIRL}, frozenset())
    assert found.shown[Habit.SWIRL] < 0
    with_picture, without = result_pixels(ada)
    assert with_picture > without + 200


def test_a_panel_of_three_ranks_a_ladder_in_the_order_it_was_predicted(table):
    una = table
    una.open_start()
    una.choose("what", "names", proposes=False)
    una.type_into("names", "fine, middle, coarse")
    una.type_into("tasters", "Una, Vic, Wyn")
    una.wait_proposed()
    una.type_into("rounds", "3")
    una.wait_proposed()
    assert "Cups in order of liking" in una.sees()
    una.window.page("trial_start")._predicted.box.click()
    una.begin()
    assert una.view().trial.predicted
    for _ in range(3):
        brews = una.hand_over()
        una.answer("".join(str(brews.index(brew) + 1) for brew in range(3)))
    told = una.verdict()
    # Page's L is at its most, which one of 6^3 tables of ranks gives: p = 1 / 216.
    assert told.main.p == pytest.approx(1 / 216)
    assert told.main.finding is Finding.SHOWN
    seen = una.sees()
    assert "“fine” stands best and “coarse” last; it was put higher 3 times in 3" in seen
    assert "Sums of ranks, in the order of the names: 3, 6, 9." in seen
    assert "By Page's test for the order that was predicted, exact." in seen
    assert "Filed with the coffee, the water and the kit." in seen
