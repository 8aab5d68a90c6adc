"""Questions over many cups, asked of the database instead of record by record.

A cup is a living brew with the newest of its living tastings; a tasting of a brew that was
corrected since is a tasting of the correction.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from halfclick.model.size import DOSE_SHARE
from halfclick.model.tasting import Verdict
from halfclick.store.journal import Reader
from halfclick.store.rows import moment
from halfclick.store.tables import bag, brew, coffee, lot, tasting

GOOD_LIKING = 7.0
# Rows fetched at a time where not all may be wanted.
AT_ONCE = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """How many cups a coffee has, and when the last was brewed."""

    cups: int
    last_brewed_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What was ground for one brew, at which setting of which grinder.

    `scaled`: the brew was of another size than the one it came from.
    """

    started_at: datetime
    dose_g: float
    planned_g: float
    scaled: bool
    steps: int | None
    grinder_id: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class CupRow:
    """One cup, only as far as it is told here: `plan` and `kit` are as the journal holds them."""

    brew_id: UUID
    coffee_id: UUID
    started_at: datetime
    plan: Mapping[str, Any]
    grinder_id: UUID
    good: bool


def count_brews(r: Reader) -> int:
    """Return how many brews a journal holds, those corrected or deleted too."""
    return int(r.rows(sa.select(sa.func.count()).select_from(brew))[0][0])


def tallies(r: Reader) -> dict[UUID, Tally]:
    """Return the tally of every living coffee that has a cup."""
    query = (
        sa.select(lot.c.coffee_id, sa.func.count(), sa.func.max(brew.c.started_at))
        .select_from(brew.join(bag, bag.c.id == brew.c.bag_id).join(lot, lot.c.id == bag.c.lot_id))
        .where(*_living())
        .group_by(lot.c.coffee_id)
    )
    return {
        coffee_id: Tally(cups=count, last_brewed_at=datetime.fromisoformat(last))
        for coffee_id, count, last in r.rows(query)
    }


def ground_from(r: Reader, bag_ids: Collection[UUID]) -> dict[UUID, list[Ground]]:
    """Return what was ground from some bags, by bag, in the order it was."""
    query = (
        sa.select(
            brew.c.bag_id,
            brew.c.started_at,
            sa.func.coalesce(
                brew.c.poured[("dose_g", "value")].as_float(), brew.c.plan["dose_g"].as_float()
            ).label("dose_g"),
            brew.c.plan["dose_g"].as_float().label("planned_g"),
            _scaled().label("scaled"),
            brew.c.plan[("setting", "steps")].as_integer().label("steps"),
            brew.c.kit["grinder_id"].as_string().label("grinder_id"),
        )
        .where(brew.c.bag_id.in_(bag_ids), brew.c.buried_at.is_(None), ~_corrected())
        .order_by(brew.c.started_at)
    )
    found: dict[UUID, list[Ground]] = {}
    for row in r.rows(query):
        found.setdefault(row.bag_id, []).append(
            Ground(
                started_at=datetime.fromisoformat(row.started_at),
                dose_g=row.dose_g,
                planned_g=row.planned_g,
                scaled=bool(row.scaled),
                steps=row.steps,
                grinder_id=UUID(row.grinder_id),
            )
        )
    return found


def recent_marks(r: Reader, count: int) -> list[Mapping[str, float | None]]:
    """Return the marks of the newest tastings, as the journal holds them."""
    query = (
        sa.select(tasting.c.marks)
        .where(*_living_tasting())
        .order_by(tasting.c.tasted_at.desc())
        .limit(count)
    )
    return [marks for (marks,) in r.rows(query)]


