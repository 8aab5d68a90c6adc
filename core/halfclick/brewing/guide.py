"""A brew under way, folded from its events into one frozen state."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from halfclick.model.departures import SMALL_WATER_SHARE
from halfclick.model.kit import DrainedRule, DripperMaterial, ScaleCarries
from halfclick.model.planned_bypass import planned_bypass_g
from halfclick.model.recipe import Recipe
from halfclick.model.under_way import GuideEvent, GuideEventKind, UnderWay


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """One event that holds: its kind, its value, and the clock when it was noted, s."""

    kind: GuideEventKind
    value: float | None
    at_s: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bodies:
    """What is known of the bodies of server and dripper; None where it is not."""

    server_empty_g: float | None = None
    material: DripperMaterial | None = None
    dripper_g: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Guide:
    """What is known of a brew under way.

    `bypass_g` is the water that was planned to be added to the drink, g.
    `clock_known` is false once the clock was lost; `held` are the events that hold, oldest
    first, those taken back left out. What a slip did is read from `held`, so that the order in
    which two were noted does not matter.
    """

    plan: Recipe
    carries: ScaleCarries
    drained_rule: DrainedRule
    bodies: Bodies = Bodies()
    bypass_g: float = 0.0
    started_at: datetime | None = None
    clock_known: bool = True
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

    def noted(self, kind: GuideEventKind) -> Noted | None:
        """Return the newest event of a kind that holds; None where there is none."""
        return next((one for one in reversed(self.held) if one.kind is kind), None)

    @property
    def untared_s(self) -> float | None:
        """The clock when the dose was found on the scale; None before the first water."""
        noted = next((one for one in self.held if one.kind is GuideEventKind.UNTARED_DOSE), None)
        return noted.at_s if noted else None

    @property
    def offset_g(self) -> float:
        """How much the scale reads too high by now, g; below zero where it reads too low."""
        return self.offset_in(1)

    @property
    def total_is_lost(self) -> bool:
        """Whether the scale's total was lost."""
        return self.noted(GuideEventKind.LOST_TOTAL) is not None

    @property
    def bloom_ends_s(self) -> float:
        """The clock at which the second pour began, or is to begin, s."""
        started = dict(self.started_pours).get(1)
        if started is not None:
            return started
        long_s = self.long_bloom_s
        return self.plan.bloom_s if long_s is None else long_s

    @property
    def long_bloom_s(self) -> float | None:
        """How long a bloom that ran over lasted, s; it ends where it was noted, if not said."""
        noted = self.noted(GuideEventKind.LONG_BLOOM)
        if noted is None:
            return None
        return noted.at_s if noted.value is None else noted.value

    @property
    def overshot_g(self) -> float | None:
        """The water that was in at the newest overshoot, g, whatever the scale read."""
        noted = self.noted(GuideEventKind.OVERSHOOT)
        return None if noted is None else self._true_g(noted)

    @property
    def overshot_bloom_g(self) -> float | None:
        """The water of a bloom that was overshot, g."""
        over = [one for one in self.held if one.kind is GuideEventKind.OVERSHOOT]
        blooms = [one for one in over if self._in_bloom(one)]
        return self._true_g(blooms[-1]) if blooms else None

    @property
    def undershot_g(self) -> float | None:
        """All the water of a brew that ended short, g; water that was in stays in.

        It was noted as short, or the last reading showed it.
        """
        noted = self.noted(GuideEventKind.UNDERSHOOT)
        short_g = self.final_water_g if noted is None else self._true_g(noted)
        least_g = self.plan.water_g * (1.0 - SMALL_WATER_SHARE)
        if short_g is None or (noted is None and short_g >= least_g):
            return None
        return max(short_g, self.overshot_g or 0.0)

    @property
    def final_water_g(self) -> float | None:
        """All the water as the last reading shows it, g; None where it shows no water."""
        both = self.carries is ScaleCarries.DRIPPER_AND_SERVER
        if self.final_g is None or not both or self.lifted or self.total_is_lost:
            return None
        # Once the dripper was lifted, the scale no longer reads the water that was poured.
        return max(self.final_g - self.offset_g, 0.0)

    def offset_in(self, pour: int, by_s: float | None = None) -> float:
        """Return how much the scale reads too high in a pour, g; the bloom is 0.

        Args:
            pour: number of the pour; only those after the bloom see a tare after it.
            by_s: only what was known by this clock; the server's weight counts always, for
                nobody pours hundreds of grams by the number alone.
        """
        dose_g = self._known_g(GuideEventKind.UNTARED_DOSE, by_s)
        server_g = self._known_g(GuideEventKind.UNTARED_SERVER, None)
        # What the server was read at has the dose in it.
        start_g = server_g if server_g is not None else dose_g or 0.0
        read_g = self._known_g(GuideEventKind.TARED_AFTER_BLOOM, by_s) if pour else None
        if read_g is None:
            return start_g
        # The tare swallowed whatever stood on the scale: water, and what was not tared before.
        return -max(read_g - start_g, 0.0)

    def _known_g(self, kind: GuideEventKind, by_s: float | None) -> float | None:
        noted = self.noted(kind)
        if noted is None:
            return None
        late = by_s is not None and noted.at_s is not None and noted.at_s >= by_s
        return None if late else noted.value

    def _in_bloom(self, noted: Noted) -> bool:
        return noted.at_s is None or noted.at_s < self.bloom_ends_s

    def _true_g(self, noted: Noted) -> float:
        return max((noted.value or 0.0) - self.offset_in(0 if self._in_bloom(noted) else 1), 0.0)


def guide_of(
    under_way: UnderWay, events: Sequence[GuideEvent], bodies: Bodies | None = None
) -> Guide:
    """Return the state that the events of a brew add up to, whatever programs noted them."""
    guide = Guide(
        plan=under_way.plan,
        carries=under_way.kit.scale_carries,
        drained_rule=under_way.drained_rule,
        bodies=bodies or Bodies(),
        bypass_g=planned_bypass_g(under_way.why),
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
        case _:
            return _ended(guide, event, at_s)


def _later(guide: Guide, started_at: datetime, late_s: float) -> Guide:
    """Return the state once the clock is put forward; what was noted before moves with it."""
    late = timedelta(seconds=late_s)

    def moved(at_s: float) -> float:
        # To the microsecond, as a clock put forward before would have read.
        return round(at_s + late.total_seconds(), 6)

    return replace(
        guide,
        started_at=started_at - late,
        started_pours=tuple((number, moved(at_s)) for number, at_s in guide.started_pours),
        stalled_s=None if guide.stalled_s is None else moved(guide.stalled_s),
        held=tuple(
            noted if noted.at_s is None else replace(noted, at_s=moved(noted.at_s))
            for noted in guide.held
        ),
    )


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
