"""Record a brew after the fact, a tasting, and corrections of either as new facts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, TypeVar
from uuid import UUID, uuid4

from halfclick.brewing.finish import (
    CLOCK_SD_S,
    DOSE_SD_G,
    PLANNED_SD_G,
    READ_SD_G,
    TEMPERATURE_SD_C,
)
from halfclick.brewing.logged import mended, slips_logged, weight_logged
from halfclick.errors import BadInput
from halfclick.model.brew import UNKNOWN, Brew, How, Poured, Reading, Slip
from halfclick.model.recipe import Recipe
from halfclick.model.tasting import Bed, Complaint, Marks, StrengthFelt, Tasting, Verdict
from halfclick.service.done import Done, Touched
from halfclick.service.expected import add_forecast
from halfclick.service.kitchens import KitView, used
from halfclick.service.plan import Planned
from halfclick.store.journal import Reader, Store

if TYPE_CHECKING:
    from halfclick.service.forecast import Expected

F = TypeVar("F", Brew, Tasting)


# What can be typed of a brew, lowest and highest.
BREW_BOUNDS = {
    "dose_g": (1.0, 500.0),
    "water_g": (5.0, 20_000.0),
    "temperature_c": (1.0, 101.0),
    "drained_s": (5.0, 86_400.0),
    "beverage_g": (1.0, 20_000.0),
}
MOST_BYPASS_G = 20_000.0
_SD = {
    "dose_g": DOSE_SD_G,
    "water_g": READ_SD_G,
    "temperature_c": TEMPERATURE_SD_C,
    "drained_s": CLOCK_SD_S,
    "beverage_g": READ_SD_G,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class BrewEntry:
    """A brew as it is typed after the fact: the plan, and only what departed from it.

    None means: as planned, and not measured.
    """

    planned: Planned
    dose_g: float | None = None
    water_g: float | None = None
    temperature_c: float | None = None
    drained_s: float | None = None
    beverage_g: float | None = None
    bypass_g: float | None = None  # added to the drink as it was planned; no slip
    slips: tuple[Slip, ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        for name, (low, high) in BREW_BOUNDS.items():
            value = getattr(self, name)
            if value is not None and not low <= value <= high:
                raise BadInput(f"record.bad_{name}", **{f"given_{name.rpartition('_')[2]}": value})
        if self.bypass_g is not None and not 0 <= self.bypass_g <= MOST_BYPASS_G:
            raise BadInput("record.bad_bypass_g", given_g=self.bypass_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class TastingEntry:
    """A tasting as it is typed: everything may be left out."""

    marks: Marks = Marks()  # noqa: RUF009 - frozen, so one may serve all
    strength_felt: StrengthFelt | None = None
    liking: float | None = None
    words: str = ""
    verdict: Verdict | None = None
    beverage_g: float | None = None
    strength: float | None = None
    bed: Bed | None = None
    complaints: tuple[Complaint, ...] = ()
    strength_sd: float | None = None
    dose_moisture: float | None = None
    sample_c: float | None = None


def record_brew(
    store: Store,
    entry: BrewEntry,
    kit: KitView,
    *,
    clock: Callable[[], datetime],
    expected: Expected | None = None,
) -> Done[Brew]:
    """Keep a brew that was made without the guide, with what was expected of it if it is known."""
    now = clock()
    brew = _brew(entry, kit, now)
    with store.writing(now) as w:
        w.add(brew)
        add_forecast(w, brew.id, expected, now)
    return Done(brew, Touched.BREWS | Touched.COFFEES)


def correct_brew(
    store: Store, wrong: Brew | UUID, poured: Poured, *, note: str, clock: Callable[[], datetime]
) -> Done[Brew]:
    """Keep what truly happened as a new fact that corrects the version of a brew that stands.

    Args:
        store: the journal.
        wrong: the brew by identity, or as it should be but for what was poured and the note.
        poured: what was poured.
        note: the person's note.
        clock: tells the time.
    """
    now = clock()
    with store.writing(now) as w:
        brew_id = wrong if isinstance(wrong, UUID) else wrong.id
        standing = standing_version(w, Brew, w.get(Brew, brew_id))
        said = standing if isinstance(wrong, UUID) else wrong
        right = replace(said, id=uuid4(), poured=poured, note=note, corrects_id=standing.id)
        w.add(right)
    return Done(right, Touched.BREWS | Touched.COFFEES)


def correct_drained(
    store: Store, brew_id: UUID, drained_s: float | None, *, clock: Callable[[], datetime]
) -> Done[Brew]:
    """Keep another drained time for a brew, or none; the same time adds nothing."""
    with store.reading() as r:
        brew = standing_version(r, Brew, r.get(Brew, brew_id))
    if brew.poured.drained_s.value == drained_s:
        return Done(brew, Touched.NOTHING)
    poured = replace(brew.poured, drained_s=_measured(drained_s, CLOCK_SD_S))
    return correct_brew(store, brew.id, poured, note=brew.note, clock=clock)


def standing_version(r: Reader, kind: type[F], fact: F) -> F:
    """Return the version of a fact that stands: the last that corrects it, or itself."""
    seen = {fact.id}
    while later := r.all(kind, corrected=True, corrects_id=fact.id):
        fact = later[-1]
        if fact.id in seen:
            break
        seen.add(fact.id)
    return fact


def record_tasting(
    store: Store, brew_id: UUID, entry: TastingEntry, *, clock: Callable[[], datetime]
) -> Done[Tasting]:
    """Keep what a cup tasted like.

    Raises:
        BadInput: a mark or a measurement cannot be.
    """
    now = clock()
    tasting = tasting_of(brew_id, entry, now)
    with store.writing(now) as w:
        w.get(Brew, brew_id)
        w.add(tasting)
    return Done(tasting, Touched.BREWS | Touched.COFFEES)


def correct_tasting(
    store: Store, tasting_id: UUID, entry: TastingEntry, *, clock: Callable[[], datetime]
) -> Done[Tasting]:
    """Keep another taste of the same cup as a new fact that corrects an earlier one."""
    now = clock()
    with store.writing(now) as w:
        wrong = standing_version(w, Tasting, w.get(Tasting, tasting_id))
        right = replace(tasting_of(wrong.brew_id, entry, now), corrects_id=wrong.id)
        w.add(right)
    return Done(right, Touched.BREWS | Touched.COFFEES)


def tasting_of(brew_id: UUID, entry: TastingEntry, now: datetime) -> Tasting:
    """Return a tasting as it would be kept."""
    return Tasting(
        id=uuid4(),
        brew_id=brew_id,
        tasted_at=now,
        marks=entry.marks,
        strength_felt=entry.strength_felt,
        liking=entry.liking,
        words=entry.words.strip(),
        verdict=entry.verdict,
        beverage_g=entry.beverage_g,
        strength=entry.strength,
        bed=entry.bed,
        complaints=entry.complaints,
        strength_sd=entry.strength_sd,
        dose_moisture=entry.dose_moisture,
        sample_c=entry.sample_c,
    )


def measured(name: str, value: float) -> Reading:
    """Return a typed value of a brew as a measurement, with the scatter of its kind."""
    return _measured(value, _SD[name])


def _brew(entry: BrewEntry, kit: KitView, now: datetime) -> Brew:
    planned, plan = entry.planned, entry.planned.recipe
    poured = mended(_read(entry, plan), entry.slips, plan)
    slips = slips_logged(entry.slips, poured, plan)
    return Brew(
        id=uuid4(),
        bag_id=planned.bag_id,
        kit=used(kit),
        started_at=now,
        mode=planned.mode,
        plan=plan,
        poured=poured,
        drained_rule=kit.kitchen.drained_rule,
        slips=slips,
        weight=weight_logged(slips, poured, plan),
        parent_id=planned.parent_id,
        changes=planned.changes,
        proposal_id=planned.proposal_id,
        why=planned.why,
        note=entry.note,
    )


def _read(entry: BrewEntry, plan: Recipe) -> Poured:
    """Return what was read, and the plan where nothing was."""
    return Poured(
        dose_g=_known(entry.dose_g, plan.dose_g, DOSE_SD_G),
        water_g=_known(entry.water_g, plan.water_g, READ_SD_G, PLANNED_SD_G),
        bloom_g=Reading(value=plan.bloom_g, sd=PLANNED_SD_G, how=How.PLANNED),
        temperature_c=_known(entry.temperature_c, plan.temperature_c, TEMPERATURE_SD_C),
        beverage_g=_measured(entry.beverage_g, READ_SD_G),
        drained_s=_measured(entry.drained_s, CLOCK_SD_S),
        bypass_g=_measured(entry.bypass_g, READ_SD_G),
    )


def _known(
    measured: float | None, plan: float | None, sd: float, planned_sd: float | None = None
) -> Reading:
    if measured is not None:
        return _measured(measured, sd)
    if plan is None:
        return UNKNOWN
    return Reading(value=plan, sd=planned_sd or sd, how=How.PLANNED)


def _measured(value: float | None, sd: float) -> Reading:
    return UNKNOWN if value is None else Reading(value=value, sd=sd, how=How.MEASURED)
