"""What the brews on the kit in use have taught of it: what forecasts rest on.

Loads numpy and takes a second with many brews: not for the thread of a window.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeVar
from uuid import UUID

import numpy as np

from halfclick.model.brew import Brew, How, Reading, SlipKind
from halfclick.model.coffee import Bag, Lot
from halfclick.model.grinder import Zero, ZeroReason
from halfclick.model.kit import DrainedRule, Dripper
from halfclick.model.sieving import Sieving
from halfclick.model.tasting import Tasting
from halfclick.physics.brew.arrays import Floats
from halfclick.physics.brew.calibrate import Belief, Brewed, Drained, calibrate
from halfclick.physics.brew.gear import Gear, outlets_of, recipe_row
from halfclick.physics.brew.paper_water import WaterThrough, timed_prior
from halfclick.physics.brew.priors import MIDDLE_STEPS, PRIORS, Prior
from halfclick.physics.brew.weigh import weigh
from halfclick.physics.vessel import inside_of, outlet_m2
from halfclick.service.kettle_loss import ROOM_C, TYPICAL_COOLING, Cooling, nears_room
from halfclick.service.kitchens import KitView, boils_at_c
from halfclick.service.measured_kit import sieved_priors
from halfclick.service.paper_timing import timing_of
from halfclick.store.journal import Reader, Store
from halfclick.store.many import newest_brewed_on

F = TypeVar("F", Brew, Sieving)

# So many of the newest brews teach: hands, burrs and beans drift (our own default).
NEWEST = 12
SAMPLES = 96
DRAWN = 256
# The same chance each time, so that a moved lever shows what the lever does.
SEED = 20_261_125
TYPICAL_KETTLE_PER_S = TYPICAL_COOLING.per_s
# Heat capacity, J/(g K), by material, at about 60 degrees Celsius (handbook values, from memory).
BODY_J_G_K = {"ceramic": 0.9, "glass": 0.83, "plastic": 1.6, "steel": 0.5}
# Water along the wall where nothing holds the paper off it, over that where ribs do: it has
# nowhere to run (our own default, no source); as little known.
SMOOTH_BYPASS = 0.4
OUTLET_SD = 0.1
# The part of a dripper's body that a brew warms (our own default).
WARMED_SHARE = 0.7
# How well a reading that was not measured is known (our own default).
WIDE = 3.0
# Grounds of beliefs that are a kit's own.
WEIGHED = "mass times heat capacity"
SMOOTH_WALL = "paper lies on a smooth wall"
MEASURED_OUTLETS = "outlets counted and measured"
BURR_TRAVEL = "burr travel of a step"
DRAINED = {
    DrainedRule.BED_VISIBLE: Drained.BED_VISIBLE,
    DrainedRule.STREAM_BREAKS: Drained.STREAM_BREAKS,
    DrainedRule.LAST_DROP: Drained.LAST_DROP,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """What is believed of one kit, and of the coffees brewed on it by their place in `belief`.

    `kettle_per_s` is the rate at which its kettle nears the room, and `kettle_sd` how well the
    logarithm of that is known.
    """

    grinder_id: UUID
    dripper_id: UUID
    belief: Belief
    rows: Floats  # (samples, d) of the belief, as its brews weigh them
    coffee_ids: tuple[UUID, ...]
    kettle_per_s: float = TYPICAL_KETTLE_PER_S
    kettle_sd: float = TYPICAL_COOLING.sd

    @property
    def brews(self) -> int:
        """How many brews stand behind it."""
        return self.belief.brews

    def place_of(self, coffee_id: UUID) -> int | None:
        """Return the coffee's number in the belief; None for one not met on this kit."""
        return self.coffee_ids.index(coffee_id) if coffee_id in self.coffee_ids else None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Heard:
    """What the brews of a kit told, and the belief that follows."""

    belief: Belief
    taught: list[Brewed]
    coffee_ids: tuple[UUID, ...]
    kettle: Cooling