def deciding_cups(r: Reader) -> list[CupRow]:
    """Return the cups that decide how far each coffee is dialled in, oldest first.

    They are the good ones, and those after the newest good one; those of another size than the
    brew they came from only where a coffee has no others.
    """
    query = (
        sa.select(
            brew.c.id,
            lot.c.coffee_id,
            brew.c.started_at,
            brew.c.corrects_id,
            _good(),
            _scaled(),
        )
        .select_from(brew.join(bag, bag.c.id == brew.c.bag_id).join(lot, lot.c.id == bag.c.lot_id))
        .where(*_living())
        .order_by(brew.c.started_at)
    )
    cups = [
        (row[0], row[1], row[2], bool(row[4]) if row[3] is None else _is_good(r, row[0]), row[5])
        for row in r.rows(query)
    ]
    own_size = {coffee_id for _, coffee_id, _, _, scaled in cups if not scaled}
    cups = [one for one in cups if not one[4] or one[1] not in own_size]
    last_good = {coffee_id: started_at for _, coffee_id, started_at, good, _ in cups if good}
    wanted = {
        brew_id: (coffee_id, started_at, good)
        for brew_id, coffee_id, started_at, good, _ in cups
        if coffee_id in last_good and (good or started_at > last_good[coffee_id])
    }
    found: list[CupRow] = []
    ids = list(wanted)
    for start in range(0, len(ids), AT_ONCE):
        query = sa.select(brew.c.id, brew.c.plan, _in_kit("grinder_id")).where(
            brew.c.id.in_(ids[start : start + AT_ONCE])
        )
        for brew_id, plan, grinder_id in r.rows(query):
            coffee_id, started_at, good = wanted[brew_id]
            found.append(
                CupRow(
                    brew_id=brew_id,
                    coffee_id=coffee_id,
                    started_at=datetime.fromisoformat(started_at),
                    plan=plan,
                    grinder_id=UUID(grinder_id),
                    good=good,
                )
            )
    return sorted(found, key=lambda cup: cup.started_at)


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
    own_size = ~_scaled()
    if of is not None:
        coffees.append(coffee.c.id.in_(of))
    if but is not None:
        coffees.append(coffee.c.id != but)
    kit = (_in_kit("grinder_id") == str(grinder_id), _in_kit("dripper_id") == str(dripper_id))
    return next(_good_ones(r, *_living(*coffees), own_size, *kit), None)


def newest_good_of(r: Reader, coffee_id: UUID) -> UUID | None:
    """Return the newest good brew of a coffee; one of another size only where all of them are."""
    of_it = _standing_of(coffee_id)
    own_size = next(_good_ones(r, *of_it, ~_scaled()), None)
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
    water = _in_kit("water_id")
    query = (
        sa.select(lot.c.coffee_id, brew.c.id, brew.c.corrects_id, _good())
        .select_from(brew.join(bag, bag.c.id == brew.c.bag_id).join(lot, lot.c.id == bag.c.lot_id))
        .where(
            *_living(),
            brew.c.started_at >= moment(since),
            brew.c.started_at < moment(before),
            _in_kit("grinder_id") == str(grinder_id),
            water.is_(None) if water_id is None else water == str(water_id),
        )
        .order_by(brew.c.started_at)
    )
    found: dict[UUID, bool] = {}
    for coffee_id, brew_id, corrects_id, good in r.rows(query):
        if corrects_id is not None:
            found[coffee_id] = _is_good(r, brew_id)
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
    kit = (brew.c.drained_rule == drained_rule, _in_kit("dripper_id") == str(dripper_id))
    return _good_ones(r, *_living(), *kit, *near)


def newest_brewed_on(r: Reader, *, grinder_id: UUID, dripper_id: UUID, count: int) -> list[UUID]:
    """Return the newest brews with a grinder on a dripper, the newest first."""
    query = (
        sa.select(brew.c.id)
        .where(
            *_living(),
            _in_kit("grinder_id") == str(grinder_id),
            _in_kit("dripper_id") == str(dripper_id),
        )
        .order_by(brew.c.started_at.desc())
        .limit(count)
    )
    return [brew_id for (brew_id,) in r.rows(query)]


def tasted_from(r: Reader, at: datetime) -> set[UUID]:
    """Return the brews tasted at a moment or later, as they were written when they were tasted."""
    query = sa.select(tasting.c.brew_id).where(
        *_living_tasting(), tasting.c.tasted_at >= moment(at)
    )
    return {brew_id for (brew_id,) in r.rows(query)}


def scaled_on(r: Reader, dripper_id: UUID) -> Iterator[UUID]:
    """Return brews on a dripper of another size than the brew each came from, newest first."""
    query = (
        sa.select(brew.c.id)
        .where(*_living(), _in_kit("dripper_id") == str(dripper_id), _scaled())
        .order_by(brew.c.started_at.desc())
    )
    for (brew_id,) in r.stream(query, at_once=AT_ONCE):
        yield brew_id


