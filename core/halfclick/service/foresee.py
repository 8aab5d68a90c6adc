"""A plan's forecast in one call: what was learned of the kit, anew where asked, and the bands.

Loads numpy and takes up to a few seconds: not for the thread of a window.
"""

from dataclasses import dataclass, replace
from uuid import UUID

from halfclick.model.grinder import Setting
from halfclick.model.recipe import Recipe
from halfclick.service.coffees import coffee_of_bag
from halfclick.service.forecast import Expected, expect
from halfclick.service.kitchens import KitView, kit_in_use
from halfclick.service.learned import Learned, learn
from halfclick.store.journal import Store


@dataclass(frozen=True, slots=True, kw_only=True)
class Foreseen:
    """A forecast, and what it rests on, for the next one on the same kit."""

    expected: Expected
    learned: Learned


def foresee(
    store: Store, recipe: Recipe, bag_id: UUID, *, learned: Learned | None = None
) -> Foreseen:
    """Return what is expected of a recipe for a bag on the kit in use.

    Args:
        store: the journal.
        recipe: what is to be brewed.
        bag_id: of which bag.
        learned: what the brews on this kit have taught; learned anew where it is None.

    Raises:
        ValueError: there is no kit yet.
    """
    kit = kit_to_brew_on(store)
    learned = learned or learn(store, kit)
    coffee_id = coffee_of_bag(store, bag_id).id
    ground = as_ground(recipe, kit, learned)
    return Foreseen(expected=expect(ground, kit, learned, coffee_id=coffee_id), learned=learned)


def as_ground(recipe: Recipe, kit: KitView, learned: Learned) -> Recipe:
    """Return a recipe at the setting that its forecast counts with.

    Before any brew nothing tells what the steps of a grinder mean, and a recipe may have no
    setting yet: both are taken as ground for filter, in full width.
    """
    if recipe.setting is not None and learned.brews:
        return recipe
    steps = round(learned.belief.middle_steps)
    return replace(recipe, setting=Setting(text="", steps=steps, zero_id=kit.zero.id))


def kit_to_brew_on(store: Store) -> KitView:
    """Return the kit in use; raise ValueError where there is none yet."""
    kit = kit_in_use(store)
    if kit is None:
        raise ValueError("no kit yet")
    return kit
