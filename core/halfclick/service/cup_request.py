"""The journal's cups as the learner is asked about them: in its units, with what counts less."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import pairwise
from math import ceil
from uuid import UUID

from halfclick.dialling import request as ask
from halfclick.errors import BadInput
from halfclick.model.brew import Brew, How, Reading
from halfclick.model.coffee import Bag, Coffee, Lot, age_days
from halfclick.model.cup import RETAINED_G_PER_G
from halfclick.model.grinder import Zero, ZeroReason, setting_at
from halfclick.model.kit import DripperShape
from halfclick.model.recipe import Recipe
from halfclick.model.tasting import CLEARLY_THERE, Bed, Mark, Tasting
from halfclick.physics.water import boiling_point_c
from halfclick.service.advise import two_changes_allowed
from halfclick.service.cups import Cup, cups_of_coffee, of_own_size
from halfclick.service.grinders import at_zero
from halfclick.service.kitchens import KitView, boils_at_c, kit_of
from halfclick.service.trial_findings import habits_found_in, levers_shown
from halfclick.store.journal import Reader, Store
from halfclick.store.many import newest_brewed_on

# What the learner is told of a recipe's reach (our own defaults): within what the trade brews with,
# in steps that a person can tell apart or set.
RATIOS = (13.0, 18.0, 0.5)
COOLEST_C = 80.0
POUR_RATES_G_S = (2.0, 9.0, 0.5)
BLOOMS = (1.5, 4.0, 0.5)
BLOOM_TIMES_S = (20.0, 90.0, 5.0)
# A dial without an end is looked at up to twice the first setting, and so many search steps.
SEARCH_STEPS_AHEAD = 20
MOST_EARLIER = 5
MOST_CUPS = 16
LOOKED_THROUGH = 150  # of the newest brews here, for the coffees that they were of
DRIPPERS: dict[DripperShape, ask.DripperKind] = {
    DripperShape.STEEP_CONE: "steep cone",
    DripperShape.FLAT_BOTTOM: "flat bottom",
    DripperShape.WEDGE: "wedge",
    DripperShape.THICK_PAPER_CONE: "thick-paper cone",
    DripperShape.IMMERSION: "immersion",
}
SEED = 20_261_125


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question to the learner, and the brews that its history stands for, oldest first."""

    request: ask.Request
    brews: tuple[Brew, ...]


def asked_of(
    store: Store, brew: Brew, kit: KitView, tasting: Tasting | None, *, today: date
) -> Asked | None:
    """Return what the learner is asked after a cup; None where no setting tells the grind.

    Args:
        store: the journal.
        brew: the cup's brew, as it was last corrected.
        kit: what it was brewed with.
        tasting: its taste, as it is typed perhaps.
        today: tells the age of the coffee.
    """
    with store.reading() as r:
        coffee_id = r.get(Lot, r.get(Bag, brew.bag_id).lot_id).coffee_id
        older = _older_zeros(r, kit)
        every = cups_of_coffee(r, coffee_id)
        cups = _heard(kit, every, older, upto=brew)
        if not cups:
            return None
        told = _earlier(r, kit, older, (coffee_id, every), cups[0].brew.started_at)
        last = _last_step(kit, [*cups, *(cup for one in told for cup in one.cups)])
        context = _context(r, kit, cups, brew.plan, today, last)
        earlier = [_as_earlier(r, kit, one, last) for one in told]
        most = 2 if two_changes_allowed(r) else 1
        shown = levers_shown(habits_found_in(r, kit.dripper.id))
    if context is None:
        return None
    history = [
        _cup(cup.brew, tasting if cup.brew.id == brew.id else cup.tasting, kit) for cup in cups
    ]
    request = ask.Request(
        context=replace(
            context,
            earlier=[one for one in earlier if one is not None],
            shown=shown or None,
        ),
        history=history,
        changes_at_most=most,
        seed=SEED,
        id=str(brew.id),
    )
    return Asked(request=request, brews=tuple(cup.brew for cup in cups))


