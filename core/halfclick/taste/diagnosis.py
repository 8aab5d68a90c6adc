"""From one tasted cup to the next one: the laws first, then the rules in their order."""

from collections.abc import Sequence
from dataclasses import replace

from halfclick.model.advice import Advice, Evidence, Outcome
from halfclick.model.limits import Limits
from halfclick.taste.case import Case
from halfclick.taste.choosing import Candidate, advice_by, by_rule, how_to_steep, plain, steeped
from halfclick.taste.fitting import fits
from halfclick.taste.rules import Rule
from halfclick.taste.sizes import at_boil

# Three changes without gain, and it may not be the recipe (our own default).
FRUITLESS = 3

# What stands before every rule, in this order, and cannot be switched off; no rule has their name.
LAWS = (
    "departed",
    "confirm",
    "hold",
    "say_more",
    "steep_same",
    "steep_clean",
    "no_fault",
    "fruitless",
    "slipped",
    "no_room",
)


def diagnose(case: Case, limits: Limits, rules: Sequence[Rule]) -> Advice:
    """Return the advice on a cup.

    The laws come first: a cup that was not its plan is repeated; a good one is held; nothing said,
    nothing advised; three fruitless changes ask whether it is the recipe at all. Then the first
    rule that fits and can be moved within the limits.
    """
    case = replace(case, at_boil=at_boil(case.recipe, limits))
    return (
        _departed(case)
        or _good(case)
        or _silent(case)
        or _after_steep(case, rules)
        or _calm(case)
        or _fruitless(case, limits)
        or by_rule(case, limits, rules)
        or plain(case, Outcome.NOTHING, _unsaid(case, rules), Evidence.MEASURED_HERE)
    )


def _departed(case: Case) -> Advice | None:
    if not case.departures:
        return None
    return replace(
        plain(case, Outcome.REPEAT, "departed", Evidence.MEASURED_HERE),
        spoke_for=case.departures,
    )


def _good(case: Case) -> Advice | None:
    if not case.is_good:
        return None
    if case.good_before:
        return plain(case, Outcome.HOLD, "hold", Evidence.MEASURED_HERE)
    return plain(case, Outcome.CONFIRM, "confirm", Evidence.MEASURED_HERE)


def _silent(case: Case) -> Advice | None:
    if case.says_something:
        return None
    return plain(case, Outcome.NOTHING, "say_more", Evidence.MEASURED_HERE)


def _after_steep(case: Case, rules: Sequence[Rule]) -> Advice | None:
    """Return what a long steep has told: the recipe it came from, and where to look.

    Where what was wrong is still there, a rule may say what the case points to.
    """
    recipe = case.steeped_from
    if recipe is None:
        return None
    if not case.faults and not case.complaints:
        return replace(_steep_told(case, "steep_clean"), recipe=recipe)
    for rule in rules:
        if rule.steeped and fits(rule, case) and rule.act not in case.acts_done:
            chosen = Candidate(rule=rule, recipe=recipe, changes=())
            return replace(advice_by(case, chosen), expect=())
    return replace(_steep_told(case, "steep_same"), recipe=recipe)


def _steep_told(case: Case, law: str) -> Advice:
    told = plain(case, Outcome.REPEAT, law, Evidence.CONSENSUS)
    return replace(told, sources=("Common practice, no source",))


def _calm(case: Case) -> Advice | None:
    if not case.is_calm:
        return None
    outcome = Outcome.HOLD if case.good_before else Outcome.CONFIRM
    return plain(case, outcome, "no_fault", Evidence.MEASURED_HERE)


def _unsaid(case: Case, rules: Sequence[Rule]) -> str:
    """Return why there is nothing to advise: no rule is about it, or no lever has room left."""
    return "no_room" if any(fits(rule, case) for rule in rules) else "say_more"


def _fruitless(case: Case, limits: Limits) -> Advice | None:
    if case.fruitless < FRUITLESS:
        return None
    recipe = steeped(case.recipe, limits)
    told = plain(case, Outcome.IMMERSION, "fruitless", Evidence.CONSENSUS)
    how = (how_to_steep(recipe),)
    return replace(told, recipe=recipe, expect=how, sources=("Common practice, no source",))