def learn(store: Store, kit: KitView) -> Learned:
    """Return what the newest brews with this grinder on this dripper have taught."""
    heard = _heard(store, kit, without=None)
    rng = np.random.default_rng(SEED)
    return Learned(
        grinder_id=kit.grinder.id,
        dripper_id=kit.dripper.id,
        belief=heard.belief,
        rows=weigh(heard.belief, heard.taught, rng, count=SAMPLES, drawn=DRAWN),
        coffee_ids=heard.coffee_ids,
        kettle_per_s=heard.kettle.per_s,
        kettle_sd=heard.kettle.sd,
    )


def believe(store: Store, kit: KitView, *, without: UUID | None = None) -> Belief:
    """Return the belief that `learn` rests on, in half the time: no rows of it are weighed.

    Args:
        store: the journal.
        kit: grinder, dripper and kitchen.
        without: a brew to leave out, with all that came after it: what was believed before it.
    """
    return _heard(store, kit, without=without).belief


def _heard(store: Store, kit: KitView, *, without: UUID | None) -> _Heard:
    with store.reading() as r:
        ids = newest_brewed_on(
            r, grinder_id=kit.grinder.id, dripper_id=kit.dripper.id, count=NEWEST
        )
        brews = [r.get(Brew, brew_id) for brew_id in ids]
        if without is not None:
            before = r.get(Brew, without).started_at
            brews = [brew for brew in brews if brew.started_at < before and brew.id != without]
        brews = _of_these_burrs(r, kit, brews)
        coffees = [r.get(Lot, r.get(Bag, brew.bag_id).lot_id).coffee_id for brew in brews]
        tastings = [_newest_tasting(r, brew) for brew in brews]
        sievings = _of_these_burrs(r, kit, r.all(Sieving, grinder_id=kit.grinder.id))
        believed = _with_paper(r, kit, priors_of(kit))
    kettle = nears_room(store, kit)
    coffee_ids = tuple(dict.fromkeys(coffees))
    taught = [
        brewed_of(brew, tasting, kit, coffee_ids.index(coffee), kettle.per_s)
        for brew, tasting, coffee in zip(brews, tastings, coffees, strict=True)
    ]
    taught = [one for one in taught if one.weight > 0]
    middle_steps = float(np.median([one.recipe.steps for one in taught])) if taught else 0.0
    priors = sieved_priors(believed, sievings, middle_steps or MIDDLE_STEPS)
    return _Heard(
        belief=calibrate(taught, priors=priors),
        taught=taught,
        coffee_ids=coffee_ids,
        kettle=kettle,
    )


def brewed_of(
    brew: Brew,
    tasting: Tasting | None,
    kit: KitView,
    coffee: int,
    kettle_per_s: float = TYPICAL_KETTLE_PER_S,
) -> Brewed:
    """Return a brew as it teaches: what was poured rather than planned, and what was seen."""
    poured, plan = brew.poured, brew.plan
    dose_g = poured.dose_g.value or plan.dose_g
    water_g = max(poured.water_g.value or plan.water_g, plan.pours[0].until_g + 1.0)
    gear = gear_of(kit, kettle_per_s)
    if any(slip.kind is SlipKind.COLD_DRIPPER for slip in brew.slips):
        gear = replace(gear, rinsed=False)
    row = recipe_row(plan, gear)
    scale = water_g / plan.water_g
    row = replace(row, dose_g=row.dose_g * (dose_g / plan.dose_g))
    row = replace(row, pour_mass_g=row.pour_mass_g * scale)
    if poured.temperature_c.value is not None:
        row = replace(row, kettle_c=row.kettle_c * 0.0 + poured.temperature_c.value)
    time_s, drink_g = _told(poured.drained_s), _told(poured.beverage_g)
    strength = tasting.strength if tasting is not None else None
    bypass_g = poured.bypass_g.value or 0.0
    if strength is not None and bypass_g and drink_g is not None:
        # Of what ran through the bed; the cup was made weaker afterwards.
        strength *= (drink_g + bypass_g) / drink_g
    return Brewed(
        recipe=row,
        coffee=coffee,
        drained=drained_of(brew.drained_rule),
        drained_s=time_s,
        drained_sd_s=max(poured.drained_s.sd or 0.0, 4.0),
        beverage_g=drink_g,
        beverage_sd_g=max(poured.beverage_g.sd or 0.0, 1.0),
        strength=strength,
        strength_sd=(tasting.strength_sd if tasting and tasting.strength_sd else 0.0003),
        weight=brew.weight,
    )