def newest_asked(
    store: Store, coffee_id: UUID, *, today: date
) -> tuple[Asked, KitView, list[Cup]] | None:
    """Return what the learner is asked after the newest tasted cup of a coffee, with all of them.

    None without a tasted cup, and where no setting tells its grind.
    """
    with store.reading() as r:
        cups = [cup for cup in cups_of_coffee(r, coffee_id) if cup.tasting is not None]
    if not cups:
        return None
    last = cups[-1]
    kit = kit_of(store, last.brew.kit)
    asked = asked_of(store, last.brew, kit, last.tasting, today=today)
    return None if asked is None else (asked, kit, cups)


def _heard(
    kit: KitView,
    cups: Sequence[Cup],
    older: set[UUID],
    *,
    upto: Brew | None = None,
    by_older: bool = False,
) -> list[Cup]:
    """Return the newest cups that speak for this kit, up to a brew.

    Args:
        kit: grinder and dripper.
        cups: of one coffee, oldest first.
        older: the zeros from before the burrs that are in the grinder now.
        upto: the last brew that is heard; nothing is, where it does not speak for this kit.
        by_older: hear what those older burrs ground, else what the present ones did.
    """
    found = []
    for cup in of_own_size(tuple(cups)):
        brew = cup.brew
        same_kit = brew.kit.grinder_id == kit.grinder.id and brew.kit.dripper_id == kit.dripper.id
        whole = brew.plan.setting is not None and not brew.plan.steep_s
        if same_kit and whole and (brew.kit.zero_id in older) is by_older:
            found.append(cup)
        if upto is not None and brew.id == upto.id:
            break
    is_heard = upto is None or (bool(found) and found[-1].brew.id == upto.id)
    return found[-MOST_CUPS:] if is_heard else []


def _older_zeros(r: Reader, kit: KitView) -> set[UUID]:
    """Return the zeros from before the burrs that are in the grinder now."""
    zeros = r.all(Zero, grinder_id=kit.grinder.id)
    anew = [place for place, zero in enumerate(zeros) if zero.reason is ZeroReason.NEW_BURRS]
    return {zero.id for zero in zeros[: anew[-1]]} if anew else set()


@dataclass(frozen=True, slots=True)
class _Earlier:
    """Cups of one coffee by the burrs that are in the grinder, or by older ones."""

    cups: list[Cup]
    by_older: bool


def _earlier(
    r: Reader,
    kit: KitView,
    older: set[UUID],
    coffee: tuple[UUID, Sequence[Cup]],
    begun: datetime,
) -> list[_Earlier]:
    """Return what was brewed here last before a coffee's first cup, oldest first.

    Cups of older burrs, of the coffee itself too, tell of the person and of all else of the kit.
    """
    coffee_id, own = coffee
    found: list[_Earlier] = []
    for other_id in dict.fromkeys([coffee_id, *_brewed_lately(r, kit)]):
        if len(found) >= MOST_EARLIER:
            break
        cups = own if other_id == coffee_id else cups_of_coffee(r, other_id)
        for by_older in (True,) if other_id == coffee_id else (False, True):
            heard = _heard(kit, cups, older, by_older=by_older) if older or not by_older else []
            before = [one for one in heard if one.brew.started_at < begun and one.tasting]
            if before:
                found.append(_Earlier(before, by_older))
    found = sorted(found, key=lambda one: (not one.by_older, one.cups[-1].brew.started_at))
    return found[-MOST_EARLIER:]


def _as_earlier(r: Reader, kit: KitView, one: _Earlier, last: int) -> ask.EarlierCoffee | None:
    then = one.cups[-1].brew.started_at.date()
    context = _context(r, kit, one.cups, one.cups[0].brew.plan, then, last)
    if context is None:
        return None
    history = [_cup(cup.brew, cup.tasting, kit) for cup in one.cups]
    return ask.EarlierCoffee(context=context, history=history, other_burrs=one.by_older)


