"""The shelf: coffees, lots and bags added, bought again, changed, put away and brought back."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID, uuid4

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
from halfclick.model.grinder import Grinder
from halfclick.service.cups import Status
from halfclick.service.done import Done, Touched
from halfclick.service.standing import standings
from halfclick.store.finding import coffee_names, count_of
from halfclick.store.journal import Store
from halfclick.store.many import Ground, count_brews, ground_from, tallies

USUAL_DOSE_G = 15.0
# From so many brews on a shelf takes longer to read than a window may stand still.
FULL = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class CoffeeEntry:
    """What a label says and a person knows of a bag; only the name is needed."""

    name: str
    roaster: str = ""
    origin: str = ""
    process: Process | None = None
    roast: Roast | None = None
    altitude_m: float | None = None
    decaf: bool = False
    note: str = ""
    lot_code: str = ""
    batch_code: str = ""
    roasted_on: date | None = None
    weight_g: float | None = None
    opened_on: date | None = None
    frozen_on: date | None = None
    thawed_on: date | None = None
    printed: PrintedRecipe | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfRow:
    """One bag on the shelf."""

    coffee: Coffee
    lot: Lot
    bag: Bag
    age_days: int | None
    left_g: float | None
    brews_left: int | None
    brews: int
    last_brewed_at: datetime | None
    status: Status


def add_coffee(store: Store, entry: CoffeeEntry, *, clock: Callable[[], datetime]) -> Done[Bag]:
    """Add a coffee with its first lot and bag.

    Raises:
        BadInput: something on the label cannot be.
    """
    coffee = _coffee(entry, uuid4())
    lot = _lot(entry, uuid4(), coffee.id)
    bag = _bag(entry, uuid4(), lot.id)
    with store.writing(clock()) as w:
        for record in (coffee, lot, bag):
            w.add(record)
    return Done(bag, Touched.COFFEES)


def buy_again(
    store: Store, coffee_id: UUID, entry: CoffeeEntry, *, clock: Callable[[], datetime]
) -> Done[Bag]:
    """Add a new lot and bag of a coffee: what was learned of it stays.

    Raises:
        BadInput: something on the label cannot be.
    """
    lot = _lot(entry, uuid4(), coffee_id)
    bag = _bag(entry, uuid4(), lot.id)
    with store.writing(clock()) as w:
        w.get(Coffee, coffee_id)
        w.add(lot)
        w.add(bag)
    return Done(bag, Touched.COFFEES)


def change_coffee(
    store: Store, bag_id: UUID, entry: CoffeeEntry, *, clock: Callable[[], datetime]
) -> Done[Bag]:
    """Write what a label says over what was kept of it.

    Raises:
        BadInput: something on the label cannot be.
    """
    with store.writing(clock()) as w:
        bag = w.get(Bag, bag_id)
        lot = w.get(Lot, bag.lot_id)
        changed = replace(
            _bag(entry, bag.id, lot.id), left_g=bag.left_g, left_said_at=bag.left_said_at
        )
        w.change(_coffee(entry, lot.coffee_id))
        w.change(_lot(entry, lot.id, lot.coffee_id))
        w.change(changed)
    return Done(changed, Touched.COFFEES)


def entry_of(store: Store, bag_id: UUID) -> CoffeeEntry:
    """Return a bag as it would be typed."""
    with store.reading() as r:
        bag = r.get(Bag, bag_id)
        lot = r.get(Lot, bag.lot_id)
        coffee = r.get(Coffee, lot.coffee_id)
    return CoffeeEntry(
        name=coffee.name,
        roaster=coffee.roaster,
        origin=coffee.origin,
        process=coffee.process,
        roast=coffee.roast,
        altitude_m=coffee.altitude_m,
        decaf=coffee.decaf,
        note=coffee.note,
        lot_code=lot.lot_code,
        batch_code=lot.batch_code,
        roasted_on=lot.roasted_on,
        weight_g=bag.weight_g,
        opened_on=bag.opened_on,
        frozen_on=bag.frozen_on,
        thawed_on=bag.thawed_on,
        printed=bag.printed,
    )


def bury_coffee(store: Store, coffee_id: UUID, *, clock: Callable[[], datetime]) -> Done[UUID]:
    """Take a coffee off the shelf; its cups stay, and it can come back."""
    with store.writing(clock()) as w:
        w.bury(Coffee, coffee_id)
    return Done(coffee_id, Touched.COFFEES)


def restore_coffee(store: Store, coffee_id: UUID, *, clock: Callable[[], datetime]) -> Done[UUID]:
    """Put a coffee back on the shelf."""
    with store.writing(clock()) as w:
        w.unbury(Coffee, coffee_id)
    return Done(coffee_id, Touched.COFFEES)


def say_left(
    store: Store, bag_id: UUID, left_g: float, *, clock: Callable[[], datetime]
) -> Done[Bag]:
    """Keep what the person says is left in a bag; brews after this day's are taken off it.

    Raises:
        BadInput: a bag cannot hold that.
    """
    now = clock()
    with store.writing(now) as w:
        bag = replace(w.get(Bag, bag_id), left_g=left_g, left_said_at=now)
        w.change(bag)
    return Done(bag, Touched.COFFEES)


def coffee_of_bag(store: Store, bag_id: UUID) -> Coffee:
    """Return the coffee that a bag holds.

    Raises:
        NotFound: the journal has no such bag.
    """
    with store.reading() as r:
        return r.get(Coffee, r.get(Lot, r.get(Bag, bag_id).lot_id).coffee_id)


def left_in(store: Store, bag_id: UUID) -> float | None:
    """Return what is left in a bag, g: weighed or said, less what was brewed and purged since."""
    with store.reading() as r:
        bag = r.get(Bag, bag_id)
        if bag.weight_g is None and bag.left_g is None:
            return None
        ground = ground_from(r, [bag_id]).get(bag_id, [])
        grinders = {id_: r.get(Grinder, id_) for id_ in {one.grinder_id for one in ground}}
    return _left_g(bag, ground, grinders)


def is_full(store: Store) -> bool:
    """Return whether a journal holds so many brews that its shelf takes a while to read."""
    with store.reading() as r:
        return count_brews(r) > FULL


def shelf(store: Store, today: date) -> tuple[ShelfRow, ...]:
    """Return every coffee's newest bag, the one brewed or bought last first."""
    with store.reading() as r:
        lots = {lot.id: lot for lot in r.all(Lot)}
        newest = {lots[bag.lot_id].coffee_id: bag for bag in r.all(Bag) if bag.lot_id in lots}
        coffees = [coffee for coffee in r.all(Coffee) if coffee.id in newest]
        tallied = tallies(r)
        status = standings(r, tallied)
        ground = ground_from(r, [newest[coffee.id].id for coffee in coffees])
        grinders = {grinder.id: grinder for grinder in r.all(Grinder)}
        bought = {bag.id: r.stamp(Bag, bag.id).written_at for bag in newest.values()}
    rows = []
    for coffee in coffees:
        bag, tally = newest[coffee.id], tallied.get(coffee.id)
        lot = lots[bag.lot_id]
        used = ground.get(bag.id, [])
        left_g = _left_g(bag, used, grinders)
        doses_g = [one.planned_g for one in used if not one.scaled]
        dose_g = doses_g[-1] if doses_g else USUAL_DOSE_G
        rows.append(
            ShelfRow(
                coffee=coffee,
                lot=lot,
                bag=bag,
                age_days=age_days(lot, bag, today),
                left_g=left_g,
                brews_left=None if left_g is None else brews_left(left_g, dose_g),
                brews=tally.cups if tally else 0,
                last_brewed_at=tally.last_brewed_at if tally else None,
                status=status.get(coffee.id, Status.NO_CUP),
            )
        )
    rows.sort(key=lambda row: max(bought[row.bag.id], row.last_brewed_at or bought[row.bag.id]))
    return tuple(reversed(rows))


