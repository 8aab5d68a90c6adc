"""Questions over many cups, asked of the database instead of record by record.

A cup is a living brew with the newest of its living tastings; a tasting of a brew that was
corrected since is a tasting of the correction.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from halfclick.store.cup_conditions import corrected, in_kit, living, living_tasting, scaled
from halfclick.store.good_cups import AT_ONCE, last_tasted_good, tasted_good
from halfclick.store.journal import Reader
from halfclick.store.rows import moment
from halfclick.store.tables import bag, brew, lot, tasting


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
        .where(*living())
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
            scaled().label("scaled"),
            brew.c.plan[("setting", "steps")].as_integer().label("steps"),
            brew.c.kit["grinder_id"].as_string().label("grinder_id"),
        )
        .where(brew.c.bag_id.in_(bag_ids), brew.c.buried_at.is_(None), ~corrected())
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
        .where(*living_tasting())
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
            tasted_good(),
            scaled(),
        )
        .select_from(brew.join(bag, bag.c.id == brew.c.bag_id).join(lot, lot.c.id == bag.c.lot_id))
        .where(*living())
        .order_by(brew.c.started_at)
    )
    cups = [
        (
            row[0],
            row[1],
            row[2],
            bool(row[4]) if row[3] is None else last_tasted_good(r, row[0]),
            row[5],
        )
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
        query = sa.select(brew.c.id, brew.c.plan, in_kit("grinder_id")).where(
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


def newest_brewed_on(r: Reader, *, grinder_id: UUID, dripper_id: UUID, count: int) -> list[UUID]:
    """Return the newest brews with a grinder on a dripper, the newest first."""
    query = (
        sa.select(brew.c.id)
        .where(
            *living(),
            in_kit("grinder_id") == str(grinder_id),
            in_kit("dripper_id") == str(dripper_id),
        )
        .order_by(brew.c.started_at.desc())
        .limit(count)
    )
    return [brew_id for (brew_id,) in r.rows(query)]


def tasted_from(r: Reader, at: datetime) -> set[UUID]:
    """Return the brews tasted at a moment or later, as they were written when they were tasted."""
    query = sa.select(tasting.c.brew_id).where(*living_tasting(), tasting.c.tasted_at >= moment(at))
    return {brew_id for (brew_id,) in r.rows(query)}


def scaled_on(r: Reader, dripper_id: UUID) -> Iterator[UUID]:
    """Return brews on a dripper of another size than the brew each came from, newest first."""
    query = (
        sa.select(brew.c.id)
        .where(*living(), in_kit("dripper_id") == str(dripper_id), scaled())
        .order_by(brew.c.started_at.desc())
    )
    for (brew_id,) in r.stream(query, at_once=AT_ONCE):
        yield brew_id
