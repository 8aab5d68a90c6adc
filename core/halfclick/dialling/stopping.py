"""When to stop: searching, one good cup, dialled in, or not the recipe at all.

A winner counts after a second cup; dialled in is said with its probability.
"""

from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.decide import Decision
from halfclick.dialling.request import Cup
from halfclick.dialling.search import changed

Floats = NDArray[np.float64]
# Chances of a win from which a cup is worth brewing again, from which it is called dialled in, and
# from which a cup that was good twice is held (our own; tests/benchmarks/dial_in.py tells how often
# that was false).
AGAIN_FROM = 0.74
DIALLED_FROM = 0.85
PROVEN_FROM = 0.6
# Two good cups of one recipe hold it where they were liked so well on average, come what may; so
# many, where the scale has no more than half a point left, are dialled in (our own defaults).
VERY_GOOD_TWICE = 8.25
THRICE = 3
NEAR_THE_TOP = 8.5
# After so many cups of which none is expected to be liked better than so, and with no recipe known
# that would be, it is hardly the recipe (our own defaults).
POOR_LIKING = 4.5
POOR_CUPS = 8
POOR_CHANCE = 0.5
GOOD_LIKING = 7.0
VERY_GOOD_LIKING = 8.0
LIKED_FROM = 5.0  # the middle of the scale: no recipe expected below it is good or dialled in
FAULT_FROM = 5.0
FAULTS = ("sour", "bitter", "thin", "harsh")
COUNTS_FROM = 0.5


class Status(StrEnum):
    """Where a coffee's search stands; the door's own words."""

    SEARCHING = "searching"
    ONE_GOOD_CUP = "one good cup"
    DIALLED_IN = "dialled in"
    NOT_THE_RECIPE = "not the recipe"


def tastes_good(cup: Cup) -> bool:
    """Return whether a cup was liked well and no fault was named."""
    seen = cup.seen
    marks = seen.marks or {}
    faults = [name for name in FAULTS if (marks.get(name) or 0.0) >= FAULT_FROM]
    faults += [word for word in seen.words or [] if word in FAULTS]
    return (seen.liking or 0.0) >= GOOD_LIKING and not faults and counts(cup)


def counts(cup: Cup) -> bool:
    """Return whether a cup counts as a try of its recipe; one whose weight is not told does."""
    return cup.seen.weight is None or cup.seen.weight >= COUNTS_FROM


def is_proven(place: int, decision: Decision, tried: Floats, cups: list[Cup]) -> bool:
    """Return whether the recipe of a cup tasted good twice and more often than not."""
    same = [cup for one, cup in zip(tried, cups, strict=True) if not changed(one, tried[place])]
    good = [cup for cup in same if tastes_good(cup)]
    very = sum(cup.seen.liking or 0.0 for cup in same) >= VERY_GOOD_TWICE * len(same)
    likely = decision.tried_wins[place] >= PROVEN_FROM
    return (likely or very) and len(good) >= 2 and 2 * len(good) > len(same)


def is_near_the_top(tried: Floats, cups: list[Cup]) -> bool:
    """Return whether the last recipe was good every time, and about as good as the scale has it."""
    same = [cup for one, cup in zip(tried, cups, strict=True) if not changed(one, tried[-1])]
    likings = [cup.seen.liking or 0.0 for cup in same]
    enough = len(same) >= THRICE and all(tastes_good(cup) for cup in same)
    return enough and sum(likings) / len(likings) >= NEAR_THE_TOP


def cups_at(row: Floats, tried: Floats, cups: list[Cup]) -> int:
    """Return how many cups that count were brewed at a recipe."""
    return sum(
        1 for one, cup in zip(tried, cups, strict=True) if not changed(one, row) and counts(cup)
    )


def status_of(decision: Decision, tried: Floats, cups: list[Cup]) -> Status:
    """Return where the search stands."""
    if is_poor(decision, len(cups)):
        return Status.NOT_THE_RECIPE
    brewed = cups_at(decision.best, tried, cups)
    # The best in reach may still be poor, and nobody calls it good.
    likely = int(decision.tried_wins.argmax())
    liked = decision.tried_likings[likely] >= LIKED_FROM and cups_at(tried[likely], tried, cups) > 0
    sure = liked and brewed >= 2 and decision.confidence >= DIALLED_FROM
    if sure or is_near_the_top(tried, cups):
        return Status.DIALLED_IN
    again = liked and decision.tried_wins[likely] >= AGAIN_FROM
    if again or is_very_good(decision, tried, cups):
        return Status.ONE_GOOD_CUP
    return Status.SEARCHING


def is_very_good(decision: Decision, tried: Floats, cups: list[Cup]) -> bool:
    """Return whether the last cup tasted very good and, by all cups, no other is likelier to."""
    very = (cups[-1].seen.liking or 0.0) >= VERY_GOOD_LIKING
    return very and tastes_good(cups[-1]) and not changed(decision.best, tried[-1])


def is_poor(decision: Decision, cups: int) -> bool:
    """Return whether many recipes were tried, none is liked, and none is known that would be."""
    disliked = float(decision.tried_likings.max()) < POOR_LIKING
    return cups >= POOR_CUPS and disliked and decision.confidence < POOR_CHANCE
