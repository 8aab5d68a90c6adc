"""What a person's own cups propose, as a recipe for the kit: the change, the rest to the gram."""

from halfclick.dialling.propose import Action, Proposal
from halfclick.dialling.request import Settings
from halfclick.errors import BadInput
from halfclick.model.changes import is_one_idea
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
from halfclick.service.cup_request import Asked
from halfclick.service.kitchens import KitView
from halfclick.service.limits import limits_of
from halfclick.store.journal import Store
from halfclick.taste.choosing import steeped
from halfclick.taste.sizes import can_be_poured


def recipe_of(store: Store, asked: Asked, proposal: Proposal, kit: KitView) -> Recipe | None:
    """Return a proposal as a recipe; None where kit and laws do not let it be poured so.

    Args:
        store: the journal.
        asked: what the learner was asked.
        proposal: what it answered.
        kit: with what it is brewed.
    """
    place = place_of(proposal)
    plan = asked.brews[place].plan
    limits = limits_of(store, plan, kit)
    if proposal.action is Action.IMMERSION:
        return steeped(plan, limits)
    if proposal.action is not Action.CHANGE:
        return plan
    try:
        recipe = _moved(plan, asked.request.history[place].settings, proposal.settings, kit)
    except BadInput:
        return None
    changes = differences(plan, recipe)
    one = is_one_idea(changes) or asked.request.changes_at_most > 1
    return recipe if changes and one and can_be_poured(plan, recipe, limits) else None


def place_of(proposal: Proposal) -> int:
    """Return which cup a proposal starts from, a place in the history."""
    return -1 if proposal.from_cup is None else proposal.from_cup


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
