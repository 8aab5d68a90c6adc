"""What was said of a brew held against what happened, and what the kit learned from it."""

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

import numpy as np

from halfclick.model.brew import Brew, How, Reading
from halfclick.model.forecast import Band, Forecast
from halfclick.model.tasting import Tasting
from halfclick.physics.brew.calibrate import UNTOLD, Belief
from halfclick.physics.brew.priors import NAMES
from halfclick.service.kit_constants import GROUPS, band_of, significant
from halfclick.service.kitchens import kit_of
from halfclick.service.learned import believe
from halfclick.store.finding import newest_forecasts
from halfclick.store.journal import Reader, Store
from halfclick.store.many import newest_brewed_on
from halfclick.wording import Message

# Over so many of the newest forecasts it is told how often the bands held (our own default).
LAST = 20
# With fewer readings a share says little: so many nine-of-ten bands all hold by luck as often as
# not (0.9 ** 7 = 0.48).
FEW = 7
# A constant moved or narrowed by less, in what was believed before the brew, is not told.
TOLD_FROM = 0.08
MOST_TOLD = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One quantity: the band said before, and what was read; `where` is inside, above or below."""

    name: str
    band: Band
    read: float

    @property
    def where(self) -> str:
        """Whether the reading lies in its band."""
        if self.read < self.band[0]:
            return "below"
        return "above" if self.read > self.band[2] else "inside"

    def told(self) -> Message:
        """Return it as a sentence."""
        suffix = self.name if self.name != "extraction" else "strength"
        values = zip(("read", "low", "high"), (self.read, self.band[0], self.band[2]), strict=True)
        told = {f"{name}_{suffix}": value for name, value in values}
        return Message(f"held.{self.name}", {**told, "where": Message(f"held.{self.where}")})


@dataclass(frozen=True, slots=True, kw_only=True)
class Reckoning:
    """A brew's readings against their bands, how often bands held of late, and what was learned."""

    held: tuple[Held, ...]
    inside: int
    of: int
    learned: tuple[Message, ...]

    def share_told(self) -> Message | None:
        """Return how often the bands held; None where nothing was read of any."""
        if not self.of:
            return None
        code = "held.share_few" if self.of < FEW else "held.share"
        share = self.inside / self.of
        return Message(code, {"inside": self.inside, "count": self.of, "inside_share": share})


def reckon(store: Store, brew_id: UUID) -> Reckoning:
    """Return what was said of a brew against what happened; it learns twice: for a job.

    Raises:
        NotFound: the journal has no such brew.
    """
    with store.reading() as r:
        brew = r.get(Brew, brew_id)
        forecast = _forecast_of(r, brew)
        held = held_by(forecast, brew, _newest(r, brew)) if forecast else ()
        of_late = [one for found in newest_forecasts(r, LAST) for one in _of_forecast(r, found)]
        # An extraction is no reading of its own.
        of_late = [one for one in of_late if one.name != "extraction"]
    return Reckoning(
        held=held,
        inside=sum(one.where == "inside" for one in of_late),
        of=len(of_late),
        learned=learned_from(store, brew),
    )


def held_by(forecast: Forecast, brew: Brew, tasting: Tasting | None) -> tuple[Held, ...]:
    """Return each band of a forecast whose quantity was read, with the reading.

    Water added to the cup afterwards is taken out of it again: the forecast is of what runs
    through the bed.
    """
    read = _read(brew, tasting)
    return tuple(
        Held(name=name, band=forecast.bands[name], read=value)
        for name, value in read.items()
        if value is not None and name in forecast.bands
    )


def learned_from(store: Store, brew: Brew) -> tuple[Message, ...]:
    """Return what a kit learned from its newest brew, that which moved or narrowed most first.

    Of an older brew nothing is told: later ones have taught since.
    """
    with store.reading() as r:
        newest = newest_brewed_on(
            r, grinder_id=brew.kit.grinder_id, dripper_id=brew.kit.dripper_id, count=1
        )
    if newest != [brew.id]:
        return ()
    kit = kit_of(store, brew.kit)
    return moved(believe(store, kit, without=brew.id), believe(store, kit))


