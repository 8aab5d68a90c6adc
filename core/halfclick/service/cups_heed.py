"""What a person's cups propose where blind trials found some habits to make a small difference."""

from collections.abc import Collection
from dataclasses import replace

from halfclick.dialling.decide import Decider
from halfclick.dialling.propose import Action, Proposal, consider
from halfclick.dialling.request import LEVERS, Settings
from halfclick.model.trial import Habit
from halfclick.service.cup_request import Asked
from halfclick.service.trial_findings import MOVES

GRIND = "setting"


def heeding(asked: Asked, small: Collection[Habit]) -> tuple[Asked, Proposal, Decider | None]:
    """Return what the cups propose and what decided it, without a habit that was shown small.

    The lever of such a habit may no longer move that way, and the cups are asked again; the other
    way stays open. The grind's dial cannot be cut short so, and whoever still proposes a small
    habit in the end is not heard: then there is no decider, and the rules speak alone.
    """
    proposal, decider = consider(asked.request)
    for _ in MOVES:
        habit = _small_habit(asked, proposal, small)
        if habit is None:
            return asked, proposal, decider
        if MOVES[habit][0] == GRIND:
            break
        asked = _held_back(asked, habit, _before(asked, proposal))
        proposal, decider = consider(asked.request)
    return asked, proposal, decider if _small_habit(asked, proposal, small) is None else None


def habit_of(before: Settings, after: Settings) -> Habit | None:
    """Return the habit that leads from one cup to another and is all that differs."""
    gaps = {name: getattr(after, name) - getattr(before, name) for name in LEVERS}
    moved = {name: gap for name, gap in gaps.items() if abs(gap) > 1e-9}
    for habit, (lever, way) in MOVES.items():
        if list(moved) == [lever] and moved[lever] * way > 0:
            return habit
    return None


def _small_habit(asked: Asked, proposal: Proposal, small: Collection[Habit]) -> Habit | None:
    if proposal.action is not Action.CHANGE or proposal.from_cup is None:
        return None
    habit = habit_of(_before(asked, proposal), proposal.settings)
    return habit if habit in small else None


def _before(asked: Asked, proposal: Proposal) -> Settings:
    return asked.request.history[proposal.from_cup or 0].settings


def _held_back(asked: Asked, habit: Habit, before: Settings) -> Asked:
    """Return a question whose lever reaches no further than a cup had it."""
    lever, way = MOVES[habit]
    context = asked.request.context
    low, high, step = context.levers[lever]
    here = getattr(before, lever)
    reach = (
        (low, max(min(high, here), low), step)
        if way > 0
        else (min(max(low, here), high), high, step)
    )
    held = replace(context, levers={**context.levers, lever: reach})
    return replace(asked, request=replace(asked.request, context=held))
