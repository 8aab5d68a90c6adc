"""Find many records in one reading: the brews of a coffee, and the brews a person looks for."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from operator import eq, ge, gt, lt
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from halfclick.model.brew import Brew
from halfclick.model.forecast import Forecast
from halfclick.model.photo import Photo
from halfclick.model.tasting import CLEARLY_THERE, Tasting
from halfclick.model.wanted import Wanted
from halfclick.store import tables
from halfclick.store.journal import Reader
from halfclick.store.rows import TABLES, moment, packed

_BREW, _TASTING = tables.brew.c, tables.tasting.c
_BAG, _LOT, _COFFEE = tables.bag.c, tables.lot.c, tables.coffee.c


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundRow:
    """One brew that was found, as far as a list shows it."""

    brew_id: UUID
    coffee_id: UUID
    coffee_name: str
    roaster: str
    started_at: str
    setting_text: str | None
    dose_g: float | None
    water_g: float | None
    drained_s: float | None
    slips: int
    is_corrected: bool
    note: str
    liking: float | None
    verdict: str | None
    words: str | None


def brews_of(r: Reader, *, coffee_id: UUID | None = None, bag_id: UUID | None = None) -> list[Brew]:
    """Return the brews of a bag, of a coffee's living bags, or of all living coffees.

    Brews that a later one corrects are among them; in the order they were written.
    """
    query = sa.select(*packed(Brew)).select_from(_brews_with_coffee(bag_id))
    query = query.where(_BREW.buried_at.is_(None), *_belongs(coffee_id, bag_id))
    return r.records(Brew, query.order_by(_BREW.written_at, _BREW.seq))


def tastings_of(
    r: Reader, *, coffee_id: UUID | None = None, bag_id: UUID | None = None
) -> list[Tasting]:
    """Return the tastings that stand, of the same brews; oldest writing first."""
    source = _brews_with_coffee(bag_id).join(tables.tasting, _TASTING.brew_id == _BREW.id)
    query = sa.select(*packed(Tasting)).select_from(source)
    query = query.where(_stands(tables.tasting), *_belongs(coffee_id, bag_id))
    return r.records(Tasting, query.order_by(_TASTING.written_at, _TASTING.seq))


def brews_in_order(r: Reader, coffee_id: UUID) -> list[tuple[UUID, UUID | None, datetime]]:
    """Return of each brew of a coffee's living bags who it is, which it corrects, and when it was.

    In the order they were written; a hundred times quicker than the brews themselves.
    """
    query = sa.select(_BREW.id, _BREW.corrects_id, _BREW.started_at)
    query = query.select_from(_brews_with_coffee(None)).where(
        _BREW.buried_at.is_(None), *_belongs(coffee_id, None)
    )
    rows = r.rows(query.order_by(_BREW.written_at, _BREW.seq))
    return [(row[0], row[1], datetime.fromisoformat(row[2])) for row in rows]


def newest_forecasts(r: Reader, count: int) -> list[Forecast]:
    """Return the newest forecasts of brews that were not deleted, the newest first."""
    made = tables.forecast.c
    query = sa.select(*packed(Forecast)).join(tables.brew, _BREW.id == made.brew_id)
    query = query.where(made.buried_at.is_(None), _BREW.buried_at.is_(None))
    return r.records(Forecast, query.order_by(made.made_at.desc()).limit(count))


def deleted_with(r: Reader, brew_id: UUID | None) -> list[tuple[type, UUID]]:
    """Return what was deleted together with a brew; with the one deleted last, if none is named.

    What was deleted in the same moment went with it: each deletion has its own. The standing
    version of the brew, if it can be told, is first.
    """
    last = sa.select(_BREW.id, _BREW.bag_id, _BREW.buried_at).where(_BREW.buried_at.is_not(None))
    if brew_id is not None:
        last = last.where(_BREW.id == brew_id)
    found = r.rows(last.order_by(_BREW.buried_at.desc(), _BREW.seq.desc()).limit(1))
    if not found:
        return []
    _, bag_id, at = found[0]
    versions = sa.select(_BREW.id).where(_BREW.buried_at == at, _BREW.bag_id == bag_id)
    brews = [row[0] for row in r.rows(versions.order_by(_BREW.seq.desc()))]
    taken: list[tuple[type, UUID]] = [(Brew, one) for one in brews]
    for kind in (Tasting, Photo, Forecast):
        table = TABLES[kind].c
        query = sa.select(table.id).where(table.buried_at == at, table.brew_id.in_(brews))
        taken += [(kind, row[0]) for row in r.rows(query)]
    return taken


def count_of(r: Reader, coffee_id: UUID) -> int:
    """Return how many brews of a coffee stand."""
    query = sa.select(sa.func.count()).select_from(_brews_with_coffee(None))
    query = query.where(_stands(tables.brew), *_belongs(coffee_id, None))
    return int(next(iter(r.rows(query)))[0])


def coffee_names(r: Reader) -> list[tuple[UUID, str]]:
    """Return every living coffee by name, the one brewed or added last first."""
    brewed = (
        sa.select(_LOT.coffee_id, sa.func.max(_BREW.started_at).label("at"))
        .select_from(
            tables.lot.join(tables.bag, _BAG.lot_id == _LOT.id).join(
                tables.brew, _BREW.bag_id == _BAG.id
            )
        )
        .where(_BREW.buried_at.is_(None))
        .group_by(_LOT.coffee_id)
        .subquery()
    )
    newest = sa.func.coalesce(brewed.c.at, _COFFEE.written_at)
    query = (
        sa.select(_COFFEE.id, _COFFEE.name)
        .select_from(tables.coffee.outerjoin(brewed, brewed.c.coffee_id == _COFFEE.id))
        .where(_COFFEE.buried_at.is_(None))
        .order_by(newest.desc(), _COFFEE.seq.desc())
    )
    return [(row[0], row[1]) for row in r.rows(query)]


def found_brews(
    r: Reader, wanted: Wanted, *, limit: int, offset: int
) -> tuple[list[FoundRow], int]:
    """Return a page of the brews a person looks for, newest first, and how many there are."""
    taste = tables.tasting
    # What is only shown is unpacked for the page alone.
    page = (
        sa.select(
            _BREW.id.label("id"),
            _COFFEE.id.label("coffee_id"),
            taste.c.liking,
            taste.c.verdict,
            taste.c.words,
            sa.func.count().over().label("total"),
        )
        .select_from(_brews_with_coffee(None).outerjoin(taste, _TASTING.id == _newest_taste()))
        .where(_stands(tables.brew), *_belongs(None, None), *_conditions(wanted, taste))
        .order_by(_BREW.started_at.desc(), _BREW.seq.desc())
        .limit(limit)
        .offset(offset)
        .subquery("page")
    )
    columns: dict[str, sa.ColumnElement[Any]] = {
        "brew_id": _BREW.id,
        "coffee_id": _COFFEE.id,
        "coffee_name": _COFFEE.name,
        "roaster": _COFFEE.roaster,
        "started_at": _BREW.started_at,
        "setting_text": _BREW.plan[("setting", "text")].as_string(),
        "dose_g": _BREW.poured[("dose_g", "value")].as_float(),
        "water_g": _BREW.poured[("water_g", "value")].as_float(),
        "drained_s": _BREW.poured[("drained_s", "value")].as_float(),
        "slips": sa.func.json_array_length(_BREW.slips),
        "is_corrected": _BREW.corrects_id.is_not(None),
        "note": _BREW.note,
        "liking": page.c.liking,
        "verdict": page.c.verdict,
        "words": page.c.words,
    }
    source = page.join(tables.brew, _BREW.id == page.c.id)
    source = source.join(tables.coffee, _COFFEE.id == page.c.coffee_id)
    query = sa.select(*(column.label(name) for name, column in columns.items()), page.c.total)
    query = query.select_from(source).order_by(_BREW.started_at.desc(), _BREW.seq.desc())
    rows = list(r.rows(query))
    found = [FoundRow(**dict(zip(columns, row[:-1], strict=True))) for row in rows]
    return found, rows[0].total if rows else 0


def _brews_with_coffee(bag_id: UUID | None) -> Any:
    if bag_id is not None:
        return tables.brew
    return (
        tables.brew.join(tables.bag, _BAG.id == _BREW.bag_id)
        .join(tables.lot, _LOT.id == _BAG.lot_id)
        .join(tables.coffee, _COFFEE.id == _LOT.coffee_id)
    )


def _belongs(coffee_id: UUID | None, bag_id: UUID | None) -> list[sa.ColumnElement[bool]]:
    if bag_id is not None:
        return [_BREW.bag_id == bag_id]
    living = [_BAG.buried_at.is_(None), _LOT.buried_at.is_(None)]
    if coffee_id is not None:
        return [*living, _LOT.coffee_id == coffee_id]
    return [*living, _COFFEE.buried_at.is_(None)]


@cache
def _stands(table: Any) -> sa.ColumnElement[bool]:
    """Return that a fact is living and no living one corrects it."""
    later = table.alias("later")
    followed = sa.exists().where(later.c.corrects_id == table.c.id, later.c.buried_at.is_(None))
    return sa.and_(table.c.buried_at.is_(None), ~followed)


def _newest_taste() -> sa.ColumnElement[Any]:
    """Return the identity of a brew's newest taste, kept of it or of one that it corrects.

    Looked up brew by brew, through the index: ranking all tastes takes SQLite seconds.
    """
    first = tables.brew.alias("first")
    corrected = (
        sa.select(first.c.corrects_id.label("id"))
        .where(first.c.id == _BREW.id, first.c.corrects_id.is_not(None))
        .correlate(tables.brew)
        .cte("corrected", recursive=True, nesting=True)
    )
    before = tables.brew.alias("before")
    corrected = corrected.union_all(
        sa.select(before.c.corrects_id).where(
            before.c.id == corrected.c.id, before.c.corrects_id.is_not(None)
        )
    )
    taste = tables.tasting.alias("one")
    query = sa.select(taste.c.id).where(_stands(taste)).order_by(taste.c.tasted_at.desc()).limit(1)
    of_itself = query.where(taste.c.brew_id == _BREW.id).correlate(tables.brew).scalar_subquery()
    ids = sa.select(_BREW.id).correlate(tables.brew).union_all(sa.select(corrected.c.id))
    of_all = query.where(taste.c.brew_id.in_(ids)).correlate(tables.brew).scalar_subquery()
    return sa.case((_BREW.corrects_id.is_(None), of_itself), else_=of_all)


def _conditions(wanted: Wanted, taste: sa.Table) -> list[sa.ColumnElement[bool]]:
    """Return what a person asks for, as conditions; every value is bound, none is written in."""
    found = [_holds(word, taste) for word in wanted.each_word]
    asked: list[tuple[Any, Callable[[Any, Any], Any], object]] = [
        (taste.c.verdict, eq, wanted.verdict),
        (taste.c.liking, ge, wanted.liking_from),
        (_BREW.plan[("setting", "text")].as_string(), eq, wanted.setting.strip() or None),
        (_BREW.kit["dripper_id"].as_string(), eq, _told(wanted.dripper_id)),
        (_BREW.started_at, ge, _at(wanted.from_at)),
        (_BREW.started_at, lt, _at(wanted.before_at)),
        (sa.func.json_array_length(_BREW.slips), gt, 0 if wanted.slipped else None),
    ]
    found += [compares(column, value) for column, compares, value in asked if value is not None]
    if wanted.corrected:
        found.append(_BREW.corrects_id.is_not(None))
    if wanted.mark is not None:
        found.append(taste.c.marks[wanted.mark.value].as_float() >= CLEARLY_THERE)
    return found


def _at(when: datetime | None) -> str | None:
    return None if when is None else moment(when)


def _told(record_id: UUID | None) -> str | None:
    return None if record_id is None else str(record_id)


def _holds(word: str, taste: sa.Table) -> sa.ColumnElement[bool]:
    """Return that a word stands in a text; SQLite folds the case of plain letters alone."""
    texts = (_COFFEE.name, _COFFEE.roaster, _COFFEE.note, _BREW.note, taste.c.words)
    spelled = {word} if word.isascii() else {word, word.lower(), word.upper(), word.capitalize()}
    # LIKE takes no notice of the case of plain letters in SQLite; its wildcards are escaped.
    return sa.or_(
        *(text.contains(one, autoescape=True) for text in texts for one in sorted(spelled))
    )
