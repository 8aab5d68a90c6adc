"""A bag as it ages: liking and drained time against its age, and what may be said of them.

Looked at are one bag's cups at the recipe last brewed, or all its cups where those are not most of
it. A trend is said only with MIN_CUPS values over MIN_DAYS days and with p below LARGEST_P
(`trend.py` holds the method). Age is never blamed where another recorded thing changed among them.
"""

from dataclasses import dataclass
from itertools import pairwise
from uuid import UUID

from halfclick.model.brew import How
from halfclick.model.coffee import Coffee
from halfclick.service.cups import Cup, cups_of_bag, cups_of_coffee, same_recipe
from halfclick.service.history import ages_of
from halfclick.service.inputs import changed_inputs
from halfclick.service.trend import Trend, trend_of
from halfclick.store.journal import Store
from halfclick.wording import Message

# Our own defaults: a bag gives 12 to 16 cups; fewer than half of that, or a week of it, tells
# nothing of its age.
MIN_CUPS = 8
MIN_DAYS = 7
LARGEST_P = 0.05
MOST_CUPS = 120  # the newest; more of one bag is no bag, and every pair of them is looked at
# Cups at one recipe stand for their bag where they are this share of it; a recipe changed midway
# is a recorded change among the rest (our own default).
MOST_OF_BAG = 2 / 3
# Liking runs from 1 to 9 and 5 is neither: from here on as many cups are neither as are liked.
HARDLY_LIKED = 5.5
ABOUT_DAYS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class AgePoint:
    """One cup by the age of its bag; `changed` is what was recorded anew since the cup before."""

    brew_id: UUID
    number: int
    age_days: int
    drained_s: float | None
    liking: float | None
    changed: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ageing:
    """A bag's cups by age, and what they show; `said` and `proposals` are what to show."""

    coffee_name: str
    points: tuple[AgePoint, ...]
    liking: Trend | None
    drained: Trend | None
    said: tuple[Message, ...]
    proposals: tuple[Message, ...]


def bag_ageing(store: Store, coffee_id: UUID) -> Ageing:
    """Return how the bag of a coffee that was brewed last ages.

    Raises:
        NotFound: the journal has no such coffee.
    """
    with store.reading() as r:
        coffee = r.get(Coffee, coffee_id)
        every = cups_of_coffee(r, coffee_id)
        cups = cups_of_bag(r, every[-1].brew.bag_id)[-MOST_CUPS:] if every else ()
        ages = ages_of(r, cups)
    numbers = {cup.brew.id: cup.number for cup in every}
    series = _at_one_recipe(cups)
    points = _points(series, ages, numbers)
    liking = _beyond_chance([(p.age_days, p.liking) for p in points])
    drained = _beyond_chance([(p.age_days, p.drained_s) for p in points])
    said = _said(coffee.name, cups, points, liking, drained)
    return Ageing(
        coffee_name=coffee.name,
        points=points,
        liking=liking,
        drained=drained,
        said=said,
        proposals=_proposals(points, liking, drained),
    )