def gear_of(kit: KitView, kettle_per_s: float = TYPICAL_KETTLE_PER_S) -> Gear:
    """Return what a kit's brews run through.

    Args:
        kit: dripper and kitchen.
        kettle_per_s: the rate at which the kettle nears the room, 1/s.
    """
    dripper = kit.dripper
    outlets_m2 = None
    if dripper.outlets and dripper.outlet_m:
        outlets_m2 = outlet_m2(dripper.outlets, dripper.outlet_m)
    return Gear(
        shape=dripper.shape,
        inside=inside_of(dripper),
        boiling_c=boils_at_c(kit.kitchen),
        room_c=kit.kitchen.room_c if kit.kitchen.room_c is not None else ROOM_C,
        kettle_per_s=kettle_per_s,
        outlet_m2=outlets_m2,
        rinsed=kit.preheats,
    )


def drained_of(rule: DrainedRule) -> Drained:
    """Return which of the simulation's three drained times a person means."""
    return DRAINED[rule]


def priors_of(kit: KitView) -> dict[str, Prior]:
    """Return what is believed of a kit before its brews, from what is known of its parts."""
    believed = dict(PRIORS)
    dripper = kit.dripper
    if dripper.mass_g and dripper.material:
        heat_j_k = WARMED_SHARE * dripper.mass_g * BODY_J_G_K[dripper.material.value]
        believed["dripper_j_k"] = Prior(heat_j_k, 0.3, WEIGHED)
    if dripper.ribbed is False:
        usual = PRIORS["bypass_share"]
        believed["bypass_share"] = Prior(SMOOTH_BYPASS * usual.median, usual.spread, SMOOTH_WALL)
    if dripper.outlets and dripper.outlet_m:
        # What is left is how far a hole is from one with a sharp edge (our own default).
        believed["outlet_share"] = Prior(1.0, OUTLET_SD, MEASURED_OUTLETS)
    if kit.grinder.step_um:
        # The size follows the gap between the burrs, by and large.
        believed["per_step_um"] = Prior(kit.grinder.step_um, 0.5, BURR_TRAVEL)
    return believed


def _with_paper(r: Reader, kit: KitView, believed: dict[str, Prior]) -> dict[str, Prior]:
    """Return what is believed with what water timed through the paper in use says of it."""
    paper_id = kit.kitchen.paper_id
    timing = timing_of(r, paper_id) if paper_id is not None else None
    dripper = r.find(Dripper, timing.dripper_id) if timing else None
    if timing is None or dripper is None:
        return believed
    seen = WaterThrough(water_g=timing.water_g, water_c=timing.water_c, time_s=timing.time_s)
    gear = gear_of(replace(kit, dripper=dripper))
    paper = timed_prior(believed["paper_per_m"], seen, gear.inside, outlets_of(gear))
    return {**believed, "paper_per_m": paper}


def _newest_tasting(r: Reader, brew: Brew) -> Tasting | None:
    found: list[Tasting] = []
    written: Brew | None = brew
    while written is not None:
        found += r.all(Tasting, brew_id=written.id)
        written = r.get(Brew, written.corrects_id) if written.corrects_id else None
    followed = {one.corrects_id for one in found}
    standing = [one for one in found if one.id not in followed]
    return max(standing, key=lambda one: one.tasted_at, default=None)


def _told(reading: Reading) -> float | None:
    told = reading.how in {How.MEASURED, How.CORRECTED}
    return reading.value if told and reading.value and reading.value > 0 else None


def _of_these_burrs(r: Reader, kit: KitView, facts: Sequence[F]) -> list[F]:
    """Return what was brewed or sieved on the burrs that are in the grinder now."""
    zeros = r.all(Zero, grinder_id=kit.grinder.id)
    newest = max(
        (zero.found_on for zero in zeros if zero.reason is ZeroReason.NEW_BURRS), default=None
    )
    if newest is None:
        return list(facts)
    older = {zero.id for zero in zeros if zero.found_on < newest}
    return [one for one in facts if _zero_of(one) not in older]


def _zero_of(fact: Brew | Sieving) -> UUID:
    return fact.kit.zero_id if isinstance(fact, Brew) else fact.zero_id
