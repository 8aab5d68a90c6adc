"""The first rule that fits and can be moved within the limits, and the runner-up."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from halfclick.model.advice import Act, Advice, Evidence, Outcome, RunnerUp
from halfclick.model.cup import RETAINED_G_PER_G
from halfclick.model.limits import Limits
from halfclick.model.moves import differences
from halfclick.model.recipe import Change, Lever, Recipe, even_pours
from halfclick.taste.case import Case
from halfclick.taste.fitting import fits
from halfclick.taste.reasons import (
    contested_by,
    expected,
    mind_changer,
    spoke_against,
    spoke_for,
    this_cup,
    why,
)
from halfclick.taste.rule_words import title_of
from halfclick.taste.rules import Rule, Size, Way
from halfclick.taste.sizes import acted, moved, noticed, strength_moved
from halfclick.wording import Message

IMMERSION_RATIO = 16.0
IMMERSION_S = 300.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A rule that fits a cup, and the recipe it leads to; `half` says it refines."""

    rule: Rule
    recipe: Recipe
    changes: tuple[Change, ...]
    half: bool = False


def plain(case: Case, outcome: Outcome, law: str, evidence: Evidence) -> Advice:
    """Return an advice that no rule gave: a law did, and the recipe stays."""
    return Advice(
        outcome=outcome,
        rule=law,
        recipe=case.recipe,
        evidence=evidence,
        why=(Message(f"why.{law}"),),
        spoke_for=spoke_for(case),
        spoke_against=spoke_against(case),
        this_cup=this_cup(case),
    )


def by_rule(case: Case, limits: Limits, rules: Sequence[Rule]) -> Advice | None:
    """Return the advice of the first rule that fits and can be moved; None where none can."""
    found = _shown_first(list(_candidates(case, limits, rules)))
    if not found:
        return None
    first = found[0]
    if case.slipped and Lever.GRIND in first.rule.levers:
        # A corrected cup counts for less and never drives grind advice on its own.
        return replace(
            plain(case, Outcome.REPEAT, "slipped", Evidence.MEASURED_HERE),
            runner_up=_runner_up(found, None),
        )
    both = None
    if case.two_allowed and first.rule.outcome is Outcome.CHANGE:
        both = _with_second(case, limits, found)
    chosen = both or first
    advice = advice_by(case, chosen)
    if both is not None:
        advice = replace(advice, why=(*advice.why, Message("why.two_allowed")))
    return replace(advice, runner_up=_runner_up(found, chosen))


def advice_by(case: Case, chosen: Candidate) -> Advice:
    """Return the advice of one rule, with everything a person needs to believe or refuse it."""
    rule = chosen.rule
    refines = chosen.half or any(move.size is Size.REFINE for move in rule.moves)
    expect = expected(case, chosen.changes, strength_moved(case.recipe, chosen.recipe))
    if rule.outcome is Outcome.IMMERSION:
        expect = (how_to_steep(chosen.recipe),)
    return Advice(
        outcome=rule.outcome,
        rule=rule.id,
        recipe=chosen.recipe,
        evidence=rule.evidence,
        changes=chosen.changes,
        why=why(case, rule, half=chosen.half),
        spoke_for=spoke_for(case),
        spoke_against=spoke_against(case, rule),
        contested=contested_by(rule),
        sources=rule.sources,
        expect=expect,
        noticed=noticed(case.recipe, chosen.recipe, half=refines),
        mind_changer=mind_changer(chosen.changes, case),
        this_cup=this_cup(case),
        act=rule.act,
        title=title_of(rule),
        own_rule=rule.own,
    )


def steeped(recipe: Recipe, limits: Limits) -> Recipe:
    """Return a recipe as one long steep, as much of it as the server takes."""
    dose_g = recipe.dose_g
    if limits.capacity_g is not None:
        # A steep keeps no more than the grounds hold; the rest must fit the server.
        dose_g = min(dose_g, math.floor(limits.capacity_g / (IMMERSION_RATIO - RETAINED_G_PER_G)))
    water_g = float(round(dose_g * IMMERSION_RATIO))
    return replace(
        recipe,
        dose_g=float(dose_g),
        water_g=water_g,
        pours=even_pours(dose_g, water_g, count=1),
        steep_s=IMMERSION_S,
        stir_bloom=True,
    )


