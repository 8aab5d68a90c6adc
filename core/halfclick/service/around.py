"""What the journal says around one cup: its lot, its bag, its water, and the other coffees."""

from collections.abc import Sequence
from datetime import timedelta

from halfclick.model.acts import acts_in
from halfclick.model.advice import Outcome, Proposal
from halfclick.model.brew import Brew, SlipKind
from halfclick.model.coffee import Bag, Coffee, Lot, age_days
from halfclick.model.recipe import Recipe
from halfclick.model.tasting import Complaint, Tasting
from halfclick.service.cups import Cup, same_recipe
from halfclick.service.gains import changes_without_gain
from halfclick.service.kitchens import KitView
from halfclick.store.good_cups import good_lately, newest_good
from halfclick.store.journal import Reader
from halfclick.taste.case import Context
from halfclick.taste.suspects import Others
from halfclick.taste.waters import water_traits

# So many cups of a lot, this one with them, and a complaint in each is the lot's (our own default).
PERSISTS_FROM = 3
# Other coffees speak for the kitchen from so many, by their newest cups of so many days (our own
# defaults).
OTHERS_FROM = 2
LATELY_DAYS = 60


def context_of(
    r: Reader,
    brew: Brew,
    tasting: Tasting,
    earlier: Sequence[Cup],
    kit: KitView,
    *,
    two_allowed: bool,
) -> Context:
    """Return what the journal says around a cup.

    Args:
        r: the journal.
        brew: the cup's brew, as it was last corrected.
        tasting: its taste, as it is typed perhaps.
        earlier: the coffee's cups before it, oldest first.
        kit: what it was brewed with.
        two_allowed: whether the person lets two levers move at once.
    """
    bag = r.get(Bag, brew.bag_id)
    lot = r.get(Lot, bag.lot_id)
    coffee = r.get(Coffee, lot.coffee_id)
    lots = {bag_id: r.get(Bag, bag_id).lot_id for bag_id in {cup.brew.bag_id for cup in earlier}}
    of_lot = [cup for cup in earlier if lots[cup.brew.bag_id] == lot.id]
    of_bag = [cup.brew for cup in earlier if cup.brew.bag_id == bag.id]
    steeped_from = _steeped_from(r, brew)
    return Context(
        fruitless=changes_without_gain(tuple(earlier), brew, tasting),
        good_before=any(cup.is_good and same_recipe(cup.brew.plan, brew.plan) for cup in earlier),
        clean_before=any(cup.is_good for cup in of_lot),
        stalled_before=bool(of_bag) and _stalled(of_bag[-1]),
        water_changed=_water_changed(r, brew, tasting, earlier),
        persisting=_persisting(tasting, of_lot),
        acts_done=frozenset().union(*(acts_in(one.why) for one in [*of_bag, brew])),
        others=_others(r, brew, coffee) if steeped_from is not None else None,
        roast=coffee.roast,
        process=coffee.process,
        age_days=age_days(lot, bag, brew.started_at.date()),
        paper=kit.paper.kind if kit.paper else None,
        waters=water_traits(kit.water),
        steeped_from=steeped_from,
        steeped_before=any(_steeped_from(r, one) is not None for one in of_bag),
        two_allowed=two_allowed,
    )


def _steeped_from(r: Reader, brew: Brew) -> Recipe | None:
    """Return the recipe a long steep was to be told from; None for any other brew."""
    if brew.proposal_id is None or brew.plan.steep_s is None:
        return None
    proposal = r.find(Proposal, brew.proposal_id)
    if proposal is None or proposal.outcome is not Outcome.IMMERSION:
        return None
    return r.get(Brew, proposal.brew_id).plan


def _stalled(brew: Brew) -> bool:
    return any(slip.kind is SlipKind.STALL for slip in brew.slips)


def _water_changed(r: Reader, brew: Brew, tasting: Tasting, earlier: Sequence[Cup]) -> bool:
    """Return whether the last good cup had another water.

    A cup of this coffee tells; where there is none, the newest good one of any coffee, but that
    is looked for only after a complaint, which water may be behind.
    """
    good = next((cup.brew for cup in reversed(earlier) if cup.is_good), None)
    if good is None and tasting.complaints:
        newest = newest_good(r, brew.kit.grinder_id, brew.kit.dripper_id)
        good = r.get(Brew, newest) if newest is not None else None
    if good is None or good.started_at >= brew.started_at:
        return False
    waters = (good.kit.water_id, brew.kit.water_id)
    return None not in waters and waters[0] != waters[1]


def _persisting(tasting: Tasting, of_lot: Sequence[Cup]) -> frozenset[Complaint]:
    tastings = [cup.tasting for cup in of_lot if cup.tasting is not None]
    if len(tastings) + 1 < PERSISTS_FROM:
        return frozenset()
    return frozenset(tasting.complaints).intersection(*(one.complaints for one in tastings))


def _others(r: Reader, brew: Brew, coffee: Coffee) -> Others | None:
    """Return how other coffees have tasted lately with the same grinder and water."""
    lately = good_lately(
        r,
        grinder_id=brew.kit.grinder_id,
        water_id=brew.kit.water_id,
        since=brew.started_at - timedelta(days=LATELY_DAYS),
        before=brew.started_at,
    )
    others = [good for coffee_id, good in lately.items() if coffee_id != coffee.id]
    if any(others):
        return Others.GOOD
    return Others.BAD if len(others) >= OTHERS_FROM else None
