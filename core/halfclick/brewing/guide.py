"""A brew under way, folded from its events into one frozen state."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from halfclick.model.kit import DrainedRule, ScaleCarries
from halfclick.model.recipe import Recipe
from halfclick.model.under_way import GuideEvent, GuideEventKind, UnderWay


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """One event that holds: its kind, its value, and the clock when it was noted, s."""

    kind: GuideEventKind
    value: float | None
    at_s: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Guide:
    """What is known of a brew under way.

    `offset_g` is how much the scale reads too high; `clock_known` is false once the clock was
    lost; `held` are the events that hold, oldest first, those taken back left out.
    """

    plan: Recipe
    carries: ScaleCarries
    drained_rule: DrainedRule
    started_at: datetime | None = None
    clock_known: bool = True
    offset_g: float = 0.0
    overshot_g: float | None = None
    started_pours: tuple[tuple[int, float], ...] = ()
    stalled_s: float | None = None
    lifted: bool = False
    lifted_g: float | None = None
    drained_s: float | None = None
    final_asked: bool = False
    final_g: float | None = None
    held: tuple[Noted, ...] = ()

    def clock_s(self, now: datetime) -> float | None:
        """Return the brew's clock, s from the first water; None before it."""
        return None if self.started_at is None else (now - self.started_at).total_seconds()

    @property
    def untared_s(self) -> float | None:
        """The clock when the scale was found to read too high; None before the first water."""
        found = [one.at_s for one in self.held if one.kind is GuideEventKind.UNTARED_DOSE]
        return found[0] if found else None


def guide_of(under_way: UnderWay, events: Sequence[GuideEvent]) -> Guide:
    """Return the state that the events of a brew add up to, whatever programs noted them."""
    guide = Guide(
        plan=under_way.plan,
        carries=under_way.kit.scale_carries,
        drained_rule=under_way.drained_rule,
    )
    for event in _holding(events):
        guide = _after(guide, event)
    return guide


def _holding(events: Sequence[GuideEvent]) -> list[GuideEvent]:
    """Return the events that were not taken back, oldest first."""
    held: list[GuideEvent] = []
    for event in sorted(events, key=lambda one: one.number):
        if event.kind is not GuideEventKind.TAKEN_BACK:
            held.append(event)
        elif held:
            held.pop()
    return held


def _after(guide: Guide, event: GuideEvent) -> Guide:
    at_s = guide.clock_s(event.at)
    noted = Noted(kind=event.kind, value=event.value, at_s=at_s)
    guide = replace(guide, held=(*guide.held, noted))
    value = event.value or 0.0
    match event.kind:
        case GuideEventKind.CLOCK_STARTED:
            return replace(guide, started_at=event.at)
        case GuideEventKind.LATE_CLOCK if guide.started_at is not None:
            return _later(guide, guide.started_at, value)
        case GuideEventKind.LOST_CLOCK:
            return replace(guide, clock_known=False)
        case GuideEventKind.POUR_STARTED if at_s is not None:
            return replace(guide, started_pours=(*guide.started_pours, (round(value), at_s)))
        case GuideEventKind.UNTARED_DOSE:
            return _untared(guide, value)
        case GuideEventKind.OVERSHOOT:
            return replace(guide, overshot_g=max(value - guide.offset_g, 0.0))
        case _:
            return _ended(guide, event, at_s)


def _later(guide: Guide, started_at: datetime, late_s: float) -> Guide:
    """Return the state once the clock is put forward; what was noted before moves with it."""
    return replace(
        guide,
        started_at=started_at - timedelta(seconds=late_s),
        started_pours=tuple((number, at_s + late_s) for number, at_s in guide.started_pours),
        stalled_s=None if guide.stalled_s is None else guide.stalled_s + late_s,
        held=tuple(
            noted if noted.at_s is None else replace(noted, at_s=noted.at_s + late_s)
            for noted in guide.held
        ),
    )


def _untared(guide: Guide, offset_g: float) -> Guide:
    """Return the state once the scale is known to read too high, an earlier reading included.

    The dose is forgotten once at most: saying it again changes nothing.
    """
    over_g = guide.overshot_g
    if over_g is not None:
        over_g = max(over_g + guide.offset_g - offset_g, 0.0)
    return replace(guide, offset_g=offset_g, overshot_g=over_g)


def _ended(guide: Guide, event: GuideEvent, at_s: float | None) -> Guide:
    match event.kind:
        case GuideEventKind.STALLED:
            return replace(guide, stalled_s=at_s)
        case GuideEventKind.LIFTED:
            return replace(guide, lifted=True, lifted_g=event.value, drained_s=at_s)
        case GuideEventKind.DRAINED:
            return replace(guide, drained_s=at_s)
        case GuideEventKind.FINAL_READING:
            return replace(guide, final_asked=True, final_g=event.value)
        case _:
            return guide
