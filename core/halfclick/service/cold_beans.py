"""Beans out of the freezer, ground cold: finer than the dial says."""

from uuid import UUID

from halfclick.model.coffee import Bag
from halfclick.physics.grounds import cold_beans_ratio
from halfclick.store.journal import Store
from halfclick.wording import Message

# A household freezer, degrees Celsius (common practice, no source).
FREEZER_C = -18.0
NINE_OF_TEN_SDS = 1.645


def cold_beans(store: Store, bag_id: UUID) -> Message | None:
    """Return by what share beans ground straight from the freezer come out finer.

    None for a bag that does not lie in the freezer.
    """
    with store.reading() as r:
        bag = r.get(Bag, bag_id)
    return said_of(bag)


def said_of(bag: Bag) -> Message | None:
    """Return the same of a bag that is at hand."""
    if not bag.is_frozen:
        return None
    ratio, sd = cold_beans_ratio(FREEZER_C)
    most = 1.0 - ratio + NINE_OF_TEN_SDS * sd
    values = {"middle_share": 1.0 - ratio, "most_share": most, "freezer_c": FREEZER_C}
    return Message("plan.from_freezer", values)
