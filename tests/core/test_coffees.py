"""The shelf: labels, lots and bags, their age, and what is left in them."""

from dataclasses import replace
from datetime import date
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.errors import BadInput, NotFound
from halfclick.model.coffee import (
    Bag,
    Coffee,
    Lot,
    PrintedRecipe,
    Process,
    Roast,
    age_days,
    brews_left,
)
from halfclick.model.tasting import Verdict
from halfclick.service.coffees import (
    CoffeeEntry,
    add_coffee,
    bury_coffee,
    buy_again,
    change_coffee,
    coffee_of_bag,
    entry_of,
    left_in,
    restore_coffee,
    say_left,
    shelf,
)
from halfclick.service.cups import Status

WHOLE_LABEL = CoffeeEntry(
    name="Tarn Hollow",
    roaster="Beck Side",
    origin="Huila",
    process=Process.HONEY,
    roast=Roast.LIGHT,
    altitude_m=1750.0,
    decaf=True,
    note="for the mornings",
    lot_code="L 12",
    batch_code="B 7",
    roasted_on=date(2026, 11, 10),
    weight_g=250.0,
    opened_on=date(2026, 11, 20),
    frozen_on=date(2026, 11, 12),
    thawed_on=date(2026, 11, 19),
    printed=PrintedRecipe(dose_g=15.0, water_g=250.0, grind_words="medium"),
)
DAYS = st.dates(date(2026, 1, 1), date(2026, 12, 31))


def rows_of(store, clock):
    return shelf(store, clock().date())


def names_on(store, clock):
    return [row.coffee.name for row in rows_of(store, clock)]


def test_a_label_reads_back_as_it_was_typed(store, clock):
    bag = add_coffee(store, WHOLE_LABEL, clock=clock).value
    assert entry_of(store, bag.id) == WHOLE_LABEL


def test_a_name_is_all_a_coffee_needs(store, clock):
    add_coffee(store, CoffeeEntry(name="  Tarn Hollow "), clock=clock)
    row = rows_of(store, clock)[0]
    assert row.coffee.name == "Tarn Hollow"
    assert (row.age_days, row.left_g, row.brews_left, row.last_brewed_at) == (None,) * 4
    assert (row.brews, row.status) == (0, Status.NO_CUP)


@pytest.mark.parametrize(
    "wrong",
    [
        {"name": " "},
        {"altitude_m": 9000.0},
        {"weight_g": 0.0},
        {"frozen_on": None},
        {"thawed_on": date(2026, 11, 1)},
    ],
)
def test_a_label_that_cannot_be_is_refused_with_a_sentence_and_nothing_is_kept(
    store, clock, words, wrong
):
    with pytest.raises(BadInput) as refused:
        add_coffee(store, replace(WHOLE_LABEL, **wrong), clock=clock)
    assert words.sentence(refused.value)
    assert not rows_of(store, clock)


@pytest.mark.parametrize(
    ("printed", "said"),
    [
        ({"dose_g": -1.0}, "A printed dose"),
        ({"water_g": 1.0}, "Printed water"),
        # A temperature in Fahrenheit.
        ({"temperature_c": 205.0}, "Give 1\N{NO-BREAK SPACE}°C to 100"),
        ({"drained_s": 0.0}, "A printed time"),
        ({"dose_g": 18.0, "water_g": 30.0}, "3 to 60 times the dose"),
    ],
)
def test_a_printed_number_that_cannot_be_is_refused_with_a_sentence(words, printed, said):
    with pytest.raises(BadInput) as refused:
        PrintedRecipe(**printed)
    assert said in words.sentence(refused.value)


def test_a_wrong_change_leaves_the_label_as_it_was(store, clock):
    bag = add_coffee(store, WHOLE_LABEL, clock=clock).value
    with pytest.raises(BadInput):
        change_coffee(store, bag.id, replace(WHOLE_LABEL, name="New", weight_g=-1.0), clock=clock)
    assert entry_of(store, bag.id) == WHOLE_LABEL


def test_a_changed_label_keeps_what_was_said_to_be_left(store, clock):
    bag = add_coffee(store, WHOLE_LABEL, clock=clock).value
    say_left(store, bag.id, 90.0, clock=clock)
    changed = change_coffee(store, bag.id, replace(WHOLE_LABEL, weight_g=300.0), clock=clock).value
    assert (changed.weight_g, left_in(store, bag.id)) == (300.0, 90.0)


def test_buying_again_keeps_the_coffee_and_starts_a_new_lot(store, clock, cup):
    first = add_coffee(store, CoffeeEntry(name="Tarn Hollow", weight_g=100.0), clock=clock).value
    cup(first, "20", Verdict.KEEP)
    coffee = coffee_of_bag(store, first.id)
    entry = CoffeeEntry(name="Tarn Hollow", roasted_on=clock().date(), weight_g=250.0)
    again = buy_again(store, coffee.id, entry, clock=clock).value
    row = rows_of(store, clock)[0]
    assert coffee_of_bag(store, again.id) == coffee
    assert (row.bag, row.lot.id) == (again, again.lot_id)
    # The cups stay with the coffee, the weight is the new bag's own.
    assert (row.brews, row.left_g, row.age_days) == (1, 250.0, 0)
    assert left_in(store, first.id) == 85.0


