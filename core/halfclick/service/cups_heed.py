"""What a person's cups propose where blind trials found some habits to make a small difference."""

from collections.abc import Collection
from dataclasses import replace

from halfclick.dialling.decide import Decider
from halfclick.dialling.propose import Action, Proposal, consider
from halfclick.dialling.request import LEVERS, Settings
from halfclick.model.trial import Habit
from halfclick.service.cup_request import Asked

# What the learner calls a habit: the lever it moves, and which way; "setting" counts up to coarser.
MOVES = {
    Habit.HOTTER: ("water_c", 1),
    Habit.SLOW_POUR: ("pour_g_s", -1),
    Habit.LONG_BLOOM: ("bloom_s", 1),
    Habit.STIR_BLOOM: ("swirl", 1),
    Habit.FINER: ("setting", -1),
}
GRIND = "setting"


def heeding(asked: Asked, small: Collection[Habit]) -> tuple[Asked, Proposal, Decider | None]:
    """Return what the cups propose and what decided it, without a habit that was shown small.

    The lever of such a habit is taken out and the cups are asked again. Where it is the grind,
    which cannot be, there is no decider: the rules speak alone.
    """
    proposal, decider = consider(asked.request)
    for _ in MOVES:
        lever = _lever_of_small(asked, proposal, small)
        if lever is None:
            break
        if lever == GRIND:
            return asked, proposal, None
        asked = _without(asked, lever)
        proposal, decider = consider(asked.request)
    return asked, proposal, decider


def habit_of(before: Settings, after: Settings) -> Habit | None:
    """Return the habit that leads from one cup to another and is all that differs."""
    gaps = {name: getattr(after, name) - getattr(before, name) for name in LEVERS}
    moved = {name: gap for name, gap in gaps.items() if abs(gap) > 1e-9}
    for habit, (lever, way) in MOVES.items():
        if list(moved) == [lever] and moved[lever] * way > 0:
            return habit
    return None


def _lever_of_small(asked: Asked, proposal: Proposal, small: Collection[Habit]) -> str | None:
    if proposal.action is not Action.CHANGE or proposal.from_cup is None:
        return None
    before = asked.request.history[proposal.from_cup].settings
    habit = habit_of(before, proposal.settings)
    return MOVES[habit][0] if habit in small and habit is not None else None


def _without(asked: Asked, lever: str) -> Asked:
    context = asked.request.context
    kept = {name: reach for name, reach in context.levers.items() if name != lever}
    return replace(asked, request=replace(asked.request, context=replace(context, levers=kept)))
