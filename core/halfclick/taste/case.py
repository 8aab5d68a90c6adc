"""One cup as the rules see it: which marks are there, where the clock lies, what departed."""

from collections.abc import Mapping
from dataclasses import dataclass

from halfclick.model.brew import Brew, Reading, Slip, SlipKind
from halfclick.model.coffee import Roast
from halfclick.model.departures import POUR_TIMING_S, SMALL_WATER_SHARE, departures
from halfclick.model.kit import DripperShape
from halfclick.model.limits import DrainedBand
from halfclick.model.recipe import Change, Recipe
from halfclick.model.tasting import CLEARLY_THERE, Bed, Mark, Marks, Tasting, Verdict
from halfclick.taste.rules import FAULTS, ClockPlace, Felt
from halfclick.wording import Message

# A mark also counts from so far above what this person usually gives.
ABOVE_USUAL = 2.0
GOOD_LIKING = 7.0
MIDDLE_LIKING = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A tasted cup with all that its advice rests on.

    `last_changes` are what this cup itself changed; `fruitless` counts the changes in a row, this
    cup's included, that liked no better; `good_before` says an earlier cup of this plan was good;
    `steeped_from` is the recipe that a long steep was to be told from.
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
    last_changes: tuple[Change, ...] = ()
    fruitless: int = 0
    good_before: bool = False
    bed: Bed | None = None
    roast: Roast | None = None
    age_days: int | None = None
    steeped_from: Recipe | None = None
    two_allowed: bool = False

    @property
    def faults(self) -> frozenset[Mark]:
        """The faults that are there."""
        return self.there & frozenset(FAULTS)

    @property
    def is_good(self) -> bool:
        """Whether the cup tastes good: the person says so, or likes it well and names no fault."""
        if self.verdict is not None:
            return self.verdict is Verdict.KEEP
        return (self.liking or 0.0) >= GOOD_LIKING and not self.faults

    @property
    def says_something(self) -> bool:
        """Whether there is anything to advise on."""
        return bool(
            any(self.marks.of(mark) is not None for mark in Mark)
            or self.felt is not Felt.UNSAID
            or self.stalled
            or self.verdict
        )

    @property
    def is_calm(self) -> bool:
        """Whether the person looked and found no fault, and does not ask for a change."""
        return (
            not self.faults
            and not self.stalled
            and self.felt not in {Felt.WEAK, Felt.STRONG}
            and self.verdict is not Verdict.CHANGE
            and (self.liking is None or self.liking >= MIDDLE_LIKING)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What the journal says around one cup; the fields are those of `Case`."""

    fruitless: int = 0
    good_before: bool = False
    roast: Roast | None = None
    age_days: int | None = None
    steeped_from: Recipe | None = None
    two_allowed: bool = False


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
        last_changes=brew.changes,
        fruitless=context.fruitless,
        good_before=context.good_before,
        bed=tasting.bed,
        roast=context.roast,
        age_days=context.age_days,
        steeped_from=context.steeped_from,
        two_allowed=context.two_allowed,
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
