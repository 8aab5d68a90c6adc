"""A cup that is to be tasted: its brew, what coffee it is, and its taste where one was kept."""

from dataclasses import dataclass
from uuid import UUID

from halfclick.model.brew import Brew
from halfclick.model.coffee import Bag, Coffee, Lot
from halfclick.service.cups import Cup, cup_at, place_of, places_of_coffee
from halfclick.store.journal import Store


@dataclass(frozen=True, slots=True, kw_only=True)
class CupToTaste:
    """A cup with the coffee it is of."""

    coffee: Coffee
    cup: Cup

    @property
    def brew(self) -> Brew:
        """The cup's brew, as last corrected."""
        return self.cup.brew


def cup_to_taste(store: Store, brew_id: UUID) -> CupToTaste:
    """Return a cup by its brew; a corrected brew gives the cup that corrects it.

    Raises:
        NotFound: the journal has no such brew.
    """
    with store.reading() as r:
        brew = r.get(Brew, brew_id)
        lot = r.get(Lot, r.get(Bag, brew.bag_id).lot_id)
        coffee = r.get(Coffee, lot.coffee_id)
        cup = cup_at(r, place_of(places_of_coffee(r, coffee.id), brew_id))
    return CupToTaste(coffee=coffee, cup=cup)
