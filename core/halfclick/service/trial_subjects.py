"""What a trial can be of: bags and their brews; and what is known of its coffee and kit."""

from dataclasses import dataclass
from datetime import date
from uuid import UUID

from halfclick.model.brew import Brew
from halfclick.model.caffeine import Beans
from halfclick.model.coffee import Bag, Coffee, Lot, age_days
from halfclick.model.kit import Dripper, Water
from halfclick.model.tasting import Tasting
from halfclick.model.trial import Trial
from halfclick.service.coffees import USUAL_DOSE_G
from halfclick.store.journal import Reader, Store
from halfclick.wording import Message

# So many of the newest brews of a bag can be chosen from.
NEWEST = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class BagToTry:
    """A bag that brews are made of, with the dose that is usual for it."""

    bag_id: UUID
    name: str
    dose_g: float
    beans: Beans


@dataclass(frozen=True, slots=True, kw_only=True)
class BrewToTry:
    """A brew of the history, told so that a person knows it again."""

    brew_id: UUID
    name: Message
    told: Message


@dataclass(frozen=True, slots=True, kw_only=True)
class SideRecord:
    """What the journal knows of one side of a trial: of its brew in the history, where it has one.

    `dose_g` is that of the coffee's last brew otherwise. `strength` is a fraction that was read.
    """

    dose_g: float
    beverage_g: float | None = None
    strength: float | None = None


def bags_to_try(store: Store) -> tuple[BagToTry, ...]:
    """Return the bags on the shelf, the one brewed last first."""
    with store.reading() as r:
        lots = {lot.id: lot for lot in r.all(Lot)}
        coffees = {coffee.id: coffee for coffee in r.all(Coffee)}
        found = []
        for bag in r.all(Bag):
            lot = lots.get(bag.lot_id)
            coffee = coffees.get(lot.coffee_id) if lot else None
            if coffee is not None:
                found.append(_bag(r, bag, coffee))
    found.sort(key=lambda one: one[0], reverse=True)
    return tuple(bag for _, bag in found)


def brews_to_try(store: Store, bag_id: UUID) -> tuple[BrewToTry, ...]:
    """Return the newest brews of a bag, the newest first."""
    with store.reading() as r:
        brews = r.all(Brew, bag_id=bag_id)
    newest = sorted(brews, key=lambda one: one.started_at, reverse=True)[:NEWEST]
    return tuple(BrewToTry(brew_id=one.id, name=_name(one), told=_told(one)) for one in newest)


def brews_told(store: Store, brew_ids: tuple[UUID, ...]) -> tuple[BrewToTry, ...]:
    """Return brews by their identities, where the journal has them."""
    with store.reading() as r:
        brews = [r.find(Brew, brew_id) for brew_id in brew_ids]
    return tuple(
        BrewToTry(brew_id=brew.id, name=_name(brew), told=_told(brew))
        for brew in brews
        if brew is not None
    )


def bag_of_brew(store: Store, brew_id: UUID) -> UUID:
    """Return the bag a brew was made of.

    Raises:
        NotFound: the journal has no such brew.
    """
    with store.reading() as r:
        return r.get(Brew, brew_id).bag_id


def recipes_of(store: Store, trial: Trial) -> tuple[Message, ...]:
    """Return how the brews of a trial are made, where they are brews of the history."""
    with store.reading() as r:
        brews = [r.find(Brew, brew_id) for brew_id in trial.brew_ids]
    return tuple(_told(brew) for brew in brews if brew is not None)


def records_of(store: Store, trial: Trial) -> tuple[SideRecord, ...]:
    """Return what the journal knows of each side's strength, in the order of the names."""
    with store.reading() as r:
        brews = [r.find(Brew, brew_id) for brew_id in trial.brew_ids]
        if brews and all(brews):
            return tuple(_recorded(r, brew) for brew in brews if brew is not None)
        of_bag = r.all(Brew, bag_id=trial.bag_id) if trial.bag_id else ()
    newest = max(of_bag, key=lambda one: one.started_at, default=None)
    dose_g = newest.plan.dose_g if newest else USUAL_DOSE_G
    return tuple(SideRecord(dose_g=dose_g) for _ in trial.names)


def _recorded(r: Reader, brew: Brew) -> SideRecord:
    read = [one.strength for one in r.all(Tasting, brew_id=brew.id) if one.strength is not None]
    poured = brew.poured
    return SideRecord(
        dose_g=poured.dose_g.value or brew.plan.dose_g,
        beverage_g=poured.beverage_g.value,
        strength=read[-1] if read else None,
    )


def facts_of(store: Store, trial: Trial, day: date) -> tuple[Message, ...]:
    """Return what a trial was made with: coffee, lot, batch, age on its day, water, dripper."""
    facts = []
    with store.reading() as r:
        bag = r.find(Bag, trial.bag_id) if trial.bag_id else None
        if bag is not None:
            lot = r.get(Lot, bag.lot_id)
            facts.append(Message("trial.fact_coffee", {"name": r.get(Coffee, lot.coffee_id).name}))
            if lot.lot_code:
                facts.append(Message("trial.fact_lot", {"name": lot.lot_code}))
            if lot.batch_code:
                facts.append(Message("trial.fact_batch", {"name": lot.batch_code}))
            age = age_days(lot, bag, day)
            if age is not None:
                facts.append(Message("trial.fact_age", {"count": age}))
        facts += _kit_facts(r, trial)
    return tuple(facts)


def _kit_facts(r: Reader, trial: Trial) -> list[Message]:
    kit = trial.kit
    if kit is None:
        return []
    facts = []
    water = r.find(Water, kit.water_id) if kit.water_id else None
    if water is not None:
        facts.append(Message("trial.fact_water", {"name": water.name}))
    dripper = r.find(Dripper, kit.dripper_id)
    if dripper is not None:
        facts.append(Message("trial.fact_dripper", {"name": dripper.name}))
    return facts


def _bag(r: Reader, bag: Bag, coffee: Coffee) -> tuple[str, BagToTry]:
    brews = r.all(Brew, bag_id=bag.id)
    newest = max(brews, key=lambda one: one.started_at, default=None)
    last = newest.started_at.isoformat() if newest else ""
    return last, BagToTry(
        bag_id=bag.id,
        name=coffee.name,
        dose_g=newest.plan.dose_g if newest else USUAL_DOSE_G,
        beans=Beans.DECAF if coffee.decaf else Beans.ARABICA,
    )


def _name(brew: Brew) -> Message:
    day = brew.started_at.astimezone()
    return Message("trial_start.brew_name", {"day": day.date(), "time": f"{day:%H:%M}"})


def _told(brew: Brew) -> Message:
    day = brew.started_at.astimezone()
    setting = brew.plan.setting
    values: dict[str, object] = {
        "day": day.date(),
        "time": f"{day:%H:%M}",
        "dose_g": brew.plan.dose_g,
        "water_g": brew.plan.water_g,
    }
    if setting is None:
        return Message("trial_start.brew", values)
    return Message("trial_start.brew_at", {**values, "setting": setting.text})
