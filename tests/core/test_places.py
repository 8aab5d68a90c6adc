"""A cup read by its place is the one that stands among all of its coffee."""

from dataclasses import replace

import pytest

from halfclick.errors import NotFound
from halfclick.model.brew import SlipKind
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.corrections import add_slip, delete_cup
from halfclick.service.cups import (
    coffee_of_brew,
    cup_at,
    cups_of_coffee,
    place_of,
    places_of_coffee,
)
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import good_one, last_cup, next_plan
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting


@pytest.fixture
def mixed(store, clock):
    """Five brews of a coffee: two corrected, one of another size, one deleted, most tasted."""
    set_up_kitchen(store, KitchenEntry(step_um=25.0), clock=clock)
    bag = add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock).value
    brews = []
    for number, liking in enumerate((8.0, 4.0, None, 9.0, 3.0)):
        planned = next_plan(store, bag.id, today=clock().date())
        if number == 3:
            big = replace(planned.recipe, dose_g=planned.recipe.dose_g * 1.5)
            planned = replace(planned, recipe=big)
        entry = BrewEntry(planned=planned, drained_s=120.0 + number)
        brew = record_brew(store, entry, kit_in_use(store), clock=clock).value
        if liking is not None:
            record_tasting(store, brew.id, TastingEntry(liking=liking), clock=clock)
        clock.advance(3600)
        brews.append(brew)
    for number in (1, 4):
        add_slip(store, brews[number].id, SlipKind.STALL, clock=clock)
    delete_cup(store, brews[2].id, clock=clock)
    return bag, brews


def test_every_place_gives_the_cup_that_stands_there(store, mixed):
    _, brews = mixed
    coffee_id = coffee_of_brew(store, brews[0].id).id
    with store.reading() as r:
        cups = cups_of_coffee(r, coffee_id)
        places = places_of_coffee(r, coffee_id)
        assert [cup_at(r, place) for place in places] == list(cups)
    assert [cup.number for cup in cups] == [1, 2, 3, 4]
    assert any(cup.earlier_ids for cup in cups)
    assert any(cup.scaled for cup in cups)
    assert [place.started_at for place in places] == [cup.brew.started_at for cup in cups]


def test_a_brew_that_was_corrected_leads_to_the_cup_that_stands(store, mixed):
    _, brews = mixed
    with store.reading() as r:
        places = places_of_coffee(r, coffee_of_brew(store, brews[0].id).id)
    assert place_of(places, brews[1].id).brew_id != brews[1].id
    with pytest.raises(NotFound):
        place_of(places, brews[2].id)


def test_the_plan_goes_on_from_the_last_cup_and_the_good_one_is_of_its_own_size(store, mixed):
    bag, brews = mixed
    last = last_cup(store, bag.id)
    assert last is not None
    assert brews[4].id in last.earlier_ids
    good = good_one(store, bag.id)
    assert good is not None
    assert good.parent_id == brews[0].id
