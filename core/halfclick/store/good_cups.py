"""Which cups tasted good, asked of the database: the newest, those near a size, and of late.

A cup is a living brew with the newest of its living tastings; a tasting of a brew that was
corrected since is a tasting of the correction.
"""

from collections.abc import Collection, Iterator
from datetime import datetime
from functools import cache
from uuid import UUID

import sqlalchemy as sa

from halfclick.model.tasting import Verdict
from halfclick.store.cup_conditions import in_kit, living, living_tasting, scaled, standing_of
from halfclick.store.journal import Reader
from halfclick.store.rows import moment
from halfclick.store.tables import bag, brew, coffee, lot, tasting

GOOD_LIKING = 7.0
# Rows fetched at a time where not all may be wanted.
AT_ONCE = 50


def newest_good(
    r: Reader,
    grinder_id: UUID,
    dripper_id: UUID,
    *,
    of: Collection[UUID] | None = None,
    but: UUID | None = None,
) -> UUID | None:
    """Return the newest good brew on a grinder and a dripper; None where there is none.

    One brewed at another size than the brew it came from, as for guests, does not count.

    Args:
        r: the open block.
        grinder_id: which grinder.
        dripper_id: which dripper.
        of: only of these coffees.
        but: not of this coffee.
    """
    coffees: list[sa.ColumnElement[bool]] = []
    own_size = ~scaled()
    if of is not None:
        coffees.append(coffee.c.id.in_(of))
    if but is not None:
        coffees.append(coffee.c.id != but)
    kit = (in_kit("grinder_id") == str(grinder_id), in_kit("dripper_id") == str(dripper_id))
    return next(_good_ones(r, *living(*coffees), own_size, *kit), None)


def newest_good_of(r: Reader, coffee_id: UUID) -> UUID | None:
    """Return the newest good brew of a coffee; one of another size only where all of them are."""
    of_it = standing_of(coffee_id)
    own_size = next(_good_ones(r, *of_it, ~scaled()), None)
    return own_size or next(_good_ones(r, *of_it), None)


def good_lately(
    r: Reader, *, grinder_id: UUID, water_id: UUID | None, since: datetime, before: datetime
) -> dict[UUID, bool]:
    """Return whether the newest tasted cup of each coffee was good, on one grinder and water.

    Args:
        r: the open block.
        grinder_id: which grinder.
        water_id: which water; None for brews that name none.
        since: cups from then on.
        before: cups before then.
    """
    water = in_kit("water_id")
    query = (
        sa.select(lot.c.coffee_id, brew.c.id, brew.c.corrects_id, tasted_good())
        .select_from(brew.join(bag, bag.c.id == brew.c.bag_id).join(lot, lot.c.id == bag.c.lot_id))
        .where(
            *living(),
            brew.c.started_at >= moment(since),
            brew.c.started_at < moment(before),
            in_kit("grinder_id") == str(grinder_id),
            water.is_(None) if water_id is None else water == str(water_id),
        )
        .order_by(brew.c.started_at)
    )
    found: dict[UUID, bool] = {}
    for coffee_id, brew_id, corrects_id, good in r.rows(query):
        if corrects_id is not None:
            found[coffee_id] = last_tasted_good(r, brew_id)
        elif good is not None:
            found[coffee_id] = bool(good)
    return found


def good_brews_near(
    r: Reader, *, dripper_id: UUID, drained_rule: str, dose_g: float, water_g: float, share: float
) -> Iterator[UUID]:
    """Return good brews on a dripper whose dose and water are near, the newest first."""
    near = (
        brew.c.plan[name].as_float().between(value * (1 - share), value * (1 + share))
        for name, value in (("dose_g", dose_g), ("water_g", water_g))
    )
    kit = (brew.c.drained_rule == drained_rule, in_kit("dripper_id") == str(dripper_id))
    return _good_ones(r, *living(), *kit, *near)


def _good_ones(r: Reader, *conditions: sa.ColumnElement[bool]) -> Iterator[UUID]:
    """Return the good brews that meet some conditions, the newest first."""
    query = (
        sa.select(brew.c.id, brew.c.corrects_id)
        .where(*conditions)
        .where(sa.or_(brew.c.corrects_id.is_not(None), tasted_good()))
        .order_by(brew.c.started_at.desc())
    )
    for brew_id, corrects_id in r.stream(query, at_once=AT_ONCE):
        if corrects_id is None or last_tasted_good(r, brew_id):
            yield brew_id


@cache
def tasted_good() -> sa.ScalarSelect[bool]:
    """Return whether the brew at hand tasted good; NULL where it was not tasted.

    It does not see what was tasted of a brew before that was corrected: for that ask
    `last_tasted_good`.
    """
    # Neither kept nor liked by a number is not good, and is tasted.
    good = sa.func.coalesce(_of_a_good_cup(), sa.false())
    return (
        sa.select(good)
        .where(tasting.c.brew_id == brew.c.id, *living_tasting())
        .order_by(tasting.c.tasted_at.desc(), tasting.c.seq.desc())
        .limit(1)
        .correlate(brew)
        .scalar_subquery()
    )


def last_tasted_good(r: Reader, brew_id: UUID) -> bool:
    """Return whether a brew, as it was written at any time, last tasted good."""
    told: list[UUID] = []
    before: UUID | None = brew_id
    while before is not None:
        told.append(before)
        query = sa.select(brew.c.corrects_id).where(brew.c.id == before)
        before = next((corrects_id for (corrects_id,) in r.rows(query)), None)
    newest = (
        sa.select(_of_a_good_cup())
        .where(tasting.c.brew_id.in_(told), *living_tasting())
        .order_by(tasting.c.tasted_at.desc(), tasting.c.seq.desc())
        .limit(1)
    )
    return any(good for (good,) in r.rows(newest))


@cache
def _of_a_good_cup() -> sa.ColumnElement[bool]:
    # The same line as `service.cups.Cup.is_good`; a test holds them together.
    return sa.or_(
        tasting.c.verdict == Verdict.KEEP.value,
        sa.and_(tasting.c.verdict.is_(None), tasting.c.liking >= GOOD_LIKING),
    )
