"""From one tasted cup to the next one: the laws first, then the rules in their order."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from halfclick.model.advice import Advice, Evidence, Outcome, RunnerUp
from halfclick.model.cup import RETAINED_G_PER_G
from halfclick.model.limits import Limits
from halfclick.model.moves import differences
from halfclick.model.recipe import Change, Lever, Recipe, even_pours
from halfclick.model.tasting import Mark
from halfclick.taste.case import Case
from halfclick.taste.reasons import (
    contested_by,
    expected,
    mind_changer,
    spoke_against,
    spoke_for,
    this_cup,
    why,
)
from halfclick.taste.rules import Felt, Rule, Way
from halfclick.taste.sizes import moved, noticed, strength_moved
from halfclick.wording import Message

# Three changes without gain, and it may not be the recipe (our own default).
FRUITLESS = 3
IMMERSION_RATIO = 16.0
IMMERSION_S = 300.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Candidate:
    rule: Rule
    recipe: Recipe
    changes: tuple[Change, ...]
    half: bool


def diagnose(case: Case, limits: Limits, rules: Sequence[Rule]) -> Advice:
    """Return the advice on a cup.

    The laws come first: a cup that was not its plan is repeated; a good one is held; nothing said,
    nothing advised; three fruitless changes ask whether it is the recipe at all. Then the first
    rule that fits and can be moved within the limits.
    """
    return (
        _departed(case)
        or _good(case)
        or _silent(case)
        or _after_steep(case)
        or _calm(case)
        or _fruitless(case, limits)
        or _by_rule(case, limits, rules)
        or _plain(case, Outcome.NOTHING, _unsaid(case, rules), Evidence.MEASURED_HERE)
    )


def fits(rule: Rule, case: Case) -> bool:
    """Return whether a rule is about a cup."""
    faults = effective_faults(case)
    if rule.stalled is not None:
        return rule.stalled == case.stalled
    tastes = rule.marks <= faults and faults - rule.marks <= rule.also
    return (
        tastes
        and (not rule.clock or case.clock in rule.clock)
        and (not rule.strength or case.felt in rule.strength)
        and (not rule.shapes or case.shape in rule.shapes)
        and (rule.sweet is None or rule.sweet == (Mark.SWEET in case.there))
    )


def effective_faults(case: Case) -> frozenset[Mark]:
    """Return the faults that are there; a weak cup with another fault is a thin one."""
    if case.faults and case.felt is Felt.WEAK:
        return case.faults | {Mark.THIN}
    return case.faults


def _departed(case: Case) -> Advice | None:
    if not case.departures:
        return None
    return replace(
        _plain(case, Outcome.REPEAT, "departed", Evidence.MEASURED_HERE),
        spoke_for=case.departures,
    )


def _good(case: Case) -> Advice | None:
    if not case.is_good:
        return None
    if case.good_before:
        return _plain(case, Outcome.HOLD, "hold", Evidence.MEASURED_HERE)
    return _plain(case, Outcome.CONFIRM, "confirm", Evidence.MEASURED_HERE)


def _silent(case: Case) -> Advice | None:
    if case.says_something:
        return None
    return _plain(case, Outcome.NOTHING, "say_more", Evidence.MEASURED_HERE)


def _after_steep(case: Case) -> Advice | None:
    """Return what a long steep has told: the recipe it came from, and where to look."""
    if case.steeped_from is None:
        return None
    rule = "steep_same" if case.faults else "steep_clean"
    plain = _plain(case, Outcome.REPEAT, rule, Evidence.CONSENSUS)
    return replace(plain, recipe=case.steeped_from, sources=("Common practice, no source",))


def _calm(case: Case) -> Advice | None:
    if not case.is_calm:
        return None
    outcome = Outcome.HOLD if case.good_before else Outcome.CONFIRM
    return _plain(case, outcome, "no_fault", Evidence.MEASURED_HERE)


def _unsaid(case: Case, rules: Sequence[Rule]) -> str:
    """Return why there is nothing to advise: no rule is about it, or no lever has room left."""
    return "no_room" if any(fits(rule, case) for rule in rules) else "say_more"


def _fruitless(case: Case, limits: Limits) -> Advice | None:
    if case.fruitless < FRUITLESS:
        return None
    dose_g = case.recipe.dose_g
    if limits.capacity_g is not None:
        # A steep keeps no more than the grounds hold; the rest must fit the server.
        dose_g = min(dose_g, math.floor(limits.capacity_g / (IMMERSION_RATIO - RETAINED_G_PER_G)))
    water_g = float(round(dose_g * IMMERSION_RATIO))
    recipe = replace(
        case.recipe,
        dose_g=float(dose_g),
        water_g=water_g,
        pours=even_pours(dose_g, water_g, count=1),
        steep_s=IMMERSION_S,
        stir_bloom=True,
    )
    plain = _plain(case, Outcome.IMMERSION, "fruitless", Evidence.CONSENSUS)
    how = (Message("expect.immersion", {"count": round(IMMERSION_S / 60)}),)
    return replace(plain, recipe=recipe, expect=how, sources=("Common practice, no source",))


def _plain(case: Case, outcome: Outcome, rule: str, evidence: Evidence) -> Advice:
    return Advice(
        outcome=outcome,
        rule=rule,
        recipe=case.recipe,
        evidence=evidence,
        why=(Message(f"why.{rule}"),),
        spoke_for=spoke_for(case),
        spoke_against=spoke_against(case),
        this_cup=this_cup(case),
    )


def _by_rule(case: Case, limits: Limits, rules: Sequence[Rule]) -> Advice | None:
    found = list(_candidates(case, limits, rules))
    if not found:
        return None
    first = found[0]
    if case.slipped and Lever.GRIND in first.rule.levers:
        # A corrected cup counts for less and never drives grind advice on its own.
        return replace(
            _plain(case, Outcome.REPEAT, "slipped", Evidence.MEASURED_HERE),
            runner_up=_runner_up(found, None),
        )
    reasons = why(case, first.rule, half=first.half)
    if case.two_allowed and first.rule.outcome is Outcome.CHANGE:
        both = _with_second(case, limits, found)
        if both is not None:
            first, reasons = both, (*reasons, Message("why.two_allowed"))
    return Advice(
        outcome=first.rule.outcome,
        rule=first.rule.id,
        recipe=first.recipe,
        evidence=first.rule.evidence,
        changes=first.changes,
        why=reasons,
        spoke_for=spoke_for(case),
        spoke_against=spoke_against(case),
        contested=contested_by(first.rule),
        sources=first.rule.sources,
        expect=expected(case, first.changes, strength_moved(case.recipe, first.recipe)),
        noticed=noticed(case.recipe, first.recipe, half=first.half),
        mind_changer=mind_changer(first.changes, case),
        this_cup=this_cup(case),
        runner_up=_runner_up(found, first),
    )


def _candidates(case: Case, limits: Limits, rules: Sequence[Rule]) -> Iterator[_Candidate]:
    for rule in rules:
        if not fits(rule, case):
            continue
        half = _reverses(rule, case)
        recipe = moved(case.recipe, rule.moves, limits, half=half)
        changes = differences(case.recipe, recipe) if recipe is not None else ()
        # What differs by no more than rounding is no change to advise.
        if recipe is not None and changes:
            yield _Candidate(rule=rule, recipe=recipe, changes=changes, half=half)


def _reverses(rule: Rule, case: Case) -> bool:
    """Return whether a rule goes back the way the cup came: then half a step is far enough."""
    for move in rule.moves:
        sign = {Way.MORE: 1.0, Way.LESS: -1.0}.get(move.way, 0.0)
        for change in case.last_changes:
            if change.lever is move.lever and change.amount * sign < 0:
                return True
    return False


def _with_second(case: Case, limits: Limits, found: list[_Candidate]) -> _Candidate | None:
    """Return the first candidate with the next lever moved too, where the person allows two."""
    first = found[0]
    for second in found[1:]:
        if second.rule.levers & first.rule.levers or second.rule.outcome is not Outcome.CHANGE:
            continue
        recipe = moved(first.recipe, second.rule.moves, limits, half=second.half)
        if recipe is not None:
            changes = differences(case.recipe, recipe)
            return replace(first, recipe=recipe, changes=changes)
    return None


def _runner_up(found: list[_Candidate], first: _Candidate | None) -> RunnerUp | None:
    """Return the first candidate that moves other levers than the advice does.

    Without an advice by a rule, as after a corrected cup, never the grind.
    """
    for candidate in found:
        levers = candidate.rule.levers
        if first is None and Lever.GRIND in levers:
            continue
        moves = frozenset(change.lever for change in first.changes) if first else frozenset()
        if levers != moves and (first is None or levers != first.rule.levers):
            return RunnerUp(
                rule=candidate.rule.id,
                changes=candidate.changes,
                recipe=candidate.recipe,
                evidence=candidate.rule.evidence,
            )
    return None
