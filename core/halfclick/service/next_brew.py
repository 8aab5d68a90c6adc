"""The next brew by both voices: what a person's own cups say, and what the rule set says.

Reckons for up to two seconds: not for the thread of a window.
"""

from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

import numpy as np

from halfclick.dialling.decide import Decider
from halfclick.dialling.expect import expected_at
from halfclick.dialling.grids import row_of
from halfclick.dialling.propose import Action, Proposal
from halfclick.dialling.request import Seen
from halfclick.model.advice import LEARNER, Advice, Evidence, Noticed, Outcome, RunnerUp
from halfclick.model.moves import differences
from halfclick.model.recipe import Recipe
from halfclick.service.advise import advise, newest_of, typed_tasting
from halfclick.service.cup_request import Asked, asked_of, settings_in_steps
from halfclick.service.cups_heed import heeding
from halfclick.service.cups_recipe import place_of, recipe_of
from halfclick.service.kitchens import KitView, kit_of
from halfclick.service.moving import moves_of, noticed_by
from halfclick.service.record import TastingEntry
from halfclick.service.said_before import expects
from halfclick.service.sides import Side, Weighed, agree, is_bound, settled, sided, weigh
from halfclick.service.trial_findings import habits_found
from halfclick.store.journal import Store
from halfclick.wording import Message

# What stands elsewhere: the change itself shows what is moved and what held, and the bands are
# said of whichever recipe stands.
SAID_BESIDE = ("dial.moved_", "dial.held", "dial.spoke", "dial.expects_", "dial.mind")


@dataclass(frozen=True, slots=True, kw_only=True)
class Voices:
    """Both advices on a cup, the one that stands, and why.

    `cups` and `proposal` are None where the cups cannot be reckoned with. `base` is the recipe
    that the cups' change starts from: it may be an earlier cup's.
    """

    rules: Advice
    cups: Advice | None
    proposal: Proposal | None
    side: Side
    why: tuple[Message, ...] = ()
    base: Recipe | None = None

    @property
    def is_cups(self) -> bool:
        """Whether the cups' advice stands."""
        return self.side is Side.CUPS

    @property
    def is_bound(self) -> bool:
        """Whether a law leaves the cups no say."""
        return is_bound(self.rules)

    @property
    def agree(self) -> bool:
        """Whether both say the same."""
        return self.cups is not None and agree(self.rules, self.cups)

    @property
    def advice(self) -> Advice:
        """The advice that stands, with the other voice's as the runner-up."""
        if self.side is Side.RULES or self.cups is None:
            return self.rules
        return self.cups


def advise_by_cups(
    store: Store, brew_id: UUID, entry: TastingEntry | None = None, *, today: date
) -> Voices | None:
    """Return both advices on a cup; None where it has not been tasted.

    Args:
        store: the journal.
        brew_id: which cup.
        entry: the tasting as it is being typed; None for the one in the journal.
        today: tells the age of the coffee.
    """
    rules = advise(store, brew_id, entry)
    if rules is None:
        return None
    only_rules = Voices(rules=rules, cups=None, proposal=None, side=Side.RULES)
    brew = newest_of(store, brew_id)
    kit = kit_of(store, brew.kit)
    asked = asked_of(store, brew, kit, typed_tasting(store, brew, entry), today=today)
    if asked is None or brew.plan.setting is None:
        return only_rules
    if rules.outcome is Outcome.NOTHING and _says_nothing(asked.request.history[-1].seen):
        return only_rules
    small = habits_found(store, brew.kit.dripper_id).small
    asked, proposal, decider = heeding(asked, small)
    if decider is None:
        return only_rules
    recipe = recipe_of(store, asked, proposal, kit)
    if recipe is None:
        return only_rules
    return _weighed(rules, asked, proposal, decider, recipe, kit)


def _says_nothing(seen: Seen) -> bool:
    marks = [value for value in (seen.marks or {}).values() if value is not None]
    told = (seen.liking, seen.words, seen.strength_felt, seen.strength_pct)
    return not marks and all(one is None for one in told)


def _weighed(
    rules: Advice, asked: Asked, proposal: Proposal, decider: Decider, recipe: Recipe, kit: KitView
) -> Voices:
    base = asked.brews[place_of(proposal)].plan
    changes = differences(base, recipe) if proposal.action is Action.CHANGE else ()
    moves = moves_of(decider, asked, base, recipe, kit) if changes else None
    cups = Advice(
        outcome=_OUTCOMES[proposal.action],
        rule=LEARNER,
        recipe=recipe,
        evidence=Evidence.MEASURED_HERE,
        changes=changes,
        why=tuple(one for one in proposal.why if not one.code.startswith(SAID_BESIDE)),
        spoke_for=rules.spoke_for,
        expect=(*(moves.told if moves else ()), *_expected(decider, asked, recipe, kit)),
        noticed=noticed_by(moves) if moves else Noticed.UNKNOWN,
        mind_changer=next((one for one in proposal.why if one.code == "dial.mind"), None),
        this_cup=rules.this_cup,
    )
    # To weigh them takes as long as to ask the cups did: not where a law has settled it.
    side, why = settled(rules) or sided(rules, cups, _weighed_anew(asked, recipe, rules, kit))
    if side is Side.CUPS:
        second = _other(rules) if rules.outcome is not Outcome.NOTHING else None
        cups = replace(cups, why=(*cups.why, why), runner_up=second)
    else:
        said = _expected(decider, asked, rules.recipe, kit)
        rules = replace(rules, why=(*rules.why, why), expect=(*rules.expect, *said))
    return Voices(rules=rules, cups=cups, proposal=proposal, side=side, why=(why,), base=base)


def _weighed_anew(asked: Asked, cups: Recipe, rules: Advice, kit: KitView) -> Weighed:
    request = asked.request
    ours, theirs = (settings_in_steps(one, kit) for one in (cups, rules.recipe))
    return weigh(request, ours, theirs, request.history[-1].settings)


def _expected(decider: Decider, asked: Asked, recipe: Recipe, kit: KitView) -> tuple[Message, ...]:
    """Return what the cups expect of a recipe, in a sentence that holds the bands."""
    if recipe.setting is None or recipe.steep_s:
        return ()
    request = asked.request
    row = row_of(settings_in_steps(recipe, kit), request.context.dial)
    bands, marks = expected_at(decider, row, np.random.default_rng(request.luck()))
    timed = any(cup.seen.time_s for cup in request.history)
    return (expects(bands, marks, timed=timed),)


def _other(rules: Advice) -> RunnerUp | None:
    if not rules.changes and rules.act is None:
        return None
    return RunnerUp(
        rule=rules.rule,
        changes=rules.changes,
        recipe=rules.recipe,
        evidence=rules.evidence,
        act=rules.act,
    )


_OUTCOMES = {
    Action.CHANGE: Outcome.CHANGE,
    Action.REPEAT: Outcome.CONFIRM,
    Action.HOLD: Outcome.HOLD,
    Action.IMMERSION: Outcome.IMMERSION,
}
