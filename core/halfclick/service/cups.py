"""A bag's cups in order: brews joined to their tastings, and what they add up to."""

from dataclasses import dataclass
from enum import StrEnum
from uuid import UUID

from halfclick.model.advice import Proposal
from halfclick.model.brew import Brew
from halfclick.model.coffee import Bag, Coffee, Lot
from halfclick.model.recipe import Recipe
from halfclick.model.size import same_size
from halfclick.model.tasting import Tasting, Verdict
from halfclick.store.journal import Reader, Store

GOOD_LIKING = 7.0


class Status(StrEnum):
    """How far a bag is dialled in."""

    NO_CUP = "no_cup"
    SEARCHING = "searching"
    ONE_GOOD_CUP = "one_good_cup"
    REPEATED = "repeated"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cup:
    """A brew with its newest tasting, numbered from 1 within its coffee.

    `scaled`: it was brewed at another size than the brew it came from, as for guests. Its clock
    and its grind say nothing of the recipe it came from.
    """

    number: int
    brew: Brew
    tasting: Tasting | None = None
    scaled: bool = False

    @property
    def is_good(self) -> bool:
        """Whether the person keeps it; without a verdict, whether they like it well."""
        if self.tasting is None:
            return False
        if self.tasting.verdict is not None:
            return self.tasting.verdict is Verdict.KEEP
        return (self.tasting.liking or 0.0) >= GOOD_LIKING


def bags_of(r: Reader, coffee_id: UUID) -> list[Bag]:
    """Return every living bag of a coffee, oldest first."""
    lots = r.all(Lot, coffee_id=coffee_id)
    return [bag for lot in lots for bag in r.all(Bag, lot_id=lot.id)]


def cups_of_coffee(r: Reader, coffee_id: UUID) -> tuple[Cup, ...]:
    """Return every cup of a coffee in the order they were brewed."""
    brews = [brew for bag in bags_of(r, coffee_id) for brew in r.all(Brew, bag_id=bag.id)]
    return _numbered(r, brews)


def cups_of_bag(r: Reader, bag_id: UUID) -> tuple[Cup, ...]:
    """Return every cup of a bag in the order they were brewed."""
    return _numbered(r, r.all(Brew, bag_id=bag_id))


def coffee_of_brew(store: Store, brew_id: UUID) -> Coffee:
    """Return the coffee that a brew was made of.

    Raises:
        NotFound: the journal has no such brew.
    """
    with store.reading() as r:
        bag = r.get(Bag, r.get(Brew, brew_id).bag_id)
        return r.get(Coffee, r.get(Lot, bag.lot_id).coffee_id)


def answers_to(r: Reader, brew: Brew) -> list[Proposal]:
    """Return what the person answered to advice on a brew, before it was corrected too."""
    return [one for brew_id in _written_as(r, brew) for one in r.all(Proposal, brew_id=brew_id)]


def of_own_size(cups: tuple[Cup, ...]) -> tuple[Cup, ...]:
    """Return the cups that were not scaled; all of them where every one was."""
    return tuple(cup for cup in cups if not cup.scaled) or cups


def status_of(cups: tuple[Cup, ...]) -> Status:
    """Return how far the cups have come: a winner counts after a second good cup of it."""
    if not cups:
        return Status.NO_CUP
    cups = of_own_size(cups)
    good = [cup for cup in cups if cup.is_good]
    if not good:
        return Status.SEARCHING
    newest = good[-1]
    of_it = [
        cup
        for cup in cups
        if same_recipe(cup.brew.plan, newest.brew.plan)
        and cup.brew.kit.grinder_id == newest.brew.kit.grinder_id
    ]
    good_of_it = [cup for cup in of_it if cup.is_good]
    if not of_it[-1].is_good:
        return Status.SEARCHING
    return Status.REPEATED if len(good_of_it) > 1 else Status.ONE_GOOD_CUP


def same_recipe(one: Recipe, other: Recipe) -> bool:
    """Return whether two plans ask for the same cup; the dial's text may differ by its zero."""
    steps = [recipe.setting.steps if recipe.setting else None for recipe in (one, other)]
    return steps[0] == steps[1] and (
        one.dose_g == other.dose_g
        and one.water_g == other.water_g
        and one.temperature_c == other.temperature_c
        and one.pours == other.pours
        and one.stir_bloom == other.stir_bloom
        and one.steep_s == other.steep_s
    )


def _numbered(r: Reader, brews: list[Brew]) -> tuple[Cup, ...]:
    ordered = sorted(brews, key=lambda brew: brew.started_at)
    known = {brew.id: brew for brew in brews}
    return tuple(
        Cup(
            number=index + 1,
            brew=brew,
            tasting=newest_tasting(r, brew),
            scaled=_is_scaled(r, brew, known),
        )
        for index, brew in enumerate(ordered)
    )


def _is_scaled(r: Reader, brew: Brew, known: dict[UUID, Brew]) -> bool:
    if brew.parent_id is None:
        return False
    # A brew that was corrected is read on its own: it stands no longer among the others.
    parent = known.get(brew.parent_id) or r.find(Brew, brew.parent_id)
    return parent is not None and not same_size(brew.plan, parent.plan)


def newest_of(r: Reader, brew_id: UUID) -> Brew | None:
    """Return a brew as it was last corrected; None where there is none."""
    brew = r.find(Brew, brew_id)
    while brew is not None:
        later = r.all(Brew, corrected=True, corrects_id=brew.id)
        if not later:
            break
        brew = later[-1]
    return brew


def newest_tasting(r: Reader, brew: Brew) -> Tasting | None:
    """Return the taste of a brew as it was last kept, before it was corrected too."""
    tastings = [one for brew_id in _written_as(r, brew) for one in r.all(Tasting, brew_id=brew_id)]
    return max(tastings, key=lambda tasting: tasting.tasted_at, default=None)


def _written_as(r: Reader, brew: Brew) -> list[UUID]:
    """Return a brew's identity and those it corrects: it keeps the tastings of them all."""
    ids = [brew.id]
    while brew.corrects_id is not None:
        brew = r.get(Brew, brew.corrects_id)
        ids.append(brew.id)
    return ids
