"""Conditions on cups in questions to the database: which stand, on which kit, of which size."""

from functools import cache
from uuid import UUID

import sqlalchemy as sa

from halfclick.model.size import DOSE_SHARE
from halfclick.store.tables import bag, brew, coffee, lot, tasting


@cache
def in_kit(name: str) -> sa.ColumnElement[str]:
    """Return what a brew's kit holds under a name."""
    value: sa.ColumnElement[str] = brew.c.kit[name].as_string()
    return value


def living(*coffees: sa.ColumnElement[bool]) -> tuple[sa.ColumnElement[bool], ...]:
    """Return the conditions of a living brew, not corrected since, of a living coffee."""
    of_it = (
        sa.select(bag.c.id)
        .join(lot, lot.c.id == bag.c.lot_id)
        .join(coffee, coffee.c.id == lot.c.coffee_id)
        .where(*(table.c.buried_at.is_(None) for table in (bag, lot, coffee)))
    )
    # Looked up bag by bag, and no list of bags: the database then walks the brews by time, and may
    # stop early. Of a few coffees the list is short, and finds their brews at once.
    bags: sa.ColumnElement[bool]
    if coffees:
        bags = brew.c.bag_id.in_(of_it.where(*coffees).correlate(None))
    else:
        bags = of_it.where(bag.c.id == brew.c.bag_id).correlate(brew).exists()
    return (brew.c.buried_at.is_(None), bags, ~corrected())


def standing_of(coffee_id: UUID) -> tuple[sa.ColumnElement[bool], ...]:
    """Return the conditions of a living brew, not corrected since, of one coffee's living bags."""
    of_it = (
        sa.select(bag.c.id)
        .join(lot, lot.c.id == bag.c.lot_id)
        .where(lot.c.coffee_id == coffee_id)
        .where(*(table.c.buried_at.is_(None) for table in (bag, lot)))
    )
    return (brew.c.buried_at.is_(None), brew.c.bag_id.in_(of_it), ~corrected())


@cache
def scaled() -> sa.ColumnElement[bool]:
    """Return whether the brew at hand is of another size than the brew it came from."""
    parent = brew.alias("parent")
    dose_g, parent_g = brew.c.plan["dose_g"].as_float(), parent.c.plan["dose_g"].as_float()
    return sa.exists().where(
        parent.c.id == brew.c.parent_id,
        sa.func.abs(dose_g - parent_g) > DOSE_SHARE * parent_g + 1e-9,
    )


@cache
def corrected() -> sa.ColumnElement[bool]:
    """Return whether the brew at hand was corrected since."""
    later = brew.alias("later")
    return sa.exists().where(later.c.corrects_id == brew.c.id, later.c.buried_at.is_(None))


@cache
def living_tasting() -> tuple[sa.ColumnElement[bool], ...]:
    """Return the conditions of a living tasting, not corrected since."""
    later = tasting.alias("later_tasting")
    corrected = sa.exists().where(later.c.corrects_id == tasting.c.id, later.c.buried_at.is_(None))
    return (tasting.c.buried_at.is_(None), ~corrected)
