"""A coffee's history: every cup, what was changed and why, the breaks, and a summing sentence."""

from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from uuid import UUID

from halfclick.model.brew import How
from halfclick.model.coffee import Bag, Coffee, Lot, age_days
from halfclick.model.grinder import Grinder, Zero, ZeroReason
from halfclick.model.recipe import Change
from halfclick.model.tasting import Verdict
from halfclick.service.cups import Cup, Status, cups_of_coffee, status_of
from halfclick.store.finding import coffee_names, count_of
from halfclick.store.journal import Reader, Store
from halfclick.wording import Message, clock

# Cups that are read within a few hundredths of a second (measured; our own bound).
LONG = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryPoint:
    """One cup as the history shows it; `steps` are from the zero that was in force."""

    cup: Cup
    brewed_on: date
    age_days: int | None
    steps: int | None
    setting_text: str
    drained_s: float | None
    drained_is_measured: bool
    verdict: Verdict | None
    liking: float | None
    changes: tuple[Change, ...]
    why: tuple[Message, ...]
    parent_number: int | None
    grinder_name: str
    break_before: ZeroReason | None
    grinder_changed: bool

    @property
    def is_good(self) -> bool:
        """Whether the person keeps this cup."""
        return self.cup.is_good


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """A coffee's cups, oldest first, and what they add up to."""

    coffee: Coffee
    points: tuple[HistoryPoint, ...]
    status: Status
    summary: tuple[Message, ...]
    chain: tuple[HistoryPoint, ...]


def coffee_history(store: Store, coffee_id: UUID) -> History:
    """Return the history of a coffee.

    Raises:
        NotFound: the journal has no such coffee.
    """
    with store.reading() as r:
        coffee = r.get(Coffee, coffee_id)
        cups = cups_of_coffee(r, coffee_id)
        ages = ages_of(r, cups)
        grinders = {cup.brew.kit.grinder_id for cup in cups}
        names = {grinder_id: r.get(Grinder, grinder_id).name for grinder_id in grinders}
    breaks = breaks_between(store, cups)
    numbers = {cup.brew.id: cup.number for cup in cups}
    for cup in cups:
        numbers.update(dict.fromkeys(cup.earlier_ids, cup.number))
    points: list[HistoryPoint] = []
    for cup in cups:
        before = points[-1] if points else None
        points.append(_point(cup, before, ages, names, numbers, breaks))
    found = tuple(points)
    return History(
        coffee=coffee,
        points=found,
        status=status_of(cups),
        summary=summary_of(coffee, found, status_of(cups)),
        chain=chain_of(found),
    )


def coffees_by_name(store: Store) -> list[tuple[UUID, str]]:
    """Return every coffee's identity and name, the one brewed last first."""
    with store.reading() as r:
        return coffee_names(r)


def is_long(store: Store, coffee_id: UUID) -> bool:
    """Return whether a coffee has so many cups that its history takes a while to read."""
    with store.reading() as r:
        return count_of(r, coffee_id) > LONG


def breaks_between(store: Store, cups: tuple[Cup, ...]) -> dict[UUID, ZeroReason]:
    """Return, by brew, the break of its grinder that lies between it and the cup before it."""
    with store.reading() as r:
        zeros = {
            zero_id: r.find(Zero, zero_id) for zero_id in {cup.brew.kit.zero_id for cup in cups}
        }
    breaks: dict[UUID, ZeroReason] = {}
    for before, cup in pairwise(cups):
        zero = zeros[cup.brew.kit.zero_id]
        same_grinder = before.brew.kit.grinder_id == cup.brew.kit.grinder_id
        moved = before.brew.kit.zero_id != cup.brew.kit.zero_id
        if zero is not None and same_grinder and moved:
            breaks[cup.brew.id] = zero.reason
    return breaks


def chain_of(points: tuple[HistoryPoint, ...]) -> tuple[HistoryPoint, ...]:
    """Return the cups from the first to the newest by which brew each came from."""
    by_number = {point.cup.number: point for point in points}
    chain: list[HistoryPoint] = []
    point = points[-1] if points else None
    seen: set[int] = set()
    while point is not None and point.cup.number not in seen:
        chain.append(point)
        seen.add(point.cup.number)
        parent = point.parent_number
        point = by_number.get(parent) if parent is not None else None
    return tuple(reversed(chain))


def summary_of(
    coffee: Coffee, points: tuple[HistoryPoint, ...], status: Status
) -> tuple[Message, ...]:
    """Return the sentences that sum a history up, for the eye and for a screen reader."""
    if not points:
        return (Message("history.no_cups", {"name": coffee.name}),)
    messages = [Message("history.cups", {"name": coffee.name, "count": len(points)})]
    set_at = [point for point in points if point.steps is not None]
    if set_at:
        messages.append(
            Message(
                "history.settings"
                if len({point.steps for point in set_at}) > 1
                else "history.setting",
                {"first": set_at[0].setting_text, "last": set_at[-1].setting_text},
            )
        )
    times = [point.drained_s for point in points if point.drained_s is not None]
    if times:
        code = "history.drained" if len(times) > 1 else "history.drained_once"
        messages.append(Message(code, {"low": clock(min(times)), "high": clock(max(times))}))
    breaks = [point for point in points if point.break_before is not None]
    if breaks:
        messages.append(Message("history.breaks", {"count": len(breaks)}))
    messages.append(Message(f"history.status_{status.value}"))
    return tuple(messages)


def ages_of(r: Reader, cups: tuple[Cup, ...]) -> dict[UUID, int | None]:
    """Return how old the bag was, by brew, in days."""
    bags = {bag_id: r.get(Bag, bag_id) for bag_id in {cup.brew.bag_id for cup in cups}}
    lots = {bag.id: r.get(Lot, bag.lot_id) for bag in bags.values()}
    return {
        cup.brew.id: age_days(
            lots[cup.brew.bag_id], bags[cup.brew.bag_id], cup.brew.started_at.date()
        )
        for cup in cups
    }


def _point(
    cup: Cup,
    before: HistoryPoint | None,
    ages: dict[UUID, int | None],
    names: dict[UUID, str],
    numbers: dict[UUID, int],
    breaks: dict[UUID, ZeroReason],
) -> HistoryPoint:
    brew, tasting = cup.brew, cup.tasting
    setting = brew.plan.setting
    drained = brew.poured.drained_s
    previous = before.cup.brew.kit.grinder_id if before else brew.kit.grinder_id
    return HistoryPoint(
        cup=cup,
        brewed_on=brew.started_at.date(),
        age_days=ages[brew.id],
        steps=setting.steps if setting else None,
        setting_text=setting.text if setting else "",
        drained_s=drained.value,
        drained_is_measured=drained.how is How.MEASURED,
        verdict=tasting.verdict if tasting else None,
        liking=tasting.liking if tasting else None,
        changes=brew.changes,
        why=brew.why,
        parent_number=numbers.get(brew.parent_id) if brew.parent_id else None,
        grinder_name=names[brew.kit.grinder_id],
        break_before=breaks.get(brew.id),
        grinder_changed=previous != brew.kit.grinder_id,
    )
