"""The next brew for a request: what to do, why, and what is expected of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.carry import heard_earlier, learn
from halfclick.dialling.decide import Decider, Decision
from halfclick.dialling.expect import Band, expected_at
from halfclick.dialling.grids import grids_of, settings_of
from halfclick.dialling.leaning import leaning_at
from halfclick.dialling.reasons import counted, expects, leaned, moved, spoke, stands, was_tasted
from halfclick.dialling.request import Cup, Request, Settings
from halfclick.dialling.search import changed
from halfclick.dialling.stopping import (
    AGAIN_FROM,
    POOR_CUPS,
    Status,
    cups_at,
    is_near_the_top,
    is_proven,
    is_very_good,
    status_of,
)
from halfclick.wording import Message

Floats = NDArray[np.float64]
# A cup that counts less was not the recipe (our own default).
HARDLY_COUNTS = 0.1


class Action(StrEnum):
    """What to do next; the door's own words."""

    CHANGE = "change"
    REPEAT = "repeat"
    HOLD = "hold"
    IMMERSION = "immersion"


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """The next brew.

    Attributes:
        action: what to do.
        settings: of the next cup, values that can be set.
        from_cup: the cup a change starts from, an index into the history; None for no cup.
        best: what would be brewed today to please, tried or not.
        confidence: the chance that `best` is liked within half a point of the best reachable.
        why: codes and values of sentences.
        expected: by quantity, 10 %, 50 % and 90 % of what will be observed next.
        marks: the same for each mark.
    """

    action: Action
    settings: Settings
    from_cup: int | None
    best: Settings
    status: Status
    confidence: float
    why: tuple[Message, ...]
    expected: Mapping[str, Band]
    marks: Mapping[str, Band]


def propose(request: Request) -> Proposal:
    """Return the next brew; the same request and seed give the same proposal."""
    return consider(request)[0]


def consider(request: Request) -> tuple[Proposal, Decider | None]:
    """Return the next brew, and what it was decided by; None where nothing was brewed yet."""
    rng = np.random.default_rng(request.luck())
    if not request.history:
        return _first(request), None
    grids = grids_of(request.context)
    posterior = learn(request, rng)
    decider = Decider(posterior, grids, rng)
    decision = decider.decide(request.changes_at_most)
    status = status_of(decision, decider.tried, request.history)
    action, row, base = _next(decision, status, decider.tried, request)
    expected, marks = expected_at(decider, row, rng)
    proposal = Proposal(
        action=action,
        settings=settings_of(grids.within(row), request.context.dial),
        from_cup=base,
        best=settings_of(grids.within(grids.nearest(decision.best)), request.context.dial),
        status=status,
        confidence=decision.confidence,
        why=_why(request, decider, decision, status, (action, row, base), expected),
        expected=expected,
        marks=marks,
    )
    return proposal, decider


def _next(
    decision: Decision, status: Status, tried: Floats, request: Request
) -> tuple[Action, Floats, int | None]:
    last = len(tried) - 1
    stands = _stands(decision, status, tried, request)
    if stands is not None:
        return stands
    if decision.choice is None:
        return Action.REPEAT, tried[last], last
    return Action.CHANGE, decision.choice.row, _latest(tried, decision.choice.base)


def _stands(
    decision: Decision, status: Status, tried: Floats, request: Request
) -> tuple[Action, Floats, int | None] | None:
    """Return what is brewed where nothing is to be changed; None where the search goes on."""
    cups, last = request.history, len(tried) - 1
    if _hardly_counts(cups[last]):
        return Action.REPEAT, tried[last], last
    if is_near_the_top(tried, cups) or is_proven(last, decision, tried, cups):
        return Action.HOLD, tried[last], last
    if status is Status.DIALLED_IN:
        return Action.HOLD, decision.best, _latest_like(tried, decision.best)
    winner = _latest(tried, int(decision.tried_wins.argmax()))
    steeps = request.context.dripper == "immersion"
    if status is Status.NOT_THE_RECIPE and not steeps and not _was_checked(tried):
        return Action.IMMERSION, tried[winner], winner
    if status is Status.ONE_GOOD_CUP:
        good = [winner] if decision.tried_wins[winner] >= AGAIN_FROM else []
        for place in (*good, *([last] if is_very_good(decision, tried, cups) else [])):
            if cups_at(tried[place], tried, cups) < 2:
                return Action.REPEAT, tried[place], place
    return None


def _why(
    request: Request,
    decider: Decider,
    decision: Decision,
    status: Status,
    following: tuple[Action, Floats, int | None],
    expected: Mapping[str, Band],
) -> tuple[Message, ...]:
    action, row, base = following
    last = len(request.history) - 1
    start = last if base is None else base
    told = list(spoke(request.history[-1]))
    if was_tasted(request.history[-1]):
        told += leaned(leaning_at(decider, last))
    if start != last:
        told.append(Message("dial.goes_back", {"count": start + 1}))
    moves = moved(request.history[start].settings, settings_of(row, request.context.dial))
    told += [*moves, Message("dial.held")] if moves else [Message(f"dial.to_{action.value}")]
    told.append(stands(status, decision.confidence))
    told += expects(expected, timed=any(cup.seen.time_s for cup in request.history))
    told.append(counted(request.history, len(heard_earlier(request.context))))
    return tuple(told)


def _first(request: Request) -> Proposal:
    """Return the start: nothing was brewed, so nothing is known but what was carried over."""
    start = request.context.start
    return Proposal(
        action=Action.CHANGE,
        settings=start,
        from_cup=None,
        best=start,
        status=Status.SEARCHING,
        confidence=0.0,
        why=(Message("dial.first"),),
        expected={},
        marks={},
    )


def _latest(tried: Floats, place: int) -> int:
    found = _latest_like(tried, tried[place])
    return place if found is None else found


def _latest_like(tried: Floats, row: Floats) -> int | None:
    same = [place for place, one in enumerate(tried) if not changed(one, row)]
    return same[-1] if same else None


def _was_checked(tried: Floats) -> bool:
    """Return whether a recipe was brewed twice running since the check could first be proposed."""
    late = tried[POOR_CUPS - 1 :]
    return any(not changed(one, other) for one, other in pairwise(late))


def _hardly_counts(cup: Cup) -> bool:
    """Return whether a cup came out so far from what was meant that the recipe is still to try."""
    return cup.seen.weight is not None and cup.seen.weight < HARDLY_COUNTS
