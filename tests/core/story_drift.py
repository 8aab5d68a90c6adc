"""A bag of a story: 14 cups, day 9 to day 34 at one recipe, liked less, drained quicker."""

from collections.abc import Callable
from datetime import timedelta
from uuid import UUID, uuid4

from halfclick.model.coffee import Process
from halfclick.model.grinder import ZeroFound, ZeroReason, read_setting
from halfclick.model.kit import Water
from halfclick.model.moves import resized, with_setting
from halfclick.service.coffees import CoffeeEntry, add_coffee, coffee_of_bag
from halfclick.service.grinders import take_zero
from halfclick.service.kitchens import KitView, add_thing, put_to_use
from halfclick.service.plan import next_plan, planned_from
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick.store.journal import Store

PELL = "Pell Ridge"
AGES = (9, 11, 13, 15, 17, 19, 21, 23, 25, 27, 29, 31, 33, 34)
LIKINGS = (8, 8, 8, 7, 8, 7, 7, 7, 6, 7, 6, 6, 6, 6)
# 2:58 falling to 2:31, about -1.1 s a day, with a second or two of scatter.
DRAINS = (178, 177, 173, 173, 169, 167, 166, 162, 162, 158, 157, 153, 153, 151)


def brew_the_bag(
    store: Store,
    clock,
    kit: Callable[[], KitView],
    *,
    cups: int = len(AGES),
    likings: tuple[float, ...] = LIKINGS,
    drains: tuple[float, ...] = DRAINS,
    new_water_on: int | None = None,
    other: str = "",
    other_on: int | None = None,
) -> UUID:
    """Brew the bag on its days, and return its coffee; another water, setting or zero if asked."""
    roasted = clock() - timedelta(days=AGES[0])
    entry = CoffeeEntry(name=PELL, process=Process.NATURAL, roasted_on=roasted.date())
    bag = add_coffee(store, entry, clock=clock).value
    setting = "22"
    for age, liking, drained_s in list(zip(AGES, likings, drains, strict=True))[:cups]:
        clock.set(roasted + timedelta(days=age))
        if age == new_water_on:
            water = Water(id=uuid4(), name="bottled")
            add_thing(store, water, clock=clock)
            put_to_use(store, water, clock=clock)
        if age == other_on and other == "setting":
            setting = "21"
        if age == other_on and other == "zero":
            take_zero(
                store,
                kit().grinder.id,
                reading_text="",
                found=ZeroFound.NOT_CHECKED,
                reason=ZeroReason.CLEANED,
                clock=clock,
            )
        planned = next_plan(store, bag.id, today=clock().date())
        recipe = resized(planned.recipe, 18.0, 288.0) if age == AGES[0] else planned.recipe
        recipe = with_setting(recipe, read_setting(kit().grinder, kit().zero, setting))
        planned = planned_from(store, planned, recipe)
        brewed = BrewEntry(planned=planned, drained_s=float(drained_s))
        brew = record_brew(store, brewed, kit(), clock=clock).value
        clock.advance(300)
        record_tasting(store, brew.id, TastingEntry(liking=float(liking)), clock=clock)
    return coffee_of_bag(store, bag.id).id
