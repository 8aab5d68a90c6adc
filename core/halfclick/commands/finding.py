"""Find what was meant: a coffee by its name, a cup by its number."""

import unicodedata
from collections.abc import Collection
from datetime import date
from uuid import UUID

from halfclick.commands.typed import shortened, whole_of
from halfclick.errors import BadInput
from halfclick.service.coffees import ShelfRow, shelf
from halfclick.service.cups import Cup
from halfclick.service.history import coffee_history
from halfclick.service.kitchens import KitView, kit_in_use
from halfclick.store.journal import Store

_NAMED = 5


def coffee_meant(store: Store, text: str | None, today: date) -> ShelfRow:
    """Return the coffee that a text names, whole or in part; without one the newest in hand.

    Raises:
        BadInput: none is meant, or more than one.
    """
    rows = shelf(store, today)
    if not rows:
        raise BadInput("commands.no_coffee")
    if text is None:
        return rows[0]
    wanted = _folded(text)
    for fits in (_is_whole, _is_start, _is_part):
        found = [row for row in rows if fits(row, wanted)] if wanted else []
        if len(found) == 1:
            return found[0]
        if found:
            raise BadInput("commands.which_coffee", text=shortened(text), names=_names(found))
    raise BadInput("commands.no_such_coffee", text=shortened(text), names=_names(list(rows)))


def cup_meant(store: Store, row: ShelfRow, number: str | None) -> Cup:
    """Return a coffee's cup by its number; the last one where none is said.

    Raises:
        BadInput: there is no such cup.
    """
    cups = [point.cup for point in coffee_history(store, row.coffee.id).points]
    if not cups:
        raise BadInput("commands.no_cup", name=row.coffee.name)
    wanted = whole_of("--cup", number)
    if wanted is None:
        return cups[-1]
    if not 1 <= wanted <= len(cups):
        raise BadInput("commands.no_such_cup", number=wanted, name=row.coffee.name, last=len(cups))
    return cups[wanted - 1]


def cup_of_brew(store: Store, brew_ids: Collection[UUID], today: date) -> tuple[ShelfRow, Cup]:
    """Return the cup that is one of these brews, and its coffee on the shelf.

    Raises:
        BadInput: its bag is not on the shelf any more.
    """
    for row in shelf(store, today):
        for point in coffee_history(store, row.coffee.id).points:
            if point.cup.brew.id in brew_ids:
                return row, point.cup
    raise BadInput("commands.not_on_shelf")


def kit_there(store: Store) -> KitView:
    """Return the kit in use.

    Raises:
        BadInput: there is none yet.
    """
    kit = kit_in_use(store)
    if kit is None:
        raise BadInput("commands.no_kit")
    return kit


def _is_whole(row: ShelfRow, wanted: str) -> bool:
    return wanted in (_folded(row.coffee.name), str(row.coffee.id), str(row.bag.id))


def _is_start(row: ShelfRow, wanted: str) -> bool:
    return _folded(row.coffee.name).startswith(wanted)


def _is_part(row: ShelfRow, wanted: str) -> bool:
    return wanted in _folded(row.coffee.name)


def _folded(text: str) -> str:
    return unicodedata.normalize("NFC", text).strip().casefold()


def _names(rows: list[ShelfRow]) -> str:
    names = ", ".join(f"“{shortened(row.coffee.name)}”" for row in rows[:_NAMED])
    return f"{names}, …" if len(rows) > _NAMED else names
