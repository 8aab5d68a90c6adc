"""One cup as the rules see it: which marks are there, where the clock lies, what departed."""

from collections.abc import Mapping
from dataclasses import dataclass

from halfclick.model.brew import Brew, Reading, SlipKind
from halfclick.model.departures import departures
from halfclick.model.kit import DripperShape
from halfclick.model.limits import DrainedBand
from halfclick.model.recipe import Change, Recipe
from halfclick.model.tasting import CLEARLY_THERE, Mark, Marks, StrengthFelt, Tasting, Verdict
from halfclick.taste.rules import FAULTS, ClockPlace, Felt
from halfclick.wording import Message

# A mark also counts from so far above what this person usually gives.
ABOVE_USUAL = 2.0
GOOD_LIKING = 7.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A tasted cup with all that its advice rests on.

    `last_changes` are what this cup itself changed; `fruitless` counts the changes in a row, this
    cup's included, that liked no better; `good_before` says an earlier cup of this plan was good.
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
            self.there or self.felt in {Felt.WEAK, Felt.STRONG} or self.stalled or self.verdict
        )


def case_of(
    brew: Brew,
    tasting: Tasting,
    *,
    shape: DripperShape,
    band: DrainedBand | None,
    usual: Mapping[Mark, float],
    fruitless: int = 0,
    good_before: bool = False,
) -> Case:
    """Return a cup as the rules see it.

    Args:
        brew: what was poured.
        tasting: what it tasted like.
        shape: the dripper's shape.
        band: the person's own drained times for this plan; None where there are none.
        usual: what this person usually gives a mark, where that is known.
        fruitless: changes in a row that liked no better.
        good_before: whether an earlier cup of the same plan was good.
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
        slipped=any(slip.kind is not SlipKind.STALL for slip in brew.slips),
        weight=brew.weight,
        last_changes=brew.changes,
        fruitless=fruitless,
        good_before=good_before,
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


def felt_of(strength: StrengthFelt | None) -> Felt:
    """Return a felt strength as the rules name it."""
    return Felt.UNSAID if strength is None else Felt(strength.value)
