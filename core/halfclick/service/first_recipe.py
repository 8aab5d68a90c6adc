"""The first recipe of a new coffee: own nearest cups, else the label, my usual, or priors."""

import math
from dataclasses import dataclass, replace
from datetime import date
from statistics import median
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.advice import Evidence
from halfclick.model.brew import Brew
from halfclick.model.coffee import Bag, Coffee, Lot, PrintedRecipe, Roast
from halfclick.model.grinder import Setting, setting_at
from halfclick.model.kit import DripperShape
from halfclick.model.recipe import BLOOM_MULTIPLE, BLOOM_S, Recipe, even_pours
from halfclick.service.grinders import same_burrs
from halfclick.service.kitchens import KitView, boils_at_c, kit_in_use
from halfclick.service.likeness import Likeness, likeness_of
from halfclick.service.priors import MEDIUM_TRAVEL_UM, prior_of
from halfclick.store.good_cups import newest_good
from halfclick.store.journal import Reader, Store
from halfclick.wording import Message

NEAREST = 2
# A coffee less alike than this teaches nothing about the first cup (our own default).
LEAST_LIKENESS = 0.5
BAND_STEPS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Reasoned:
    """One number of a recipe: where it comes from, what stands behind it, and its band."""

    part: str
    message: Message
    evidence: Evidence
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Neighbour:
    """One of the person's own coffees that is like the new one, and its newest good cup."""

    coffee: Coffee
    brew: Brew
    likeness: Likeness


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstRecipe:
    """A start, with a reason for each number; a recipe without a setting waits for the person's."""

    recipe: Recipe
    reasons: tuple[Reasoned, ...]
    neighbours: tuple[Neighbour, ...]


def first_recipe(store: Store, bag_id: UUID, *, today: date) -> FirstRecipe:
    """Return a first recipe for a bag on the kit in use.

    Raises:
        ValueError: there is no kit yet.
    """
    kit = kit_in_use(store)
    if kit is None:
        raise ValueError("no kit yet")
    with store.reading() as r:
        bag = r.get(Bag, bag_id)
        coffee = r.get(Coffee, r.get(Lot, bag.lot_id).coffee_id)
        neighbours = _nearest(r, coffee, kit)
        usual = _usual(r, coffee, kit)
        spoken = [one.brew for one in neighbours] + ([usual[1]] if usual else [])
        new_burrs = {
            brew.id for brew in spoken if not same_burrs(r, kit.grinder.id, brew.kit.zero_id)
        }
    if neighbours:
        start = _from_neighbours(neighbours, kit, new_burrs)
    elif bag.printed is not None and (bag.printed.water_g or bag.printed.dose_g):
        start = _from_label(bag.printed, coffee, kit)
    elif usual is not None:
        start = _from_usual(*usual, kit, new_burrs)
    else:
        start = _from_priors(coffee, kit)
    return _below_boiling(start, kit)


def _nearest(r: Reader, coffee: Coffee, kit: KitView) -> tuple[Neighbour, ...]:
    """Return the coffees most like a new one that have a good cup on this grinder and dripper."""
    likeness = {
        other.id: likeness_of(coffee, other) for other in r.all(Coffee) if other.id != coffee.id
    }
    shares = sorted({like.share for like in likeness.values()}, reverse=True)
    found: list[Neighbour] = []
    for share in shares:
        # Of coffees that are as much alike, the one brewed last comes first.
        alike = {id_ for id_, like in likeness.items() if like.share == share}
        while share >= LEAST_LIKENESS and len(found) < NEAREST:
            brew_id = newest_good(r, kit.grinder.id, kit.dripper.id, of=alike)
            if brew_id is None:
                break
            brew = r.get(Brew, brew_id)
            other = _coffee_of(r, brew)
            alike.remove(other.id)
            found.append(Neighbour(coffee=other, brew=brew, likeness=likeness[other.id]))
    return tuple(found)


def _usual(r: Reader, coffee: Coffee, kit: KitView) -> tuple[Coffee, Brew] | None:
    """Return the newest good cup of any other coffee on this grinder and dripper."""
    brew_id = newest_good(r, kit.grinder.id, kit.dripper.id, but=coffee.id)
    if brew_id is None:
        return None
    brew = r.get(Brew, brew_id)
    return _coffee_of(r, brew), brew


