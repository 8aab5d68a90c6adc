"""What a coffee's cups add up to: the chain and its reasons, the breaks, the status, the sheet."""

from uuid import uuid4

import pytest

from halfclick.errors import NotFound
from halfclick.model.coffee import Process, Roast
from halfclick.model.grinder import Grinder, ZeroFound, ZeroReason, read_setting
from halfclick.model.moves import with_ratio, with_setting
from halfclick.model.numbering import Numbering, Scheme
from halfclick.model.tasting import Verdict
from halfclick.service.coffees import CoffeeEntry, buy_again, coffee_of_bag
from halfclick.service.cups import Status
from halfclick.service.grinders import take_zero
from halfclick.service.history import coffee_history
from halfclick.service.kitchens import add_thing, put_to_use
from halfclick.service.plan import good_one, next_plan, planned_from
from halfclick.service.record import (
    BrewEntry,
    TastingEntry,
    correct_drained,
    record_brew,
    record_tasting,
)
from halfclick.service.sheet import coffee_sheet


@pytest.fixture
def history(store):
    """Return what tells the history of a bag's coffee."""
    return lambda bag: coffee_history(store, coffee_of_bag(store, bag.id).id)


@pytest.fixture
def sheet(store, clock):
    """Return what shows the sheet of a bag's coffee."""
    return lambda bag: coffee_sheet(store, coffee_of_bag(store, bag.id).id, clock().date())


@pytest.fixture
def brewed(store, clock, kit):
    """Return what brews a plan, tastes it, and moves on by a day."""

    def made(planned, tasting: TastingEntry | None = None, drained_s: float | None = None):
        entry = BrewEntry(planned=planned, drained_s=drained_s)
        brew = record_brew(store, entry, kit(), clock=clock).value
        clock.advance(300)
        if tasting is not None:
            record_tasting(store, brew.id, tasting, clock=clock)
        clock.advance(86_400)
        return brew

    return made


@pytest.fixture
def re_zero(store, clock, kit):
    """Return what takes a new zero of the grinder in use."""

    def taken(reason: ZeroReason) -> None:
        take_zero(
            store,
            kit().grinder.id,
            reading_text="",
            found=ZeroFound.NOT_CHECKED,
            reason=reason,
            clock=clock,
        )

    return taken


def numbers_of(points):
    return [point.cup.number for point in points]


def test_a_coffee_without_cups_says_so(coffee, kit, history, words):
    told = history(coffee("Tarn Hollow"))
    assert (told.points, told.chain, told.status) == ((), (), Status.NO_CUP)
    assert "Tarn Hollow" in words.sentences(told.summary)


def test_the_chain_leads_through_the_brews_each_cup_came_from(
    store, clock, coffee, cup, history, brewed
):
    bag = coffee("Tarn Hollow")
    kept = cup(bag, "20", Verdict.KEEP)
    cup(bag, "26", Verdict.CHANGE)
    cup(bag, "28", Verdict.CHANGE)
    brewed(good_one(store, bag.id))
    told = history(bag)
    assert numbers_of(told.points) == [1, 2, 3, 4]
    assert numbers_of(told.chain) == [1, 4]
    assert told.points[3].cup.brew.plan == kept.plan


def test_every_cup_tells_what_was_moved_and_why(store, clock, coffee, cup, history, brewed, words):
    bag = coffee("Tarn Hollow")
    cup(bag, "20", Verdict.CHANGE)
    planned = next_plan(store, bag.id, today=clock().date())
    brewed(planned_from(store, planned, with_ratio(planned.recipe, 17.0), "it was heavy"))
    first, second = history(bag).points
    assert (first.changes, first.why, first.parent_number) == ((), (), None)
    assert [change.amount for change in second.changes] == [1.0]
    assert words.sentences(second.why) == "it was heavy"
    assert second.parent_number == 1


@pytest.mark.parametrize("reason", [one for one in ZeroReason if one is not ZeroReason.FIRST])
def test_a_new_zero_is_a_break_before_the_next_cup_alone(coffee, cup, history, re_zero, reason):
    bag = coffee("Tarn Hollow")
    cup(bag, "20")
    re_zero(reason)
    cup(bag, "20")
    cup(bag, "20")
    assert [point.break_before for point in history(bag).points] == [None, reason, None]


def test_another_grinder_is_told_and_is_no_break_of_a_zero(
    store, clock, coffee, cup, history, words
):
    bag = coffee("Tarn Hollow")
    cup(bag, "20")
    other = Grinder(id=uuid4(), name="Other", numbering=Numbering(scheme=Scheme.CLICKS))
    add_thing(store, other, clock=clock)
    put_to_use(store, other, clock=clock)
    cup(bag, "9")
    first, second = history(bag).points
    assert (first.grinder_changed, second.grinder_changed) == (False, True)
    assert (second.grinder_name, second.break_before) == ("Other", None)
    # Steps of two grinders are not one way: nothing was moved.
    assert second.changes == ()


def test_the_summary_tells_cups_settings_times_breaks_and_how_far_it_is(
    coffee, cup, history, re_zero, words
):
    bag = coffee("Tarn Hollow")
    cup(bag, "22", Verdict.CHANGE, drained_s=150.0)
    re_zero(ZeroReason.CLEANED)
    cup(bag, "18", Verdict.KEEP, drained_s=185.0)
    said = words.sentences(history(bag).summary)
    for part in ("2 cups of Tarn Hollow", "from 22 to 18", "2:30", "3:05", "zero changed once"):
        assert part in said


def test_one_cup_without_a_time_is_summed_up_too(coffee, cup, history, words):
    bag = coffee("Tarn Hollow")
    cup(bag, "22", drained_s=None)
    said = words.sentences(history(bag).summary)
    assert "22" in said
    assert "zero" not in said