def coffees_brewed(store: Store) -> list[tuple[UUID, str]]:
    """Return the coffees that have a cup, each with its name, the one brewed last first."""
    with store.reading() as r:
        return [(one, name) for one, name in coffee_names(r) if count_of(r, one)]


def _left_g(bag: Bag, ground: Sequence[Ground], grinders: Mapping[UUID, Grinder]) -> float | None:
    start_g = bag.weight_g if bag.left_g is None else bag.left_g
    if start_g is None:
        return None
    used_g = 0.0
    steps: int | None = None
    for one in ground:
        moved = None not in (steps, one.steps) and one.steps != steps
        steps = one.steps
        if bag.left_said_at is not None and one.started_at <= bag.left_said_at:
            continue
        used_g += one.dose_g
        if moved and one.grinder_id in grinders:
            # A purge follows a change of setting; what was ground for it is gone too.
            used_g += grinders[one.grinder_id].purge_g
    return max(start_g - used_g, 0.0)


def _coffee(entry: CoffeeEntry, coffee_id: UUID) -> Coffee:
    return Coffee(
        id=coffee_id,
        name=entry.name.strip(),
        roaster=entry.roaster,
        origin=entry.origin,
        process=entry.process,
        roast=entry.roast,
        altitude_m=entry.altitude_m,
        decaf=entry.decaf,
        note=entry.note,
    )


def _lot(entry: CoffeeEntry, lot_id: UUID, coffee_id: UUID) -> Lot:
    return Lot(
        id=lot_id,
        coffee_id=coffee_id,
        lot_code=entry.lot_code,
        batch_code=entry.batch_code,
        roasted_on=entry.roasted_on,
    )


def _bag(entry: CoffeeEntry, bag_id: UUID, lot_id: UUID) -> Bag:
    return Bag(
        id=bag_id,
        lot_id=lot_id,
        weight_g=entry.weight_g,
        opened_on=entry.opened_on,
        frozen_on=entry.frozen_on,
        thawed_on=entry.thawed_on,
        printed=entry.printed,
    )