def _coffee_of(r: Reader, brew: Brew) -> Coffee:
    return r.get(Coffee, r.get(Lot, r.get(Bag, brew.bag_id).lot_id).coffee_id)


def _from_neighbours(
    neighbours: tuple[Neighbour, ...], kit: KitView, new_burrs: set[UUID]
) -> FirstRecipe:
    nearest = neighbours[0].brew.plan
    # Steps counted with other burrs say nothing of these.
    steps = [
        one.brew.plan.setting.steps
        for one in neighbours
        if one.brew.plan.setting is not None and one.brew.id not in new_burrs
    ]
    middle = round(median(steps)) if steps else 0
    # After a new zero the dial may no longer reach what was set before.
    setting = _reached(kit, middle) if steps else None
    recipe = replace(nearest, setting=setting)
    name = neighbours[0].coffee.name
    if setting is None:
        grind = _no_setting(neighbours[0].coffee, neighbours[0].brew, new_burrs)
    else:
        spread = max(BAND_STEPS, *(abs(step - middle) for step in steps))
        values = {"setting": setting.text, "spread": spread, "count": len(steps)}
        grind = Reasoned(
            part="grind",
            message=Message("first.grind_own", values),
            evidence=Evidence.MEASURED_HERE,
            low=float(middle - spread),
            high=float(middle + spread),
        )
    others = tuple(
        Reasoned(
            part=part,
            message=Message(f"first.{part}_own", {"name": name}),
            evidence=Evidence.MEASURED_HERE,
        )
        for part in ("dose", "ratio", "temperature", "bloom", "pours")
        if part != "temperature" or recipe.temperature_c is not None
    )
    return FirstRecipe(recipe=recipe, reasons=(grind, *others), neighbours=neighbours)


def _from_label(printed: PrintedRecipe, coffee: Coffee, kit: KitView) -> FirstRecipe:
    start = _from_priors(coffee, kit)
    ratio = start.recipe.ratio
    if printed.dose_g and printed.water_g:
        dose_g, water_g = printed.dose_g, printed.water_g
    elif printed.dose_g:
        dose_g, water_g = printed.dose_g, float(round(printed.dose_g * ratio))
    else:
        water_g = printed.water_g or start.recipe.water_g
        dose_g = round(water_g / ratio, 1)
    recipe = replace(
        start.recipe,
        dose_g=dose_g,
        water_g=water_g,
        pours=even_pours(dose_g, water_g, count=len(start.recipe.pours) - 1),
        temperature_c=printed.temperature_c or start.recipe.temperature_c,
    )
    reasons = tuple(_label_reason(one, printed, recipe) for one in start.reasons)
    return FirstRecipe(recipe=recipe, reasons=reasons, neighbours=())


def _label_reason(typical: Reasoned, printed: PrintedRecipe, recipe: Recipe) -> Reasoned:
    """Return why a number is as it is: the label tells it, or it is typical."""
    told = {
        "dose": printed.dose_g is not None,
        "ratio": printed.dose_g is not None and printed.water_g is not None,
        "temperature": printed.temperature_c is not None,
    }
    if told.get(typical.part, False):
        message = Message(f"first.{typical.part}_label")
        return Reasoned(part=typical.part, message=message, evidence=Evidence.FOLKLORE)
    if typical.part == "dose":
        values = {"dose_g": recipe.dose_g, "ratio": recipe.ratio}
        return replace(typical, message=Message("first.dose_to_water", values))
    return typical


def _from_usual(coffee: Coffee, brew: Brew, kit: KitView, new_burrs: set[UUID]) -> FirstRecipe:
    plan = brew.plan
    if plan.setting is not None:
        other_burrs = brew.id in new_burrs
        setting = None if other_burrs else _reached(kit, plan.setting.steps)
        plan = replace(plan, setting=setting)
    usual = tuple(
        Reasoned(
            part=part,
            message=Message("first.usual", {"name": coffee.name}),
            evidence=Evidence.MEASURED_HERE,
        )
        for part in ("dose", "ratio", "temperature", "grind", "bloom", "pours")
        if part != "grind" or plan.setting is not None
        if part != "temperature" or plan.temperature_c is not None
    )
    missing = () if plan.setting is not None else (_no_setting(coffee, brew, new_burrs),)
    return FirstRecipe(recipe=plan, reasons=usual + missing, neighbours=())