def test_no_bag_is_bought_of_a_coffee_that_is_not_there(store, clock):
    with pytest.raises(NotFound):
        buy_again(store, uuid4(), WHOLE_LABEL, clock=clock)
    with store.reading() as r:
        assert not r.all(Bag)


def test_a_coffee_brewed_or_bought_last_leads_the_shelf(store, clock, coffee, cup):
    bags = {}
    for name in ("Ash Gill", "Fell Beck", "Pell Ridge"):
        bags[name] = coffee(name)
        clock.advance(60)
    assert names_on(store, clock) == ["Pell Ridge", "Fell Beck", "Ash Gill"]
    cup(bags["Ash Gill"], "20")
    assert names_on(store, clock) == ["Ash Gill", "Pell Ridge", "Fell Beck"]
    again = CoffeeEntry(name="Fell Beck")
    buy_again(store, coffee_of_bag(store, bags["Fell Beck"].id).id, again, clock=clock)
    assert names_on(store, clock) == ["Fell Beck", "Ash Gill", "Pell Ridge"]


def test_a_coffee_put_away_keeps_its_cups_until_it_comes_back(store, clock, coffee, cup):
    bag = coffee("Tarn Hollow")
    cup(bag, "20", Verdict.KEEP)
    coffee_id = coffee_of_bag(store, bag.id).id
    bury_coffee(store, coffee_id, clock=clock)
    assert not rows_of(store, clock)
    restore_coffee(store, coffee_id, clock=clock)
    row = rows_of(store, clock)[0]
    assert (row.brews, row.status) == (1, Status.ONE_GOOD_CUP)


def test_a_coffee_that_is_not_there_cannot_be_put_away(store, clock):
    with pytest.raises(NotFound):
        bury_coffee(store, uuid4(), clock=clock)


def test_only_brews_after_it_was_said_are_taken_off_what_is_left(store, clock, coffee, cup):
    bag = coffee("Tarn Hollow")
    assert left_in(store, bag.id) is None
    cup(bag, "20")
    assert left_in(store, bag.id) is None
    say_left(store, bag.id, 50.0, clock=clock)
    clock.advance(60)
    cup(bag, "20")
    assert left_in(store, bag.id) == 35.0
    assert rows_of(store, clock)[0].brews_left == 2


def test_a_bag_is_never_less_than_empty(store, clock, coffee, cup):
    bag = coffee("Tarn Hollow", weight_g=20.0)
    cup(bag, "20")
    cup(bag, "20")
    assert left_in(store, bag.id) == 0.0
    assert rows_of(store, clock)[0].brews_left == 0


def test_what_cannot_be_left_is_refused_with_a_sentence(store, clock, coffee, words):
    bag = coffee("Tarn Hollow", weight_g=100.0)
    with pytest.raises(BadInput) as refused:
        say_left(store, bag.id, -1.0, clock=clock)
    assert words.sentence(refused.value)
    assert left_in(store, bag.id) == 100.0


@pytest.mark.parametrize(
    ("left_g", "brews"), [(0.0, 0), (14.8, 0), (14.9, 1), (30.0, 2), (44.9, 3)]
)
def test_a_tenth_of_a_gram_short_is_still_a_brew(left_g, brews):
    assert brews_left(left_g, 15.0) == brews


def a_bag(roasted_on: date, **facts: object) -> tuple[Lot, Bag]:
    coffee = Coffee(id=uuid4(), name="Tarn Hollow")
    lot = Lot(id=uuid4(), coffee_id=coffee.id, roasted_on=roasted_on)
    return lot, Bag(id=uuid4(), lot_id=lot.id, **facts)


@given(DAYS, DAYS, DAYS, DAYS)
def test_days_frozen_and_days_aged_are_all_the_days_since_roasting(one, two, three, four):
    roasted_on, frozen_on, thawed_on, today = sorted((one, two, three, four))
    lot, bag = a_bag(roasted_on, frozen_on=frozen_on, thawed_on=thawed_on)
    frozen_days = (thawed_on - frozen_on).days
    assert age_days(lot, bag, today) + frozen_days == (today - roasted_on).days


@given(DAYS, DAYS, DAYS)
def test_age_stands_still_while_a_bag_is_frozen(one, two, three):
    roasted_on, frozen_on, today = sorted((one, two, three))
    lot, bag = a_bag(roasted_on, frozen_on=frozen_on)
    assert age_days(lot, bag, today) == (frozen_on - roasted_on).days


def test_a_bag_to_be_frozen_later_ages_until_then():
    lot, bag = a_bag(date(2026, 11, 1), frozen_on=date(2026, 11, 20))
    assert age_days(lot, bag, date(2026, 11, 10)) == 9


def test_a_coffee_roasted_tomorrow_is_no_younger_than_new():
    lot, bag = a_bag(date(2026, 11, 2))
    assert age_days(lot, bag, date(2026, 11, 1)) == 0