def moved(before: Belief, after: Belief) -> tuple[Message, ...]:
    """Return which constants moved or narrowed most from one belief to the next, as sentences."""
    size = len(NAMES)
    was, is_now = (np.sqrt(np.diag(one.covariance)[:size]) for one in (before, after))
    shift = (after.mean[:size] - before.mean[:size]) / was
    gone = 1.0 - is_now / was
    by = np.maximum(np.abs(shift), gone)
    told = [place for place in np.argsort(-by) if by[place] > TOLD_FROM and _is_told(place)]
    return tuple(
        _said(place, before, after, shift[place], gone[place]) for place in told[:MOST_TOLD]
    )


def _is_told(place: int) -> bool:
    return NAMES[place] not in UNTOLD


def _said(place: int, before: Belief, after: Belief, shift: float, gone: float) -> Message:
    name = NAMES[place]
    values: dict[str, object] = {"name": Message(f"taught.{name}")}
    if abs(shift) < gone:
        return Message("held.narrowed", {**values, "gone_share": float(gone)})
    scale = next(group[name][1] for group in GROUPS.values() if name in group)
    unit = next(group[name][0] for group in GROUPS.values() if name in group)
    bands = [
        band_of(
            one.priors[name],
            float(one.mean[place]),
            float(np.sqrt(one.covariance[place, place])),
            scale,
        )
        for one in (before, after)
    ]
    was, now = (
        Message(f"taught.band_{unit}", {"low": significant(band[0]), "high": significant(band[2])})
        for band in bands
    )
    code = "held.moved_up" if shift > 0 else "held.moved_down"
    return Message(code, {**values, "was": was, "now": now})


def _read(brew: Brew, tasting: Tasting | None) -> dict[str, float | None]:
    poured = brew.poured
    dose_g = poured.dose_g.value or brew.plan.dose_g
    drink_g = _told(poured.beverage_g) or (tasting.beverage_g if tasting else None)
    bypass_g = poured.bypass_g.value or 0.0
    strength = tasting.strength if tasting is not None else None
    extraction = strength * drink_g / dose_g if strength and drink_g else None
    through_g = drink_g - bypass_g if drink_g is not None else None
    if bypass_g and strength is not None:
        strength = strength * drink_g / through_g if drink_g and through_g else None
    return {
        "time_s": _told(poured.drained_s),
        "beverage_g": through_g,
        "strength": strength,
        "extraction": extraction,
    }


def _told(reading: Reading) -> float | None:
    return reading.value if reading.how in {How.MEASURED, How.CORRECTED} else None


def _of_forecast(r: Reader, forecast: Forecast) -> Iterable[Held]:
    brew = r.find(Brew, forecast.brew_id)
    while brew is not None and (later := r.all(Brew, corrected=True, corrects_id=brew.id)):
        brew = later[-1]
    return held_by(forecast, brew, _newest(r, brew)) if brew is not None else ()


def _versions(r: Reader, brew: Brew) -> list[UUID]:
    found = [brew.id]
    while brew.corrects_id is not None:
        brew = r.get(Brew, brew.corrects_id)
        found.append(brew.id)
    return found


def _forecast_of(r: Reader, brew: Brew) -> Forecast | None:
    found = [one for brew_id in _versions(r, brew) for one in r.all(Forecast, brew_id=brew_id)]
    return max(found, key=lambda one: one.made_at, default=None)


def _newest(r: Reader, brew: Brew) -> Tasting | None:
    found = [one for brew_id in _versions(r, brew) for one in r.all(Tasting, brew_id=brew_id)]
    followed = {one.corrects_id for one in found}
    standing = [one for one in found if one.id not in followed]
    return max(standing, key=lambda one: one.tasted_at, default=None)
