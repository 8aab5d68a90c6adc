"""What slips make of a brew that is logged after the fact: readings mended, and its weight."""

import math
from collections.abc import Mapping
from dataclasses import replace

from halfclick.brewing.finish import (
    BEVERAGE_SD_G,
    LATE_CLOCK_SD_S,
    PLANNED_SD_G,
    READ_SD_G,
    UNWEIGHED,
)
from halfclick.brewing.slips import weight_of
from halfclick.errors import BadInput
from halfclick.model.brew import UNKNOWN, How, Poured, Reading, Slip, SlipKind
from halfclick.model.cup import RETAINED_G_PER_G
from halfclick.model.departures import SMALL_WATER_SHARE
from halfclick.model.recipe import Recipe

# The size a slip must have to be logged, in its own unit; those not here have none.
SIZED = {
    SlipKind.UNTARED_SERVER: "g",
    SlipKind.TARED_AFTER_BLOOM: "g",
    SlipKind.LATE_CLOCK: "s",
    SlipKind.LONG_BLOOM: "s",
    SlipKind.RINSE_LEFT: "g",
    SlipKind.BYPASS: "g",
}
# Too much and too little water are told by the water itself.
LOGGED = tuple(kind for kind in SlipKind if kind not in {SlipKind.OVERSHOOT, SlipKind.UNDERSHOOT})
_MAY_BE_UNKNOWN = frozenset({SlipKind.RINSE_LEFT})
# Water that is in the cup and went not through the bed.
_IN_CUP = (SlipKind.BYPASS, SlipKind.RINSE_LEFT)
_HIGHEST = {"g": 20_000.0, "s": 3_600.0}

Amounts = Mapping[SlipKind, float | None]


def logged_slip(kind: SlipKind, amount: float | None) -> Slip:
    """Return a slip as a person tells it; a dose that was not tared is known with the brew.

    Raises:
        BadInput: its size cannot be, or is missing.
    """
    if kind not in SIZED:
        return Slip(kind=kind)
    if amount is None and kind not in _MAY_BE_UNKNOWN:
        raise BadInput(f"slip.needs_{SIZED[kind]}")
    if amount is not None and not 0 < amount <= _HIGHEST[SIZED[kind]]:
        raise BadInput(f"slip.bad_{SIZED[kind]}", **{f"given_{SIZED[kind]}": amount})
    return Slip(kind=kind, amount=amount)


def mended(poured: Poured, slips: tuple[Slip, ...], plan: Recipe) -> Poured:
    """Return what truly was poured, where the readings were made with these slips.

    Args:
        poured: what was read, or planned where nothing was.
        slips: what slipped.
        plan: what was planned.

    Raises:
        BadInput: a scale that was too high by so much cannot have read so little.
    """
    amounts = {slip.kind: slip.amount for slip in _with_dose(slips, poured, plan)}
    added = _added(poured.bypass_g, amounts)
    drink = _beverage(poured.beverage_g, added, amounts)
    over_s = amounts.get(SlipKind.LONG_BLOOM)
    return replace(
        poured,
        beverage_g=drink,
        water_g=_water(poured, drink, amounts, plan),
        bloom_g=_bloom(poured.bloom_g, amounts, plan),
        drained_s=_drained(poured.drained_s, amounts),
        bypass_g=added,
        latest_pour_s=over_s if over_s is not None else poured.latest_pour_s,
    )


def slips_logged(slips: tuple[Slip, ...], poured: Poured, plan: Recipe) -> tuple[Slip, ...]:
    """Return the slips sized, with the one that the water tells: too much or too little."""
    slips = _with_dose(slips, poured, plan)
    told = {slip.kind for slip in slips} & {SlipKind.OVERSHOOT, SlipKind.UNDERSHOOT}
    water = poured.water_g
    if told or water.value is None or water.how in {How.PLANNED, How.ESTIMATED}:
        return slips
    over_g = water.value - plan.water_g
    if abs(over_g) <= SMALL_WATER_SHARE * plan.water_g:
        return slips
    kind = SlipKind.OVERSHOOT if over_g > 0 else SlipKind.UNDERSHOOT
    return (*slips, Slip(kind=kind, amount=abs(over_g)))


def weight_logged(slips: tuple[Slip, ...], poured: Poured, plan: Recipe) -> float:
    """Return how far a logged cup counts in advice, 0 to 1."""
    weighed = poured.water_g.how not in {How.PLANNED, How.UNKNOWN}
    return weight_of(slips, plan.water_g) * (1.0 if weighed else UNWEIGHED)


