"""What trials found, as far as advice may rest on it: habits that matter, and those that do not.

A finding weighs on the advice of whom it is true for: one taster's own, on the same dripper. Only
what was shown smaller than a small difference is left out of advice; what was not settled, or not
blind enough to speak of the habit, changes nothing.
"""

from dataclasses import dataclass, replace
from math import inf
from uuid import UUID

from halfclick.model.advice import Act, Evidence
from halfclick.model.recipe import Lever
from halfclick.model.trial import Habit, Trial
from halfclick.model.trial_kinds import Finding, TrialKind
from halfclick.service.trial_views import TrialView, all_trials, views_in
from halfclick.store.journal import Reader, Store
from halfclick.taste.rules import Rule, Way
from halfclick.wording import Message

# Below this d' a difference is picked less than 7 times in 10 from a pair; our own bound.
SMALL_D = 0.7

# What advice calls a habit: the lever it moves and which way, or the act it is.
LEVERS = {
    Habit.SLOW_POUR: (Lever.POUR_RATE, Way.LESS),
    Habit.MORE_POURS: (Lever.POURS, Way.MORE),
    Habit.HOTTER: (Lever.TEMPERATURE, Way.MORE),
    Habit.FINER: (Lever.GRIND, Way.LESS),
}
ACTS = {
    Habit.SWIRL: Act.GENTLE_SWIRL,
    Habit.RINSE: Act.RINSE_PAPER,
    Habit.LONG_BLOOM: Act.LONGER_BLOOM,
    Habit.OTHER_WATER: Act.SWAP_WATER,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HabitsTried:
    """Habits by what trials found of them; the last finding of each holds.

    `worse` are those of the shown ones whose brews were liked less.
    """

    shown: frozenset[Habit] = frozenset()
    small: frozenset[Habit] = frozenset()
    worse: frozenset[Habit] = frozenset()


def habits_found(store: Store, dripper_id: UUID | None = None) -> HabitsTried:
    """Return what trials found of habits, on one dripper where that is asked."""
    return _found(all_trials(store), dripper_id)


def habits_found_in(r: Reader, dripper_id: UUID | None = None) -> HabitsTried:
    """Return the same inside a block."""
    trials = r.all(Trial)
    return _found(views_in(r, reversed(trials)), dripper_id) if trials else HabitsTried()


def weighed(rules: tuple[Rule, ...], found: HabitsTried) -> tuple[Rule, ...]:
    """Return rules as trials weigh them: those of a small habit left out, of a shown one measured.

    A person's own rules stay: they are what the person asked for.
    """
    kept = []
    for rule in rules:
        if not rule.own and any(_does(rule, habit) for habit in found.small):
            continue
        # What was liked less is measured too, but not as a reason to do it.
        shown = any(
            (_does(rule, habit) or _moves(rule, habit))
            and not (habit in found.worse and _does(rule, habit))
            for habit in found.shown
        )
        kept.append(replace(rule, evidence=Evidence.MEASURED_HERE) if shown else rule)
    return tuple(kept)


def effect_of(view: TrialView) -> Message | None:
    """Return what advice makes of a filed trial; None where there is nothing it could."""
    finding, habit = view.finding, view.trial.habit
    if finding is None or habit is None:
        return None
    if not finding.about_habit:
        return Message("trial_effect.brews_only")
    if is_small(view):
        return Message("trial_effect.small")
    if is_worse(view):
        return Message("trial_effect.worse")
    return Message(f"trial_effect.{finding.finding.value}")


def is_small(view: TrialView) -> bool:
    """Return whether a trial found its difference to be smaller than a small one.

    Both ends of its interval must be near 0: a liking may point to the brew without the habit.
    """
    finding = view.finding
    if finding is None:
        return False
    high, bound = (finding.numbers.get(name) for name in ("dprime_high", "smaller_than"))
    is_smaller = finding.finding is Finding.SMALLER
    low = finding.numbers.get("dprime_low", 0.0 if is_smaller else -inf)
    return (high is not None and max(abs(low), abs(high)) < SMALL_D) or (
        is_smaller and bound is not None and bound <= SMALL_D
    )


def is_worse(view: TrialView) -> bool:
    """Return whether a trial showed that brews with the habit are liked less."""
    finding = view.finding
    if finding is None or finding.finding is not Finding.SHOWN:
        return False
    # One that is infinite is not kept; then its nearer limit tells the side.
    numbers = finding.numbers
    towards = numbers.get("dprime", numbers.get("dprime_high", 0.0))
    return view.trial.kind is TrialKind.PREFERENCE and towards < 0


def _found(views: tuple[TrialView, ...], dripper_id: UUID | None) -> HabitsTried:
    """Return what was found; views come with the newest first."""
    shown: set[Habit] = set()
    small: set[Habit] = set()
    worse: set[Habit] = set()
    for view in views:
        habit, finding = view.trial.habit, view.finding
        if habit is None or habit is Habit.OTHER or finding is None or not finding.about_habit:
            continue
        kit = view.trial.kit
        if dripper_id is not None and kit is not None and kit.dripper_id != dripper_id:
            continue
        if habit in shown | small:
            continue
        if is_small(view):
            small.add(habit)
        elif finding.finding is Finding.SHOWN:
            shown.add(habit)
            worse |= {habit} if is_worse(view) else set()
    return HabitsTried(shown=frozenset(shown), small=frozenset(small), worse=frozenset(worse))


def _does(rule: Rule, habit: Habit) -> bool:
    """Return whether a rule does what a habit is, and nothing else."""
    if habit in ACTS:
        return rule.act is ACTS[habit]
    if habit not in LEVERS or len(rule.moves) != 1:
        return False
    return (rule.moves[0].lever, rule.moves[0].way) == LEVERS[habit]


def _moves(rule: Rule, habit: Habit) -> bool:
    """Return whether a rule moves the lever of a habit alone, whichever way."""
    return habit in LEVERS and rule.levers == {LEVERS[habit][0]}
