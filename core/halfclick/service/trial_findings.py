"""What trials found, as far as advice may rest on it: habits that matter, and those that do not.

A finding weighs on the advice of whom it is true for: one taster's own, on the same dripper. What
was shown becomes a lever: it comes before what nobody tried, the larger the difference the sooner.
Only what was shown smaller than a small difference is left out of advice; what was not settled, or
not blind enough to speak of the habit, changes nothing.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import inf
from uuid import UUID

from halfclick.model.advice import Act, Evidence
from halfclick.model.recipe import Lever
from halfclick.model.trial import Habit, Trial
from halfclick.model.trial_finding import TrialFinding
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
# The same as the learner has it, and which way: more or less of its lever.
MOVES = {
    Habit.HOTTER: ("water_c", 1),
    Habit.SLOW_POUR: ("pour_g_s", -1),
    Habit.LONG_BLOOM: ("bloom_s", 1),
    Habit.STIR_BLOOM: ("swirl", 1),
    Habit.FINER: ("setting", -1),  # counts up to coarser
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HabitsTried:
    """Habits by what trials found of them; the last finding of each holds.

    `shown` tells how large the difference is, d'; below 0 where brews with the habit were liked
    less.
    """

    shown: Mapping[Habit, float] = field(default_factory=dict)
    small: frozenset[Habit] = frozenset()


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
        shown_d = _shown_d(rule, found.shown)
        if shown_d > 0:
            rule = replace(rule, evidence=Evidence.MEASURED_HERE, shown_d=shown_d)
        elif shown_d < 0:
            # What was liked less is measured too, but not as a reason to do it.
            rule = replace(rule, shown_d=shown_d)
        kept.append(rule)
    return tuple(kept)


def levers_shown(found: HabitsTried) -> dict[str, tuple[float, float]]:
    """Return what trials showed of the learner's levers: of less and of more of each, d'.

    What was liked less speaks for the other way alone.
    """
    told = {}
    for habit, d in found.shown.items():
        if habit in MOVES:
            lever, way = MOVES[habit]
            along = max(d, 0.0)
            told[lever] = (abs(d), along) if way > 0 else (along, abs(d))
    return told


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
    return view.trial.kind is TrialKind.PREFERENCE and _towards(finding) < 0


def _found(views: tuple[TrialView, ...], dripper_id: UUID | None) -> HabitsTried:
    """Return what was found; views come with the newest first."""
    shown: dict[Habit, float] = {}
    small: set[Habit] = set()
    for view in views:
        habit, finding = view.trial.habit, view.finding
        if habit is None or habit is Habit.OTHER or finding is None or not finding.about_habit:
            continue
        kit = view.trial.kit
        if dripper_id is not None and kit is not None and kit.dripper_id != dripper_id:
            continue
        if habit in shown or habit in small:
            continue
        if is_small(view):
            small.add(habit)
        elif finding.finding is Finding.SHOWN:
            d = max(abs(_towards(finding)), SMALL_D)
            shown[habit] = -d if is_worse(view) else d
    return HabitsTried(shown=shown, small=frozenset(small))


def _towards(finding: TrialFinding) -> float:
    """Return how large a difference was found, d'; below 0 towards brews without the habit.

    One that is infinite is not kept; then its nearer limit tells.
    """
    numbers = finding.numbers
    limits = (numbers.get("dprime_low"), numbers.get("dprime_high"))
    near = min((one for one in limits if one is not None), key=abs, default=0.0)
    return numbers.get("dprime", near)


def _shown_d(rule: Rule, shown: Mapping[Habit, float]) -> float:
    """Return the largest difference that a trial showed of what a rule does, d'; 0 for none.

    The other way of a lever that was shown to matter matters as much.
    """
    told = [
        d if _does(rule, habit) else abs(d) for habit, d in shown.items() if _tells(rule, habit)
    ]
    return max(told, key=abs, default=0.0)


def _tells(rule: Rule, habit: Habit) -> bool:
    return _does(rule, habit) or _moves(rule, habit)


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
