"""The next brew by both voices: what a person's own cups say, and what the rule set says.

Reckons for up to a second: not for the thread of a window.
"""

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from uuid import UUID

import numpy as np

from halfclick.dialling.decide import Decider
from halfclick.dialling.grids import row_of
from halfclick.dialling.propose import Action, Proposal
from halfclick.dialling.request import Settings
from halfclick.errors import BadInput
from halfclick.model.advice import Advice, Evidence, Outcome, RunnerUp
from halfclick.model.brew import Brew
from halfclick.model.grinder import setting_at
from halfclick.model.moves import (
    differences,
    with_bloom,
    with_pour_rate,
    with_ratio,
    with_setting,
    with_temperature,
)
from halfclick.model.recipe import Recipe
from halfclick.service.advise import advise, newest_of, typed_tasting
from halfclick.service.cup_request import Asked, asked_of, settings_in_steps
from halfclick.service.cups_heed import heeding
from halfclick.service.kitchens import KitView, kit_of
from halfclick.service.limits import limits_of
from halfclick.service.record import TastingEntry
from halfclick.service.trial_findings import habits_found
from halfclick.store.journal import Store
from halfclick.taste.choosing import steeped
from halfclick.taste.diagnosis import LAWS
from halfclick.wording import Message

# The rule set's recipe stands unless the cups make another likelier by so much (our own default).
CLEARLY_LIKELIER = 0.05
LEARNER = "learner"
# What the change itself shows: as the learner counts its steps, and not as the dial is written.
SAID_BESIDE = ("dial.moved_", "dial.held", "dial.spoke")


class Side(StrEnum):
    """Whose advice stands."""

    RULES = "rules"
    CUPS = "cups"


@dataclass(frozen=True, slots=True, kw_only=True)
class Voices:
    """Both advices on a cup, the one that stands, and why.

    `cups` and `proposal` are None where the cups cannot be reckoned with.
    """

    rules: Advice
    cups: Advice | None
    proposal: Proposal | None
    side: Side
    why: tuple[Message, ...] = ()

    @property
    def is_cups(self) -> bool:
        """Whether the cups' advice stands."""
        return self.side is Side.CUPS

    @property
    def is_bound(self) -> bool:
        """Whether a law leaves the cups no say."""
        return any(one.code == "learner.law_first" for one in self.why)

    @property
    def agree(self) -> bool:
        """Whether both say the same."""
        cups = self.cups
        return cups is not None and (cups.recipe, cups.outcome) == (
            self.rules.recipe,
            self.rules.outcome,
        )

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
    small = habits_found(store, brew.kit.dripper_id).small
    asked, proposal, decider = heeding(asked, small)
    if decider is None:
        return only_rules
    recipe = _recipe(store, asked, proposal, kit)
    if recipe is None:
        return only_rules
    return _weighed(rules, asked, proposal, decider, recipe, kit)


def _weighed(
    rules: Advice, asked: Asked, proposal: Proposal, decider: Decider, recipe: Recipe, kit: KitView
) -> Voices:
    base = asked.brews[-1 if proposal.from_cup is None else proposal.from_cup]
    chances = _chances(decider, asked, (recipe, rules.recipe), kit)
    told: dict[str, object] = {"cups_share": chances[0], "rules_share": chances[1]}
    cups = Advice(
        outcome=_OUTCOMES[proposal.action],
        rule=LEARNER,
        recipe=recipe,
        evidence=Evidence.MEASURED_HERE,
        changes=differences(base.plan, recipe) if proposal.action is Action.CHANGE else (),
        why=tuple(one for one in proposal.why if not one.code.startswith(SAID_BESIDE)),
        spoke_for=rules.spoke_for,
        expect=(),
        this_cup=rules.this_cup,
    )
    side, why = _sided(rules, cups, chances, told)
    if side is Side.CUPS:
        cups = replace(cups, why=(*cups.why, *why), runner_up=_other(rules))
    else:
        rules = replace(rules, why=(*rules.why, *why))
    return Voices(rules=rules, cups=cups, proposal=proposal, side=side, why=why)


def _sided(
    rules: Advice, cups: Advice, chances: tuple[float, float], told: dict[str, object]
) -> tuple[Side, tuple[Message, ...]]:
    """Return whose advice stands: a law first, then what is clearly likelier to be liked."""
    if rules.rule in LAWS and rules.outcome is not Outcome.NOTHING:
        return Side.RULES, (Message("learner.law_first"),)
    if rules.outcome is Outcome.NOTHING:
        return Side.CUPS, (Message("learner.rules_silent"),)
    if cups.recipe == rules.recipe and cups.outcome is rules.outcome:
        return Side.RULES, (Message("learner.agree", told),)
    if cups.outcome is not Outcome.CHANGE or chances[0] >= chances[1] + CLEARLY_LIKELIER:
        return Side.CUPS, (Message("learner.sides_with_cups", told),)
    return Side.RULES, (Message("learner.sides_with_rules", told),)


def _chances(
    decider: Decider, asked: Asked, recipes: tuple[Recipe, Recipe], kit: KitView
) -> tuple[float, float]:
    dial = asked.request.context.dial
    rows = np.stack([row_of(settings_in_steps(one, kit), dial) for one in recipes])
    first, second = decider.wins(rows)[0].mean(axis=0).tolist()
    return first, second


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


def _recipe(store: Store, asked: Asked, proposal: Proposal, kit: KitView) -> Recipe | None:
    """Return a proposal as a recipe for the kit; None where its pours cannot be poured so."""
    base: Brew = asked.brews[-1 if proposal.from_cup is None else proposal.from_cup]
    plan = base.plan
    if proposal.action is Action.IMMERSION:
        return steeped(plan, limits_of(store, plan, kit))
    if proposal.action is not Action.CHANGE:
        return plan
    before = asked.request.history[-1 if proposal.from_cup is None else proposal.from_cup].settings
    try:
        return _moved(plan, before, proposal.settings, kit)
    except BadInput:
        return None


def _moved(plan: Recipe, before: Settings, after: Settings, kit: KitView) -> Recipe:
    """Return a plan with what differs between two settings moved; the rest stays to the gram."""
    recipe = plan
    if after.setting != before.setting:
        recipe = with_setting(recipe, setting_at(kit.grinder, kit.zero, round(after.setting)))
    if after.ratio != before.ratio:
        recipe = with_ratio(recipe, after.ratio)
    if after.water_c != before.water_c:
        recipe = with_temperature(recipe, after.water_c)
    if after.pour_g_s != before.pour_g_s:
        recipe = with_pour_rate(recipe, after.pour_g_s)
    names = ("bloom_x", "bloom_s", "swirl")
    if any(getattr(after, name) != getattr(before, name) for name in names):
        recipe = with_bloom(
            recipe, multiple=after.bloom_x, bloom_s=after.bloom_s, stirred=after.swirl > 0.5
        )
    return recipe


_OUTCOMES = {
    Action.CHANGE: Outcome.CHANGE,
    Action.REPEAT: Outcome.CONFIRM,
    Action.HOLD: Outcome.HOLD,
    Action.IMMERSION: Outcome.IMMERSION,
}