def _with_dose(slips: tuple[Slip, ...], poured: Poured, plan: Recipe) -> tuple[Slip, ...]:
    """Return the slips, a dose that was not tared as heavy as the dose of this brew."""
    dose_g = poured.dose_g.value or plan.dose_g
    return tuple(
        replace(slip, amount=dose_g) if slip.kind is SlipKind.UNTARED_DOSE else slip
        for slip in slips
    )


def _too_high_g(amounts: Amounts) -> float:
    """Return how much the scale read too high at the end, g; below zero: too low."""
    low_g = amounts.get(SlipKind.TARED_AFTER_BLOOM)
    if low_g is not None:
        return -low_g  # the tare swallowed what stood on the scale before
    # What the server was read at has the dose in it.
    high_g = amounts.get(SlipKind.UNTARED_SERVER) or amounts.get(SlipKind.UNTARED_DOSE)
    return high_g or 0.0


def _water(poured: Poured, drink: Reading, amounts: Amounts, plan: Recipe) -> Reading:
    water, high_g = poured.water_g, _too_high_g(amounts)
    if SlipKind.LOST_TOTAL in amounts:
        if drink.value is None or SlipKind.LIFTED_EARLY in amounts:
            return UNKNOWN
        dose_g = poured.dose_g.value or plan.dose_g
        water_g = drink.value + RETAINED_G_PER_G * dose_g
        return Reading(value=water_g, sd=BEVERAGE_SD_G, how=How.ESTIMATED)
    if not high_g or water.value is None:
        return water
    if water.how is not How.PLANNED:
        if water.value <= high_g:
            raise BadInput("slip.read_too_little", given_g=water.value, high_g=high_g)
        return Reading(value=water.value - high_g, sd=READ_SD_G, how=How.CORRECTED)
    if SlipKind.UNTARED_SERVER in amounts and SlipKind.TARED_AFTER_BLOOM not in amounts:
        return water  # nobody stops a pour by a number that is hundreds too high
    # Noticed in time or not: either is possible, and the record says so.
    return Reading(value=water.value - high_g / 2, sd=abs(high_g) / 2, how=How.ESTIMATED)


def _bloom(bloom: Reading, amounts: Amounts, plan: Recipe) -> Reading:
    low_g = amounts.get(SlipKind.TARED_AFTER_BLOOM)
    if low_g is not None:
        return Reading(value=low_g, sd=READ_SD_G, how=How.CORRECTED)
    if (dose_g := amounts.get(SlipKind.UNTARED_DOSE)) is not None:
        half_g = min(dose_g, plan.bloom_g) / 2
        return Reading(value=plan.bloom_g - half_g, sd=half_g, how=How.ESTIMATED)
    return bloom


def _beverage(beverage: Reading, added: Reading, amounts: Amounts) -> Reading:
    """Return what came through the bed: the cup was weighed with all that else was in it."""
    if beverage.value is None:
        return beverage
    if not added.value or added.sd is None:
        return UNKNOWN if set(_IN_CUP) & set(amounts) else beverage
    if beverage.value <= added.value:
        raise BadInput("slip.read_too_little", given_g=beverage.value, high_g=added.value)
    sd_g = math.hypot(READ_SD_G, added.sd)
    return Reading(value=beverage.value - added.value, sd=sd_g, how=How.CORRECTED)


def _drained(drained: Reading, amounts: Amounts) -> Reading:
    if {SlipKind.LOST_CLOCK, SlipKind.LIFTED_EARLY} & set(amounts):
        return UNKNOWN
    late_s = amounts.get(SlipKind.LATE_CLOCK)
    if late_s is None or drained.value is None:
        return drained
    return Reading(value=drained.value + late_s, sd=LATE_CLOCK_SD_S, how=How.CORRECTED)


def _added(planned: Reading, amounts: Amounts) -> Reading:
    """Return the water added as planned, and what a slip says of it before that."""
    if not set(_IN_CUP) & set(amounts):
        return planned
    slipped = _bypass(amounts)
    if slipped.value is None or planned.value is None:
        return slipped
    return replace(slipped, value=slipped.value + planned.value)


def _bypass(amounts: Amounts) -> Reading:
    """Return the water that is in the cup and went not through the bed."""
    kinds = [one for one in _IN_CUP if one in amounts]
    values = [amounts[one] for one in kinds]
    if not values or None in values:
        return UNKNOWN
    added_g = sum(value or 0.0 for value in values)
    if SlipKind.RINSE_LEFT in kinds:
        return Reading(value=added_g, sd=PLANNED_SD_G, how=How.ESTIMATED)
    return Reading(value=added_g, sd=READ_SD_G, how=How.MEASURED)