def _brewed_lately(r: Reader, kit: KitView) -> list[UUID]:
    """Return the coffees of the newest brews with this grinder on this dripper, newest first."""
    ids = newest_brewed_on(
        r, grinder_id=kit.grinder.id, dripper_id=kit.dripper.id, count=LOOKED_THROUGH
    )
    bags = dict.fromkeys(r.get(Brew, brew_id).bag_id for brew_id in ids)
    lots = dict.fromkeys(r.get(Bag, bag_id).lot_id for bag_id in bags)
    return list(dict.fromkeys(r.get(Lot, lot_id).coffee_id for lot_id in lots))


def _context(
    r: Reader, kit: KitView, cups: Sequence[Cup], plan: Recipe, today: date, last_step: int
) -> ask.Context | None:
    if cups[0].brew.plan.setting is None:
        return None
    first, newest = cups[0].brew, cups[-1].brew
    bag = r.get(Bag, newest.bag_id)
    lot = r.get(Lot, bag.lot_id)
    roast = r.get(Coffee, lot.coffee_id).roast
    start = _settings(first.plan, None, kit)
    shape = kit.dripper.shape
    immersed = shape is DripperShape.IMMERSION
    poured = len(plan.pours) > 1 and not immersed
    levers = {
        "ratio": _ratios(kit, plan),
        "water_c": (COOLEST_C, max(boils_at_c(kit.kitchen), 81.0), 1.0),
    }
    if poured:
        levers |= {
            "pour_g_s": _pour_rates(plan),
            "bloom_x": BLOOMS,
            "bloom_s": BLOOM_TIMES_S,
            "swirl": (0.0, 1.0, 1.0),
        }
    if plan.temperature_c is None:
        del levers["water_c"]
    return ask.Context(
        dial=ask.Dial(min=0.0, max=float(last_step), step=1.0),
        start=start,
        dose_g=plan.dose_g,
        dripper=DRIPPERS.get(shape),
        roast=roast.value if roast is not None else None,
        days_off_roast=_age(lot, bag, today),
        strength_measured=any(cup.tasting and cup.tasting.strength for cup in cups),
        boiling_c=boils_at_c(kit.kitchen),
        levers=levers,
    )


def _ratios(kit: KitView, plan: Recipe) -> tuple[float, float, float]:
    """Return the ratios that are looked at: no more drink than the server holds."""
    low, high, step = RATIOS
    capacity_g = kit.server.capacity_g if kit.server else None
    if capacity_g is not None:
        high = min(high, capacity_g / plan.dose_g + RETAINED_G_PER_G)
    return low, max(high, low), step


def _pour_rates(plan: Recipe) -> tuple[float, float, float]:
    """Return the rates that are looked at: each pour is to end before the next one starts."""
    low, high, step = POUR_RATES_G_S
    ends_g = [0.0, *(pour.until_g for pour in plan.pours)]
    slowest = max(
        (end_g - begun_g) / (after.start_s - pour.start_s)
        for (begun_g, end_g), (pour, after) in zip(
            pairwise(ends_g), pairwise(plan.pours), strict=False
        )
    )
    if slowest <= plan.pours[-1].rate_g_s:
        low = max(low, step * ceil(slowest / step))
    return low, max(high, low), step


def _age(lot: Lot, bag: Bag, today: date) -> float | None:
    days = age_days(lot, bag, today)
    return float(days) if days is not None else None


def _last_step(kit: KitView, cups: Sequence[Cup]) -> int:
    """Return the coarsest setting that is looked at, steps from the zero in force.

    It is one for all coffees: what a step does is learned as a share of the way to it.
    """
    used = max(_steps(cup.brew.plan, kit) for cup in cups)
    wanted = max(2 * used, SEARCH_STEPS_AHEAD * kit.grinder.search_steps)
    low, high = used, wanted
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if _reaches(kit, middle) else (low, middle - 1)
    return low


def _reaches(kit: KitView, steps: int) -> bool:
    try:
        setting_at(kit.grinder, kit.zero, steps)
    except BadInput:
        return False
    return True


def _steps(plan: Recipe, kit: KitView) -> int:
    return at_zero(kit.grinder, kit.zero, plan.setting).steps if plan.setting else 0


