"""Whether a change was worth it: liked better, or less of what was wrong."""

from itertools import pairwise

from halfclick.model.acts import acts_in
from halfclick.model.brew import Brew
from halfclick.model.size import same_size
from halfclick.model.tasting import Mark, Tasting, Verdict
from halfclick.service.cups import Cup

# Liking moves by chance; less than this is no gain (our own default; the published scatter of one
# liking score is larger still).
LIKING_GAIN = 0.5
# Where liking was not said, the faults together must fall by so much (our own default).
FAULTS_GAIN = 2.0

_FAULTS = (Mark.SOUR, Mark.BITTER, Mark.THIN, Mark.HARSH)


def changes_without_gain(earlier: tuple[Cup, ...], brew: Brew, tasting: Tasting) -> int:
    """Count the changes in a row, this cup's first, after which the cup was no better.

    Cups of another size, as for guests, are passed over: they tried no change of this recipe.

    Args:
        earlier: the coffee's cups before this one, oldest first.
        brew: this cup's brew.
        tasting: this cup's taste.
    """
    tasted = [
        (cup.brew, cup.tasting)
        for cup in earlier
        if cup.tasting is not None and same_size(cup.brew.plan, brew.plan)
    ]
    tasted.append((brew, tasting))
    count = 0
    for (_, before), (changed, after) in reversed(list(pairwise(tasted))):
        # An act that moves no lever is the one change of its brew too.
        is_change = changed.changes or acts_in(changed.why)
        if not is_change or gained(before, after) is not False:
            break
        count += 1
    return count


def gained(before: Tasting, after: Tasting) -> bool | None:
    """Return whether a cup was better than the one before it; None where it cannot be told."""
    if after.verdict is Verdict.KEEP:
        return True
    if before.liking is not None and after.liking is not None:
        return after.liking >= before.liking + LIKING_GAIN
    wrong_before, wrong_after = _wrong(before), _wrong(after)
    fewer = _fewer_words(before, after)
    if wrong_before is None or wrong_after is None:
        return fewer
    return wrong_after <= wrong_before - FAULTS_GAIN or bool(fewer and wrong_after <= wrong_before)


def _fewer_words(before: Tasting, after: Tasting) -> bool | None:
    """Return whether a complaint is gone and none came; None where there was none to go."""
    was, now = set(before.complaints), set(after.complaints)
    return now < was if was else None


def _wrong(tasting: Tasting) -> float | None:
    given = [tasting.marks.of(mark) for mark in _FAULTS]
    known = [value for value in given if value is not None]
    return sum(known) if known else None
