"""How far each coffee on the shelf is dialled in, from few questions to the journal."""

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any
from uuid import UUID

from halfclick.service.cups import Status
from halfclick.store.journal import Reader
from halfclick.store.many import CupRow, Tally, deciding_cups

# What makes a recipe another one; a dial's text may differ by its zero, its steps may not.
_SAME = ("dose_g", "water_g", "temperature_c", "pours", "stir_bloom", "steep_s")


def standings(r: Reader, tallied: Mapping[UUID, Tally]) -> dict[UUID, Status]:
    """Return the status of every coffee that has a cup; it is that of `cups.status_of`."""
    found = dict.fromkeys(tallied, Status.SEARCHING)
    # Not by the database: it sorts by time, and a coffee's cups need not stand together.
    rows = sorted(deciding_cups(r), key=lambda row: row.coffee_id)
    for coffee_id, cups in groupby(rows, key=lambda row: row.coffee_id):
        found[coffee_id] = _standing(list(cups))
    return found


def _standing(cups: Sequence[CupRow]) -> Status:
    """Return the status of a coffee from its good cups and those after the last of them."""
    newest = next(cup for cup in reversed(cups) if cup.good)
    wanted = _recipe_of(newest)
    of_it = [cup for cup in cups if _recipe_of(cup) == wanted]
    if not of_it[-1].good:
        return Status.SEARCHING
    return Status.REPEATED if sum(cup.good for cup in of_it) > 1 else Status.ONE_GOOD_CUP


def _recipe_of(cup: CupRow) -> tuple[Any, ...]:
    setting = cup.plan.get("setting")
    steps = setting["steps"] if setting else None
    return (cup.grinder_id, steps, *(cup.plan.get(name) for name in _SAME))