def settings_in_steps(plan: Recipe, kit: KitView) -> ask.Settings:
    """Return a recipe as the learner has it: the grind in steps from the zero in force."""
    return _settings(plan, None, kit)


def _settings(plan: Recipe, brew: Brew | None, kit: KitView) -> ask.Settings:
    """Return a recipe as it was poured where that was measured, else as planned."""
    poured = brew.poured if brew is not None else None
    dose_g = (_told(poured.dose_g) if poured else None) or plan.dose_g
    water_g = (_told(poured.water_g) if poured else None) or plan.water_g
    bloom_g = (_told(poured.bloom_g) if poured else None) or plan.bloom_g
    water_c = (_told(poured.temperature_c) if poured else None) or plan.temperature_c
    many = len(plan.pours) > 1
    if water_c is not None:
        # As it is poured, water is no hotter than it boils; a hotter reading is a slip.
        top_c = boils_at_c(kit.kitchen)
        there_c = boiling_point_c(brew.kit.altitude_m) if brew is not None else top_c
        water_c = min(water_c, max(top_c, there_c))
    return ask.Settings(
        setting=float(_steps(plan, kit)),
        ratio=round(water_g / dose_g, 3),
        water_c=93.0 if water_c is None else water_c,
        pour_g_s=plan.pours[-1].rate_g_s,
        bloom_x=round(bloom_g / dose_g, 3) if many else 3.0,
        bloom_s=plan.bloom_s if many else 45.0,
        swirl=1.0 if plan.stir_bloom else 0.0,
    )


def _cup(brew: Brew, tasting: Tasting | None, kit: KitView) -> ask.Cup:
    poured = brew.poured
    bypass_g = poured.bypass_g.value or 0.0
    ticked = _ticked(tasting)
    return ask.Cup(
        settings=_settings(brew.plan, brew, kit),
        seen=ask.Seen(
            time_s=_told(poured.drained_s),
            beverage_g=_told(poured.beverage_g),
            strength_pct=_strength_pct(tasting, _told(poured.beverage_g), bypass_g),
            marks=None if ticked is not None else _marks(tasting),
            liking=tasting.liking if tasting else None,
            words=ticked,
            strength_felt=_felt(tasting),
            bed_even=tasting.bed is Bed.FLAT if tasting and tasting.bed else None,
            day_number=brew.started_at.date().toordinal(),
            weight=brew.weight,
        ),
    )


def _felt(tasting: Tasting | None) -> ask.StrengthFelt | None:
    return tasting.strength_felt.value if tasting and tasting.strength_felt else None


def _strength_pct(
    tasting: Tasting | None, beverage_g: float | None, bypass_g: float
) -> float | None:
    if tasting is None or tasting.strength is None or (bypass_g and not beverage_g):
        return None
    # Of what ran through the bed: the cup was made weaker afterwards.
    through = (beverage_g + bypass_g) / beverage_g if bypass_g and beverage_g else 1.0
    return 100.0 * tasting.strength * through


def _marks(tasting: Tasting | None) -> dict[str, float | None] | None:
    return {mark.value: tasting.marks.of(mark) for mark in Mark} if tasting else None


def _ticked(tasting: Tasting | None) -> list[ask.Word] | None:
    """Return the marks a person ticked or named; None where they gave numbers, or did not look.

    A tick is stored as 5, and who speaks in words alone leaves the other marks open: that they did
    not name them is told too.
    """
    if tasting is None:
        return None
    given = {mark: value for mark in Mark if (value := tasting.marks.of(mark)) is not None}
    if any(value != CLEARLY_THERE for value in given.values()) or len(given) == len(Mark):
        return None
    looked = bool(given) or bool(tasting.words) or bool(tasting.complaints)
    return [mark.value for mark in given] if looked else None


def _told(reading: Reading) -> float | None:
    told = reading.how in {How.MEASURED, How.CORRECTED}
    return reading.value if told and reading.value and reading.value > 0 else None