def how_to_steep(recipe: Recipe) -> Message:
    """Return how a long steep is made with any jug."""
    return Message("expect.immersion", {"count": round((recipe.steep_s or IMMERSION_S) / 60)})


def _candidates(case: Case, limits: Limits, rules: Sequence[Rule]) -> Iterator[Candidate]:
    for rule in rules:
        if not fits(rule, case) or _was_tried(rule, case):
            continue
        candidate = _candidate(rule, case, limits)
        # What differs by no more than rounding is no change to advise.
        if candidate is not None and (candidate.changes or not rule.moves):
            yield candidate


def _shown_first(found: list[Candidate]) -> list[Candidate]:
    """Return candidates with what blind trials here showed to matter ahead of the rest.

    Only rules about the same complaint as the first change places; a person's own rules and the
    exceptions, which come first for a reason, keep theirs.
    """
    places = [place for place, one in enumerate(found) if _may_change_places(one.rule)]
    about = [_about(found[place].rule) for place in places]
    places = [place for place, one in zip(places, about, strict=True) if one == about[0]]
    ordered = sorted((found[place] for place in places), key=lambda one: -one.rule.shown_d)
    arranged = list(found)
    for place, one in zip(places, ordered, strict=True):
        arranged[place] = one
    return arranged


def _may_change_places(rule: Rule) -> bool:
    return not rule.own and rule.exception is None and rule.outcome is Outcome.CHANGE


def _about(rule: Rule) -> tuple[object, ...]:
    return (rule.marks, rule.complaints, rule.stalled, rule.bed, rule.steeped)


def _candidate(rule: Rule, case: Case, limits: Limits) -> Candidate | None:
    if rule.outcome is Outcome.IMMERSION:
        return Candidate(rule=rule, recipe=steeped(case.recipe, limits), changes=())
    if not rule.moves:
        recipe = acted(case.recipe, rule.act) if rule.act is not None else case.recipe
        return Candidate(rule=rule, recipe=recipe, changes=()) if recipe is not None else None
    half = _reverses(rule, case)
    recipe = moved(case.recipe, rule.moves, limits, half=half)
    if recipe is None:
        return None
    changes = differences(case.recipe, recipe)
    return Candidate(rule=rule, recipe=recipe, changes=changes, half=half)


def _was_tried(rule: Rule, case: Case) -> bool:
    """Return whether a rule has had its turn.

    An act, and a long steep, is done once a bag. A complaint has no number that could be seen to
    shrink, so a change that brought nothing is followed by the next, not by more of the same.
    """
    if rule.act is not None:
        return rule.act in case.acts_done
    if rule.outcome is Outcome.IMMERSION:
        return case.steeped_before
    if not rule.complaints or not case.fruitless:
        return False
    return any(
        change.lever is move.lever and change.amount * _sign(move.way) > 0
        for move in rule.moves
        for change in case.last_changes
    )


def _reverses(rule: Rule, case: Case) -> bool:
    """Return whether a rule goes back the way the cup came: then half a step is far enough."""
    return any(
        change.lever is move.lever and change.amount * _sign(move.way) < 0
        for move in rule.moves
        for change in case.last_changes
    )


def _sign(way: Way) -> float:
    return {Way.MORE: 1.0, Way.LESS: -1.0}.get(way, 0.0)


def _with_second(case: Case, limits: Limits, found: list[Candidate]) -> Candidate | None:
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


def _runner_up(found: list[Candidate], first: Candidate | None) -> RunnerUp | None:
    """Return the first candidate that does another thing than the advice.

    Without an advice by a rule, as after a corrected cup, never the grind.
    """
    taken = _deeds(first)
    for candidate in found:
        rule = candidate.rule
        if first is None and Lever.GRIND in rule.levers:
            continue
        if rule.outcome in {Outcome.IMMERSION, Outcome.STOP} or candidate is first:
            continue
        if (rule.levers, rule.act) not in taken:
            return RunnerUp(
                rule=rule.id,
                changes=candidate.changes,
                recipe=candidate.recipe,
                evidence=rule.evidence,
                act=rule.act,
            )
    return None


def _deeds(first: Candidate | None) -> list[tuple[frozenset[Lever], Act | None]]:
    if first is None:
        return []
    moves = frozenset(change.lever for change in first.changes)
    return [(moves, first.rule.act), (first.rule.levers, first.rule.act)]