def test_a_cup_is_as_old_as_the_bag_was_when_it_was_brewed(store, clock, coffee, cup, history):
    bag = coffee("Tarn Hollow", roasted_on=clock().date())
    cup(bag, "20")
    cup(bag, "20")
    assert [point.age_days for point in history(bag).points] == [0, 1]


def test_a_corrected_cup_keeps_its_place_and_what_came_from_it(store, clock, coffee, cup, history):
    bag = coffee("Tarn Hollow")
    wrong = cup(bag, "20", Verdict.KEEP)
    cup(bag, "18")
    correct_drained(store, wrong.id, 190.0, clock=clock)
    told = history(bag)
    assert [point.drained_s for point in told.points] == [190.0, 160.0]
    assert told.points[0].verdict is Verdict.KEEP
    assert numbers_of(told.chain) == [1, 2]


def test_a_time_that_was_not_taken_is_unknown(coffee, cup, history):
    bag = coffee("Tarn Hollow")
    cup(bag, "20", drained_s=None)
    point = history(bag).points[0]
    assert (point.drained_s, point.drained_is_measured) == (None, False)


def test_cups_of_every_lot_are_one_history(store, clock, coffee, cup, history):
    bag = coffee("Tarn Hollow")
    cup(bag, "20")
    coffee_id = coffee_of_bag(store, bag.id).id
    again = buy_again(store, coffee_id, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    cup(again, "18")
    assert numbers_of(history(again).points) == [1, 2]
    assert history(again).points[1].changes[0].amount == -2


def test_a_history_that_is_not_there_is_said(store, words):
    with pytest.raises(NotFound) as missing:
        coffee_history(store, uuid4())
    assert words.sentence(missing.value)


KEEP, CHANGE = Verdict.KEEP, Verdict.CHANGE


@pytest.mark.parametrize(
    ("cups", "status"),
    [
        ([("20", None)], Status.SEARCHING),
        ([("20", CHANGE)], Status.SEARCHING),
        ([("20", KEEP)], Status.ONE_GOOD_CUP),
        ([("20", KEEP), ("20", KEEP)], Status.REPEATED),
        ([("20", KEEP), ("18", KEEP)], Status.ONE_GOOD_CUP),
        ([("20", KEEP), ("20", CHANGE)], Status.SEARCHING),
        ([("20", KEEP), ("18", CHANGE)], Status.ONE_GOOD_CUP),
        ([("20", KEEP), ("18", CHANGE), ("20", KEEP)], Status.REPEATED),
    ],
)
def test_a_winner_counts_after_a_second_good_cup_of_it(
    coffee, cup, history, sheet, words, cups, status
):
    bag = coffee("Tarn Hollow")
    for setting, verdict in cups:
        cup(bag, setting, verdict)
    assert history(bag).status is status
    assert sheet(bag).status is status
    assert words.sentence(history(bag).summary[-1])


@pytest.mark.parametrize(
    ("liking", "status"), [(6.9, Status.SEARCHING), (7.0, Status.ONE_GOOD_CUP)]
)
def test_without_a_verdict_a_well_liked_cup_is_good(
    store, clock, coffee, kit, brewed, history, liking, status
):
    bag = coffee("Tarn Hollow")
    planned = next_plan(store, bag.id, today=clock().date())
    setting = read_setting(kit().grinder, kit().zero, "20")
    planned = planned_from(store, planned, with_setting(planned.recipe, setting))
    brewed(planned, TastingEntry(liking=liking))
    assert history(bag).status is status


# The sheet


def test_the_sheet_of_a_new_coffee_shows_its_first_recipe_and_why(coffee, kit, sheet, words):
    shown = sheet(coffee("Tarn Hollow", roast=Roast.LIGHT, process=Process.WASHED))
    assert shown.next.recipe == shown.first.recipe
    assert shown.first.reasons
    assert (shown.last, shown.advice, shown.band, shown.strip) == (None, None, None, ())
    assert words.sentences(shown.summary)


def test_the_sheet_without_a_kit_shows_the_label_alone(coffee, sheet):
    shown = sheet(coffee("Tarn Hollow"))
    assert (shown.kit, shown.next, shown.first) == (None, None, None)


def test_the_sheet_after_a_cup_shows_it_with_advice_band_and_strip(coffee, cup, sheet, re_zero):
    bag = coffee("Tarn Hollow", weight_g=100.0)
    cup(bag, "22", Verdict.CHANGE)
    re_zero(ZeroReason.NEW_BURRS)
    kept = cup(bag, "20", Verdict.KEEP)
    shown = sheet(bag)
    assert shown.last.brew == kept
    assert shown.next_before == kept.plan
    assert (shown.cups, shown.first) == (2, None)
    assert shown.advice is not None
    assert not shown.advice_answered
    assert shown.band.low_s <= 160.0 <= shown.band.high_s
    assert [(one.setting_text, one.changed, one.break_before) for one in shown.strip] == [
        ("22", False, None),
        ("20", True, ZeroReason.NEW_BURRS),
    ]
    # Two doses of 15 g and one purge of 2 g.
    assert (shown.left_g, shown.brews_left) == (68.0, 4)


def test_an_untasted_cup_has_no_advice_on_its_sheet(coffee, cup, sheet):
    bag = coffee("Tarn Hollow")
    cup(bag, "20")
    assert sheet(bag).advice is None


def test_a_sheet_that_is_not_there_is_said(store, clock, words):
    with pytest.raises(NotFound) as missing:
        coffee_sheet(store, uuid4(), clock().date())
    assert words.sentence(missing.value)
