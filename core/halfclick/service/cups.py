"""A bag's cups in order: brews joined to their tastings, and what they add up to."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID

from halfclick.errors import NotFound
from halfclick.model.advice import Proposal
from halfclick.model.brew import Brew
from halfclick.model.coffee import Bag, Coffee, Lot
from halfclick.model.recipe import Recipe
from halfclick.model.size import same_size
from halfclick.model.tasting import Tasting, Verdict
from halfclick.store.finding import brews_in_order, brews_of, tastings_of
from halfclick.store.journal import Reader, Store

GOOD_LIKING = 7.0


class Status(StrEnum):
    """How far a bag is dialled in."""

    NO_CUP = "no_cup"
    SEARCHING = "searching"
    ONE_GOOD_CUP = "one_good_cup"
    REPEATED = "repeated"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a cup stands among those of its coffee, numbered from 1 in the order of brewing.

    `earlier_ids` are the identities of the brews that this one corrects, the newest first.
    """

    number: int
    brew_id: UUID
    started_at: datetime
    earlier_ids: tuple[UUID, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Cup:
    """A brew with its newest tasting, numbered from 1 within its coffee.

    `earlier_ids` are the identities of the brews that this one corrects, the newest first.

    `scaled`: it was brewed at another size than the brew it came from, as for guests. Its clock
    and its grind say nothing of the recipe it came from.
    """

    number: int
    brew: Brew
    tasting: Tasting | None = None
    earlier_ids: tuple[UUID, ...] = ()
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
    return _joined(r, brews_of(r, coffee_id=coffee_id), tastings_of(r, coffee_id=coffee_id))


def places_of_coffee(r: Reader, coffee_id: UUID) -> tuple[Place, ...]:
    """Return where every cup of a coffee stands: of many cups much sooner than the cups."""
    return _placed(brews_in_order(r, coffee_id))


def place_of(places: tuple[Place, ...], brew_id: UUID) -> Place:
    """Return the place of a brew's cup, whether it stands or was corrected since.

    Raises:
        NotFound: none of these is its place.
    """
    for place in places:
        if brew_id in {place.brew_id, *place.earlier_ids}:
            return place
    raise NotFound("store.not_found", kind="brew")


def cup_at(r: Reader, place: Place) -> Cup:
    """Return the cup that stands at a place."""
    brew = r.get(Brew, place.brew_id)
    return Cup(
        number=place.number,
        brew=brew,
        tasting=newest_tasting(r, brew),
        earlier_ids=place.earlier_ids,
        scaled=_is_scaled(r, brew, {}),
    )


def cups_of_bag(r: Reader, bag_id: UUID) -> tuple[Cup, ...]:
    """Return every cup of a bag in the order they were brewed."""
    return _joined(r, brews_of(r, bag_id=bag_id), tastings_of(r, bag_id=bag_id))


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


def _joined(r: Reader, written: list[Brew], tastings: list[Tasting]) -> tuple[Cup, ...]:
    """Return cups of brews in the order they were written, corrected ones among them."""
    by_id = {brew.id: brew for brew in written}
    tasted: dict[UUID, list[Tasting]] = {}
    for tasting in tastings:
        tasted.setdefault(tasting.brew_id, []).append(tasting)
    cups: list[Cup] = []
    for place in _placed((brew.id, brew.corrects_id, brew.started_at) for brew in written):
        ids = (place.brew_id, *place.earlier_ids)
        found = [one for brew_id in ids for one in tasted.get(brew_id, ())]
        brew = by_id[place.brew_id]
        cups.append(
            Cup(
                number=place.number,
                brew=brew,
                tasting=max(found, key=lambda tasting: tasting.tasted_at, default=None),
                earlier_ids=place.earlier_ids,
                scaled=_is_scaled(r, brew, by_id),
            )
        )
    return tuple(cups)


def _placed(written: Iterable[tuple[UUID, UUID | None, datetime]]) -> tuple[Place, ...]:
    """Return the places of brews in the order they were written: identity, corrected one, begin."""
    started, corrects = {}, {}
    for brew_id, corrects_id, started_at in written:
        started[brew_id], corrects[brew_id] = started_at, corrects_id
    followed = set(corrects.values())
    earlier = {id_: _earlier(id_, corrects) for id_ in started if id_ not in followed}
    # Two that correct the same brew, as two merged journals may hold: the last one written stands.
    standing = {(ids[-1] if ids else brew_id): brew_id for brew_id, ids in earlier.items()}
    return tuple(
        Place(
            number=number,
            brew_id=brew_id,
            started_at=started[brew_id],
            earlier_ids=earlier[brew_id],
        )
        for number, brew_id in enumerate(sorted(standing.values(), key=started.__getitem__), 1)
    )


def _earlier(brew_id: UUID, corrects: dict[UUID, UUID | None]) -> tuple[UUID, ...]:
    ids: list[UUID] = []
    before = corrects.get(brew_id)
    while before is not None and before not in ids:
        ids.append(before)
        before = corrects.get(before)
    return tuple(ids)


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
    """Return a brew's identity and those it corrects: answers to any of them are its own."""
    ids = [brew.id]
    while brew.corrects_id is not None and brew.corrects_id not in ids:
        brew = r.get(Brew, brew.corrects_id)
        ids.append(brew.id)
    return ids