def _no_setting(coffee: Coffee, brew: Brew, new_burrs: set[UUID]) -> Reasoned:
    """Return why no setting is offered, though there is a cup to start from."""
    if brew.plan.setting is None:
        message = Message("first.grind_unknown")
    elif brew.id in new_burrs:
        message = Message("first.grind_new_burrs", {"name": coffee.name})
    else:
        message = Message("first.grind_past_dial", {"name": coffee.name})
    return Reasoned(part="grind", message=message, evidence=Evidence.FOLKLORE)


def _from_priors(coffee: Coffee, kit: KitView) -> FirstRecipe:
    prior = prior_of(coffee, kit.dripper.shape)
    steep_s = prior.steep_s if kit.dripper.shape is DripperShape.IMMERSION else None
    recipe = Recipe(
        dose_g=prior.dose_g,
        water_g=prior.water_g,
        pours=even_pours(prior.dose_g, prior.water_g, count=prior.pours),
        temperature_c=prior.temperature_c,
        steep_s=steep_s,
    )
    warmth = "gentler" if prior.gentler else (coffee.roast or Roast.MEDIUM).value
    reasons = (
        Reasoned(
            part="dose",
            message=Message(f"first.dose_{kit.dripper.shape.value}", {"dose_g": prior.dose_g}),
            evidence=Evidence.CONSENSUS,
        ),
        Reasoned(
            part="ratio",
            message=Message("first.ratio_prior", {"ratio": recipe.ratio}),
            evidence=Evidence.CONTESTED,
            low=15.0,
            high=17.0,
        ),
        Reasoned(
            part="temperature",
            message=Message(f"first.temperature_{warmth}", {"water_c": prior.temperature_c}),
            evidence=Evidence.CONTESTED,
            low=prior.low_c,
            high=prior.high_c,
        ),
        Reasoned(part="grind", message=_where_to_grind(kit), evidence=Evidence.FOLKLORE),
        Reasoned(
            part="bloom",
            message=Message("first.bloom_prior", {"multiple": BLOOM_MULTIPLE, "bloom_s": BLOOM_S}),
            evidence=Evidence.CONTESTED,
            low=2.0,
            high=4.0,
        ),
        Reasoned(
            part="pours",
            message=Message("first.pours_prior", {"count": prior.pours}),
            evidence=Evidence.CONSENSUS,
        ),
    )
    return FirstRecipe(recipe=recipe, reasons=reasons, neighbours=())


def _where_to_grind(kit: KitView) -> Message:
    """Return where a grinder that nobody brewed with starts: by burr travel where it is known."""
    travel_um = kit.grinder.step_um
    start = _reached(kit, round(MEDIUM_TRAVEL_UM / travel_um)) if travel_um else None
    if start is None:
        return Message("first.grind_unknown")
    return Message("first.grind_travel", {"setting": start.text, "travel_um": MEDIUM_TRAVEL_UM})


def _below_boiling(start: FirstRecipe, kit: KitView) -> FirstRecipe:
    top_c = boils_at_c(kit.kitchen)
    wanted_c = start.recipe.temperature_c
    if wanted_c is None or wanted_c <= top_c:
        return start
    capped_c = math.floor(top_c * 2) / 2
    message = Message("first.temperature_capped", {"water_c": capped_c, "wanted_c": wanted_c})
    reasons = tuple(
        replace(one, message=message, evidence=Evidence.STANDARD, high=capped_c)
        if one.part == "temperature"
        else one
        for one in start.reasons
    )
    return replace(start, recipe=replace(start.recipe, temperature_c=capped_c), reasons=reasons)


def _reached(kit: KitView, steps: int) -> Setting | None:
    try:
        return setting_at(kit.grinder, kit.zero, steps)
    except BadInput:
        return None