def falls_from(points: tuple[AgePoint, ...]) -> int | None:
    """Return about which day liking stopped coming back up to where it began, to five days.

    That is the first cup after the last one liked as well as the middle one of the first third.
    """
    liked = [(p.age_days, p.liking) for p in points if p.liking is not None]
    early = sorted(liking for _, liking in liked[: max(len(liked) // 3, 1)])
    if not early:
        return None
    usual = early[len(early) // 2]
    as_good = [number for number, (_, liking) in enumerate(liked) if liking >= usual]
    after = liked[as_good[-1] + 1 :]
    return max(round(after[0][0] / ABOUT_DAYS) * ABOUT_DAYS, ABOUT_DAYS) if after else None


def _at_one_recipe(cups: tuple[Cup, ...]) -> tuple[Cup, ...]:
    if not cups:
        return ()
    last = cups[-1].brew
    alike = tuple(
        cup
        for cup in cups
        if same_recipe(cup.brew.plan, last.plan) and cup.brew.kit.grinder_id == last.kit.grinder_id
    )
    enough = len(alike) >= max(MIN_CUPS, MOST_OF_BAG * len(cups))
    return alike if enough else cups


def _points(
    cups: tuple[Cup, ...], ages: dict[UUID, int | None], numbers: dict[UUID, int]
) -> tuple[AgePoint, ...]:
    changed: dict[UUID, tuple[str, ...]] = {
        after.brew.id: changed_inputs(before.brew, after.brew) for before, after in pairwise(cups)
    }
    points = []
    for cup in cups:
        age = ages[cup.brew.id]
        if age is None:
            continue
        drained = cup.brew.poured.drained_s
        points.append(
            AgePoint(
                brew_id=cup.brew.id,
                number=numbers[cup.brew.id],
                age_days=age,
                drained_s=drained.value if drained.how in {How.MEASURED, How.CORRECTED} else None,
                liking=cup.tasting.liking if cup.tasting else None,
                changed=changed.get(cup.brew.id, ()),
            )
        )
    return tuple(points)


def _beyond_chance(values: list[tuple[int, float | None]]) -> Trend | None:
    known = [(float(age), value) for age, value in values if value is not None]
    ages = [age for age, _ in known]
    if len(known) < MIN_CUPS or max(ages) - min(ages) < MIN_DAYS:
        return None
    trend = trend_of(ages, [value for _, value in known])
    return trend if trend is not None and trend.p < LARGEST_P else None


def _said(
    name: str,
    cups: tuple[Cup, ...],
    points: tuple[AgePoint, ...],
    liking: Trend | None,
    drained: Trend | None,
) -> tuple[Message, ...]:
    if cups and not points:
        return (Message("ageing.no_age", {"name": name}),)
    if not points:
        return (Message("ageing.no_cups", {"name": name}),)
    if liking is None and drained is None:
        enough = len(points) >= MIN_CUPS
        code = "ageing.level" if enough else "ageing.too_few"
        return (Message(code, {"name": name, "count": len(points), "needed": MIN_CUPS}),)
    parts = _what(points, liking, drained)
    values = {"one": parts[0], "other": parts[-1]}
    return (Message("ageing.both" if len(parts) > 1 else "ageing.told", values), _cause(points))


def _what(
    points: tuple[AgePoint, ...], liking: Trend | None, drained: Trend | None
) -> tuple[Message, ...]:
    """Return what moves with age, as parts of one sentence."""
    parts: list[Message] = []
    if liking is not None and liking.slope < 0:
        day = falls_from(points)
        parts.append(
            Message("ageing.liking_falls_from", {"day": day})
            if day is not None
            else Message("ageing.liking_falls")
        )
    elif liking is not None:
        parts.append(Message("ageing.liking_rises"))
    if drained is not None:
        code = "ageing.drains_quicker" if drained.slope < 0 else "ageing.drains_slower"
        parts.append(Message(code, {"each": round(abs(drained.slope), 1)}))
    return tuple(parts)


def _cause(points: tuple[AgePoint, ...]) -> Message:
    """Return what else changed: with anything else, neither it nor the age is blamed."""
    changes = [(p.age_days, name) for p in points for name in p.changed]
    names = list(dict.fromkeys(name for _, name in changes))
    if not names:
        return Message("ageing.nothing_else")
    things = tuple(Message(f"input.{name}") for name in names)
    values = {"things": things, "day": changes[0][0]}
    return Message("ageing.two_things" if len(names) == 1 else "ageing.several_things", values)


def _proposals(
    points: tuple[AgePoint, ...], liking: Trend | None, drained: Trend | None
) -> tuple[Message, ...]:
    """Return what may be done; where two things changed, only how to tell them apart."""
    falls = liking is not None and liking.slope < 0
    quicker = drained is not None and drained.slope < 0
    if not falls and not quicker:
        return ()
    changed = [name for p in points for name in p.changed]
    if changed:
        things = tuple(Message(f"input.{name}") for name in dict.fromkeys(changed))
        return (Message("ageing.tell_apart", {"things": things}),)
    found = [Message("ageing.finer")] if quicker else []
    if falls and liking is not None:
        day = _finish_by(points[-1].age_days, liking)
        found.append(Message("ageing.finish_by", {"day": day}) if day else Message("ageing.finish"))
    return tuple(found)


def _finish_by(today: int, liking: Trend) -> int | None:
    """Return by about which day cups will hardly be liked, to five days; None: they are now."""
    reached = liking.reaches(HARDLY_LIKED)
    day = round((reached or 0.0) / ABOUT_DAYS) * ABOUT_DAYS
    return day if day > today else None