def _good_ones(r: Reader, *conditions: sa.ColumnElement[bool]) -> Iterator[UUID]:
    """Return the good brews that meet some conditions, the newest first."""
    query = (
        sa.select(brew.c.id, brew.c.corrects_id)
        .where(*conditions)
        .where(sa.or_(brew.c.corrects_id.is_not(None), _good()))
        .order_by(brew.c.started_at.desc())
    )
    for brew_id, corrects_id in r.stream(query, at_once=AT_ONCE):
        if corrects_id is None or _is_good(r, brew_id):
            yield brew_id


@cache
def _in_kit(name: str) -> sa.ColumnElement[str]:
    value: sa.ColumnElement[str] = brew.c.kit[name].as_string()
    return value


def _living(*coffees: sa.ColumnElement[bool]) -> tuple[sa.ColumnElement[bool], ...]:
    """Return the conditions of a living brew, not corrected since, of a living coffee."""
    of_it = (
        sa.select(bag.c.id)
        .join(lot, lot.c.id == bag.c.lot_id)
        .join(coffee, coffee.c.id == lot.c.coffee_id)
        .where(*(table.c.buried_at.is_(None) for table in (bag, lot, coffee)))
    )
    # Looked up bag by bag, and no list of bags: the database then walks the brews by time, and may
    # stop early. Of a few coffees the list is short, and finds their brews at once.
    living: sa.ColumnElement[bool]
    if coffees:
        living = brew.c.bag_id.in_(of_it.where(*coffees).correlate(None))
    else:
        living = of_it.where(bag.c.id == brew.c.bag_id).correlate(brew).exists()
    return (brew.c.buried_at.is_(None), living, ~_corrected())


def _standing_of(coffee_id: UUID) -> tuple[sa.ColumnElement[bool], ...]:
    """Return the conditions of a living brew, not corrected since, of one coffee's living bags."""
    of_it = (
        sa.select(bag.c.id)
        .join(lot, lot.c.id == bag.c.lot_id)
        .where(lot.c.coffee_id == coffee_id)
        .where(*(table.c.buried_at.is_(None) for table in (bag, lot)))
    )
    return (brew.c.buried_at.is_(None), brew.c.bag_id.in_(of_it), ~_corrected())


@cache
def _scaled() -> sa.ColumnElement[bool]:
    """Return whether the brew at hand is of another size than the brew it came from."""
    parent = brew.alias("parent")
    dose_g, parent_g = brew.c.plan["dose_g"].as_float(), parent.c.plan["dose_g"].as_float()
    return sa.exists().where(
        parent.c.id == brew.c.parent_id,
        sa.func.abs(dose_g - parent_g) > DOSE_SHARE * parent_g + 1e-9,
    )


@cache
def _corrected() -> sa.ColumnElement[bool]:
    later = brew.alias("later")
    return sa.exists().where(later.c.corrects_id == brew.c.id, later.c.buried_at.is_(None))


@cache
def _living_tasting() -> tuple[sa.ColumnElement[bool], ...]:
    later = tasting.alias("later_tasting")
    corrected = sa.exists().where(later.c.corrects_id == tasting.c.id, later.c.buried_at.is_(None))
    return (tasting.c.buried_at.is_(None), ~corrected)


@cache
def _good() -> sa.ScalarSelect[bool]:
    """Return whether the brew at hand tasted good; NULL where it was not tasted.

    It does not see what was tasted of a brew before that was corrected: for that ask `_is_good`.
    """
    # Neither kept nor liked by a number is not good, and is tasted.
    good = sa.func.coalesce(_of_a_good_cup(), sa.false())
    return (
        sa.select(good)
        .where(tasting.c.brew_id == brew.c.id, *_living_tasting())
        .order_by(tasting.c.tasted_at.desc(), tasting.c.seq.desc())
        .limit(1)
        .correlate(brew)
        .scalar_subquery()
    )


def _is_good(r: Reader, brew_id: UUID) -> bool:
    """Return whether a brew, as it was written at any time, last tasted good."""
    told: list[UUID] = []
    before: UUID | None = brew_id
    while before is not None:
        told.append(before)
        query = sa.select(brew.c.corrects_id).where(brew.c.id == before)
        before = next((corrects_id for (corrects_id,) in r.rows(query)), None)
    newest = (
        sa.select(_of_a_good_cup())
        .where(tasting.c.brew_id.in_(told), *_living_tasting())
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
