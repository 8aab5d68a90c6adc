"""One cup as the rules see it: which marks are there, where the clock lies, what departed."""

from collections.abc import Mapping
from dataclasses import dataclass

from halfclick.model.advice import Act
from halfclick.model.brew import Brew, Reading, Slip, SlipKind
from halfclick.model.coffee import Process, Roast
from halfclick.model.departures import POUR_TIMING_S, SMALL_WATER_SHARE, departures
from halfclick.model.kit import DripperShape, PaperKind
from halfclick.model.limits import DrainedBand
from halfclick.model.recipe import Change, Recipe
from halfclick.model.tasting import CLEARLY_THERE, Bed, Complaint, Mark, Marks, Tasting, Verdict
from halfclick.taste.rules import FAULTS, ClockPlace, Felt
from halfclick.taste.suspects import Others, WaterTrait
from halfclick.wording import Message

# A mark also counts from so far above what this person usually gives.
ABOVE_USUAL = 2.0
GOOD_LIKING = 7.0
MIDDLE_LIKING = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What the journal says around one cup.

    `fruitless` counts the changes in a row, this cup's included, that liked no better;
    `good_before` says an earlier cup of this plan was good, `clean_before` one of the same lot;
    `steeped_from` is the recipe that a long steep was to be told from; `water_changed` says the
    last good cup had another water; `persisting` are complaints that every cup of the lot had;
    `acts_done` is what advice had this bag's cups do already; `others` is how other coffees have
    tasted here lately, None where there are too few; `steeped_before` says this bag had its steep.
    """

    fruitless: int = 0
    good_before: bool = False
    clean_before: bool = False
    stalled_before: bool = False
    water_changed: bool = False
    persisting: frozenset[Complaint] = frozenset()
    acts_done: frozenset[Act] = frozenset()
    others: Others | None = None
    roast: Roast | None = None
    process: Process | None = None
    age_days: int | None = None
    paper: PaperKind | None = None
    waters: frozenset[WaterTrait] = frozenset()
    steeped_from: Recipe | None = None
    steeped_before: bool = False
    two_allowed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Case(Context):
    """A tasted cup with all that its advice rests on.

    `last_changes` are what this cup itself changed; `at_boil` says that its water was as hot as
    water gets in this kitchen.
    """

    recipe: Recipe
    marks: Marks
    there: frozenset[Mark]
    felt: Felt
    liking: float | None
    verdict: Verdict | None
    clock: ClockPlace
    drained_s: float | None
    band: DrainedBand | None
    stalled: bool
    shape: DripperShape
    departures: tuple[Message, ...]
    slipped: bool
    weight: float
    complaints: frozenset[Complaint] = frozenset()
    last_changes: tuple[Change, ...] = ()
    bed: Bed | None = None
    at_boil: bool = False

    @property
    def faults(self) -> frozenset[Mark]:
        """The faults that are there."""
        return self.there & frozenset(FAULTS)

    @property
    def is_good(self) -> bool:
        """Whether the cup tastes good: the person says so, or likes it well and names no fault."""
        if self.verdict is not None:
            return self.verdict is Verdict.KEEP
        return (self.liking or 0.0) >= GOOD_LIKING and not self.faults and not self.complaints

    @property
    def says_something(self) -> bool:
        """Whether there is anything to advise on."""
        return bool(
            any(self.marks.of(mark) is not None for mark in Mark)
            or self.felt is not Felt.UNSAID
            or self.complaints
            or self.stalled
            or self.verdict
        )

    @property
    def is_calm(self) -> bool:
        """Whether the person looked and found no fault, and does not ask for a change."""
        return (
            not self.faults
            and not self.complaints
            and not self.stalled
            and self.felt not in {Felt.WEAK, Felt.STRONG}
            and self.verdict is not Verdict.CHANGE
            and (self.liking is None or self.liking >= MIDDLE_LIKING)
        )


def case_of(
    brew: Brew,
    tasting: Tasting,
    *,
    shape: DripperShape,
    band: DrainedBand | None,
    usual: Mapping[Mark, float],
    context: Context,
) -> Case:
    """Return a cup as the rules see it.

    Args:
        brew: what was poured.
        tasting: what it tasted like.
        shape: the dripper's shape.
        band: the person's own drained times for this plan; None where there are none.
        usual: what this person usually gives a mark, where that is known.
        context: what the journal says around it.
    """
    drained = brew.poured.drained_s
    return Case(
        recipe=brew.plan,
        marks=tasting.marks,
        there=marks_there(tasting.marks, usual),
        felt=Felt(tasting.strength_felt.value) if tasting.strength_felt else Felt.UNSAID,
        liking=tasting.liking,
        verdict=tasting.verdict,
        clock=clock_place(drained, band),
        drained_s=drained.value,
        band=band,
        stalled=any(slip.kind is SlipKind.STALL for slip in brew.slips),
        shape=shape,
        departures=departures(brew),
        slipped=any(_corrects(slip, brew.plan) for slip in brew.slips),
        weight=brew.weight,
        complaints=frozenset(tasting.complaints),
        last_changes=brew.changes,
        bed=tasting.bed,
        **{name: getattr(context, name) for name in Context.__dataclass_fields__},
    )


def marks_there(marks: Marks, usual: Mapping[Mark, float]) -> frozenset[Mark]:
    """Return the marks that count: from 5, or from 2 above what this person usually gives."""
    found = set()
    for mark in Mark:
        value = marks.of(mark)
        if value is None:
            continue
        above = mark in usual and value > 0 and value >= usual[mark] + ABOVE_USUAL
        if value >= CLEARLY_THERE or above:
            found.add(mark)
    return frozenset(found)


def clock_place(drained: Reading, band: DrainedBand | None) -> ClockPlace:
    """Return where a drained time lies; a time not known lies nowhere."""
    if drained.value is None or band is None:
        return ClockPlace.UNKNOWN
    if drained.value < band.low_s:
        return ClockPlace.FAST
    return ClockPlace.SLOW if drained.value > band.high_s else ClockPlace.INSIDE


def _corrects(slip: Slip, plan: Recipe) -> bool:
    """Return whether a slip leaves a cup that was mended, or was not what was wanted."""
    if slip.kind in {SlipKind.OVERSHOOT, SlipKind.UNDERSHOOT}:
        return (slip.amount or 0.0) > SMALL_WATER_SHARE * plan.water_g
    if slip.kind is SlipKind.LONG_BLOOM:
        return (slip.amount or 0.0) > POUR_TIMING_S
    return slip.kind is not SlipKind.STALL
