"""Mend a cup in the history: correct what was poured, see its earlier versions, delete and undo."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from uuid import UUID

from halfclick.brewing.finish import UNWEIGHED
from halfclick.brewing.slips import weight_of
from halfclick.errors import BadInput, NotFound
from halfclick.model.brew import UNKNOWN, Brew, How, Poured, Reading, Slip, SlipKind
from halfclick.model.forecast import Forecast
from halfclick.model.photo import Photo
from halfclick.model.tasting import Tasting
from halfclick.service.done import Done, Touched
from halfclick.service.record import BREW_BOUNDS, correct_brew, measured
from halfclick.store.finding import deleted_with
from halfclick.store.journal import Reader, Store


@dataclass(frozen=True, slots=True, kw_only=True)
class CupCorrection:
    """What a brew should say; None: as planned, or not measured where the plan says nothing.

    A value left as it stands keeps how it came to be known.
    """

    dose_g: float | None
    water_g: float | None
    temperature_c: float | None
    drained_s: float | None
    beverage_g: float | None
    slips: tuple[Slip, ...]
    note: str

    def __post_init__(self) -> None:
        for name, (low, high) in BREW_BOUNDS.items():
            value = getattr(self, name)
            if value is not None and not low <= value <= high:
                raise BadInput(f"record.bad_{name}", **{f"given_{name.rpartition('_')[2]}": value})


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """One version of a fact, and when it was written."""

    record: Any
    written_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Deleted:
    """What a deletion took away, so that it can be brought back whole."""

    brew_id: UUID
    taken: tuple[tuple[type, UUID], ...]


def correction_of(brew: Brew) -> CupCorrection:
    """Return what a brew says now, as a correction that would change nothing."""
    poured = brew.poured
    return CupCorrection(
        dose_g=_said(poured.dose_g),
        water_g=_said(poured.water_g),
        temperature_c=_said(poured.temperature_c),
        drained_s=_said(poured.drained_s),
        beverage_g=_said(poured.beverage_g),
        slips=brew.slips,
        note=brew.note,
    )


def correct_cup(
    store: Store, brew_id: UUID, said: CupCorrection, *, clock: Callable[[], datetime]
) -> Done[Brew]:
    """Keep what truly happened as a new version of a brew; the same again adds nothing.

    Raises:
        NotFound: the journal has no such brew.
    """
    brew = brew_versions(store, brew_id)[0].record
    if said == correction_of(brew):
        return Done(brew, Touched.NOTHING)
    poured = _poured(brew, said)
    weight = weight_of(said.slips, brew.plan.water_g)
    if poured.water_g.how is How.PLANNED:
        weight *= UNWEIGHED
    right = replace(brew, slips=said.slips, weight=weight)
    return correct_brew(store, right, poured, note=said.note.strip(), clock=clock)


def add_slip(
    store: Store, brew_id: UUID, kind: SlipKind, *, clock: Callable[[], datetime]
) -> Done[Brew]:
    """Add a slip without a size to a brew, as a correction; one that it has already adds nothing.

    Raises:
        NotFound: the journal has no such brew.
    """
    brew: Brew = brew_versions(store, brew_id)[0].record
    if any(slip.kind is kind for slip in brew.slips):
        return Done(brew, Touched.NOTHING)
    said = replace(correction_of(brew), slips=(*brew.slips, Slip(kind=kind)))
    return correct_cup(store, brew.id, said, clock=clock)


def brew_versions(store: Store, brew_id: UUID) -> tuple[Version, ...]:
    """Return every version of a brew, the one that stands first.

    Raises:
        NotFound: the journal has no such brew, or it was deleted.
    """
    with store.reading() as r:
        found = _versions(r, Brew, r.get(Brew, brew_id))
    if not found:
        raise NotFound("store.not_found", kind="brew")
    return found


def tasting_versions(store: Store, tasting_id: UUID) -> tuple[Version, ...]:
    """Return every version of a taste, the one that stands first.

    Raises:
        NotFound: the journal has no such taste.
    """
    with store.reading() as r:
        return _versions(r, Tasting, r.get(Tasting, tasting_id))


def delete_cup(store: Store, brew_id: UUID, *, clock: Callable[[], datetime]) -> Done[Deleted]:
    """Take a cup away with every version of it, its tastes, photos and forecasts.

    Brews that came from it stay, and so does what was answered to it.

    Raises:
        NotFound: the journal has no such brew.
    """
    brews = [version.record.id for version in brew_versions(store, brew_id)]
    taken: list[tuple[type, UUID]] = [(Brew, one) for one in brews]
    with store.writing(clock()) as w:
        for one in brews:
            taken += [(Tasting, t.id) for t in w.all(Tasting, corrected=True, brew_id=one)]
            taken += [(Photo, photo.id) for photo in w.all(Photo, brew_id=one)]
            taken += [(Forecast, forecast.id) for forecast in w.all(Forecast, brew_id=one)]
        for kind, record_id in taken:
            w.bury(kind, record_id)
    deleted = Deleted(brew_id=brews[0], taken=tuple(taken))
    return Done(deleted, Touched.BREWS | Touched.COFFEES)


def deleted_cup(store: Store, brew_id: UUID | None = None) -> Deleted:
    """Return what a deletion took away: of this brew, or of the cup that was deleted last.

    Raises:
        NotFound: no such cup was deleted.
    """
    with store.reading() as r:
        taken = deleted_with(r, brew_id)
    if not taken:
        raise NotFound("corrections.none_deleted")
    return Deleted(brew_id=brew_id or taken[0][1], taken=tuple(taken))


def bring_back_cup(store: Store, deleted: Deleted, *, clock: Callable[[], datetime]) -> Done[UUID]:
    """Undo the deletion of a cup."""
    with store.writing(clock()) as w:
        for kind, record_id in deleted.taken:
            w.unbury(kind, record_id)
    return Done(deleted.brew_id, Touched.BREWS | Touched.COFFEES)


def _versions(r: Reader, kind: type[Any], record: Any) -> tuple[Version, ...]:
    """Return the living versions of a fact, newest writing first."""
    seen = {record.id}
    while record.corrects_id is not None and record.corrects_id not in seen:
        record = r.get(kind, record.corrects_id)
        seen.add(record.id)
    # From the first on: what corrects it, what corrects that, and so on.
    found = r.all(kind, corrected=True, id=record.id)
    waiting, known = [record.id], {record.id}
    while waiting:
        for later in r.all(kind, corrected=True, corrects_id=waiting.pop()):
            if later.id not in known:
                found.append(later)
                known.add(later.id)
                waiting.append(later.id)
    versions = [
        Version(record=one, written_at=r.stamp(kind, one.id).written_at) for one in reversed(found)
    ]
    # A stable order: of two written in the same moment the later correction stays first.
    return tuple(sorted(versions, key=lambda version: version.written_at, reverse=True))


def _said(reading: Reading) -> float | None:
    return reading.value if reading.how in {How.MEASURED, How.CORRECTED} else None


def _poured(brew: Brew, said: CupCorrection) -> Poured:
    """Return what was poured as now said; what is left as it stands keeps its reading."""
    before, plan = correction_of(brew), brew.plan
    planned = {"dose_g": plan.dose_g, "water_g": plan.water_g, "temperature_c": plan.temperature_c}
    changed: dict[str, Any] = {}
    for name in BREW_BOUNDS:
        value, as_planned = getattr(said, name), planned.get(name)
        if value == getattr(before, name):
            continue
        if value is not None:
            changed[name] = measured(name, value)
        elif as_planned is not None:
            changed[name] = replace(measured(name, as_planned), how=How.PLANNED)
        else:
            changed[name] = UNKNOWN
    return replace(brew.poured, **changed)
