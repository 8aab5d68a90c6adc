"""Find brews of all coffees by words and filters, a page at a time."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from uuid import UUID

from halfclick.model.tasting import Verdict
from halfclick.model.wanted import Wanted
from halfclick.store.finding import FoundRow, found_brews
from halfclick.store.journal import Store

PAGE = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """One brew that was found."""

    brew_id: UUID
    coffee_id: UUID
    coffee_name: str
    roaster: str
    started_at: datetime
    setting_text: str
    dose_g: float | None
    water_g: float | None
    drained_s: float | None
    slips: int
    is_corrected: bool
    note: str
    liking: float | None
    verdict: Verdict | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One page of what was found, newest first, and how many brews there are in all."""

    hits: tuple[Hit, ...]
    total: int
    first: int  # the place of the first hit among them all, from 0


def search(store: Store, wanted: Wanted, *, first: int = 0) -> Found:
    """Return a page of the brews that have all that is wanted."""
    with store.reading() as r:
        rows, total = found_brews(r, wanted, limit=PAGE, offset=first)
    return Found(hits=tuple(_hit(row) for row in rows), total=total, first=first)


def start_of(day: date) -> datetime:
    """Return when a day begins where the person is."""
    return datetime.combine(day, time.min).astimezone()


def end_of(day: date) -> datetime:
    """Return when the day after begins, the first moment that is no longer this day."""
    return start_of(day + timedelta(days=1))


def _hit(row: FoundRow) -> Hit:
    return Hit(
        brew_id=row.brew_id,
        coffee_id=row.coffee_id,
        coffee_name=row.coffee_name,
        roaster=row.roaster,
        started_at=datetime.fromisoformat(row.started_at),
        setting_text=row.setting_text or "",
        dose_g=row.dose_g,
        water_g=row.water_g,
        drained_s=row.drained_s,
        slips=row.slips,
        is_corrected=row.is_corrected,
        note=row.note,
        liking=row.liking,
        verdict=Verdict(row.verdict) if row.verdict else None,
        words=row.words or "",
    )
