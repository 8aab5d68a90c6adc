"""The caffeine of a pot and of a share of it, with the authority's figures; never an advice."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from enum import StrEnum
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.caffeine import NO_CAFFEINE, Beans, Caffeine, caffeine_of
from halfclick.model.coffee import Bag, Coffee, Lot
from halfclick.model.preference import Preference
from halfclick.service.choices import choice, choose
from halfclick.service.cups import newest_of
from halfclick.service.done import Done
from halfclick.service.plan import Planned
from halfclick.store.journal import Reader, Store
from halfclick.store.many import tasted_from
from halfclick.wording import Message

SHOWN = "caffeine.shown"


class CaffeineShown(StrEnum):
    """When a page shows caffeine."""

    ASKED = "asked"
    ALWAYS = "always"
    NEVER = "never"


@dataclass(frozen=True, slots=True, kw_only=True)
class CaffeineView:
    """A pot's caffeine, a share of it, the pot made half of decaf, and today's tasted cups."""

    pot: Caffeine
    share: Caffeine
    half_decaf: Caffeine | None
    told: tuple[Message, ...]
    figures: tuple[Message, ...]


# EFSA NDA Panel (2015), Scientific Opinion on the safety of caffeine, EFSA Journal 13(5):4102,
# abstract.
FIGURES = (
    Message("caffeine_panel.efsa_adults"),
    Message("caffeine_panel.efsa_pregnancy"),
    Message("caffeine_panel.efsa_minors"),
    Message("caffeine_panel.ask"),
)


def caffeine_shown(store: Store) -> CaffeineShown:
    """Return when this person wants to see caffeine; where they ask, until they say otherwise."""
    return CaffeineShown(choice(store, SHOWN) or CaffeineShown.ASKED.value)


def show_caffeine(
    store: Store, shown: CaffeineShown, *, clock: Callable[[], datetime]
) -> Done[Preference]:
    """Keep when this person wants to see caffeine."""
    return choose(store, SHOWN, shown.value, clock=clock)


def beans_of(store: Store, bag_id: UUID) -> Beans:
    """Return what a bag holds as far as caffeine goes; arabica where the label does not say."""
    with store.reading() as r:
        return _beans(r, bag_id)


def pot_caffeine(
    store: Store, dose_g: float, *, beans: Beans, share: float, today: date
) -> CaffeineView:
    """Return the caffeine of a pot and of a share of it, each as a range.

    Args:
        store: the journal, for today's tasted cups.
        dose_g: the dose of the pot.
        beans: what the dose is.
        share: of the drink, 0 to 1.
        today: the day it is where the person is.

    Raises:
        BadInput: there is no such share.
    """
    if not 0 < share <= 1:
        raise BadInput("caffeine_panel.bad_share", given_share=share)
    pot = caffeine_of(dose_g, beans)
    part = pot.part(share)
    halved = caffeine_of(dose_g, Beans.HALF_DECAF) if beans is Beans.ARABICA else None
    told = [_said("caffeine_panel.pot", pot)]
    if share < 1:
        told.append(_said("caffeine_panel.share", part, part_share=share))
    if halved is not None:
        both_g = {"half_g": dose_g / 2}
        told.append(_said("caffeine_panel.half_decaf", halved, **both_g))
    drunk, count = tasted_today(store, today)
    if count:
        told.append(_said("caffeine_panel.today", drunk, count=count))
    return CaffeineView(pot=pot, share=part, half_decaf=halved, told=tuple(told), figures=FIGURES)


def tasted_today(store: Store, today: date) -> tuple[Caffeine, int]:
    """Return the caffeine of the cups tasted today, as if each was drunk whole, and how many."""
    total, count = NO_CAFFEINE, 0
    with store.reading() as r:
        since = datetime.combine(today, time()).astimezone()
        told = (newest_of(r, brew_id) for brew_id in tasted_from(r, since))
        for brew in {brew.id: brew for brew in told if brew is not None}.values():
            dose_g = brew.poured.dose_g.value or brew.plan.dose_g
            total = total.plus(caffeine_of(dose_g, _beans(r, brew.bag_id)))
            count += 1
    return total, count


def with_half_decaf(planned: Planned) -> Planned:
    """Return a plan with the note that half of its dose is decaf; once however often asked."""
    half_g = round(planned.recipe.dose_g / 2, 1)
    note = Message("caffeine_panel.half_decaf_note", {"half_g": half_g})
    kept = tuple(one for one in planned.why if one.code != note.code)
    return replace(planned, why=(*kept, note))


def _beans(r: Reader, bag_id: UUID) -> Beans:
    coffee = r.get(Coffee, r.get(Lot, r.get(Bag, bag_id).lot_id).coffee_id)
    return Beans.DECAF if coffee.decaf else Beans.ARABICA


def _said(code: str, caffeine: Caffeine, **values: object) -> Message:
    low, high = caffeine.shown()
    return Message(code, {"low": low, "high": high, **values})
