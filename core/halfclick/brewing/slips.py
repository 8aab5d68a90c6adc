"""The slips of a brew as its record keeps them, and what they leave the cup worth."""

import math

from halfclick.brewing.guide import Guide, Noted
from halfclick.brewing.steps import total_g
from halfclick.model.brew import Slip, SlipKind
from halfclick.model.departures import SMALL_WATER_SHARE, WATER_SHARE
from halfclick.model.under_way import GuideEventKind

# How far a cup counts after each slip: our own defaults, no source; they multiply.
_WEIGHTS = {
    SlipKind.UNTARED_DOSE: 0.7,
    SlipKind.UNTARED_SERVER: 0.6,
    SlipKind.TARED_AFTER_BLOOM: 0.7,
    SlipKind.LOST_TOTAL: 0.5,
    SlipKind.LATE_CLOCK: 0.9,
    SlipKind.LOST_CLOCK: 0.8,
    SlipKind.LONG_BLOOM: 0.9,
    SlipKind.STALL: 0.7,
    SlipKind.LIFTED_EARLY: 0.7,
    SlipKind.BYPASS: 0.7,
    SlipKind.RINSE_LEFT: 0.6,
    SlipKind.COLD_DRIPPER: 0.6,
    SlipKind.PAPER_LEAKED: 0.6,
    SlipKind.OTHER_PAPER: 0.5,
}
# Too much or too little water, by its share of the plan's.
_WATER_WEIGHTS = ((SMALL_WATER_SHARE, 0.9), (WATER_SHARE, 0.6), (math.inf, 0.3))
_BY_WATER = frozenset({SlipKind.OVERSHOOT, SlipKind.UNDERSHOOT})

_KINDS = {
    GuideEventKind.UNTARED_DOSE: SlipKind.UNTARED_DOSE,
    GuideEventKind.UNTARED_SERVER: SlipKind.UNTARED_SERVER,
    GuideEventKind.TARED_AFTER_BLOOM: SlipKind.TARED_AFTER_BLOOM,
    GuideEventKind.LOST_TOTAL: SlipKind.LOST_TOTAL,
    GuideEventKind.LATE_CLOCK: SlipKind.LATE_CLOCK,
    GuideEventKind.LOST_CLOCK: SlipKind.LOST_CLOCK,
    GuideEventKind.LONG_BLOOM: SlipKind.LONG_BLOOM,
    GuideEventKind.STALLED: SlipKind.STALL,
    GuideEventKind.LIFTED: SlipKind.LIFTED_EARLY,
    GuideEventKind.BYPASS: SlipKind.BYPASS,
    GuideEventKind.RINSE_LEFT: SlipKind.RINSE_LEFT,
    GuideEventKind.COLD_DRIPPER: SlipKind.COLD_DRIPPER,
    GuideEventKind.PAPER_LEAKED: SlipKind.PAPER_LEAKED,
    GuideEventKind.OTHER_PAPER: SlipKind.OTHER_PAPER,
}


def slips_of(guide: Guide) -> tuple[Slip, ...]:
    """Return the slips of a brew as its record keeps them."""
    slips = [
        Slip(kind=_KINDS[noted.kind], at_s=noted.at_s, amount=_amount(guide, noted))
        for noted in guide.held
        if noted.kind in _KINDS and not _was_planned(guide, noted)
    ]
    planned_g = guide.plan.water_g
    over_g = _over_g(guide)
    if over_g:
        slips.append(Slip(kind=SlipKind.OVERSHOOT, amount=over_g))
    elif guide.undershot_g is not None and guide.undershot_g < planned_g:
        slips.append(Slip(kind=SlipKind.UNDERSHOOT, amount=planned_g - guide.undershot_g))
    return tuple(slips)


def _was_planned(guide: Guide, noted: Noted) -> bool:
    """Return whether water added to the cup is what was planned to be, and so no slip."""
    if noted.kind is not GuideEventKind.BYPASS or not guide.bypass_g:
        return False
    off_g = abs((bypass_added_g(guide) or 0.0) - guide.bypass_g)
    return off_g <= SMALL_WATER_SHARE * (guide.plan.water_g + guide.bypass_g)


def _over_g(guide: Guide) -> float:
    """Return how much too much went in, as it was noted or as the end showed, g."""
    planned_g, final_g = guide.plan.water_g, guide.final_water_g
    noted_g = max((guide.overshot_g or 0.0) - planned_g, 0.0)
    if noted_g or final_g is None or final_g <= planned_g * (1.0 + SMALL_WATER_SHARE):
        return noted_g
    return final_g - planned_g


def weight_of(slips: tuple[Slip, ...], water_g: float) -> float:
    """Return how far a cup with these slips counts in advice, 0 to 1.

    Args:
        slips: what slipped.
        water_g: the water that was planned, g.
    """
    weight = 1.0
    for slip in slips:
        if slip.kind in _BY_WATER:
            share = (slip.amount or 0.0) / water_g
            weight *= next(worth for limit, worth in _WATER_WEIGHTS if share <= limit)
        else:
            weight *= _WEIGHTS[slip.kind]
    return weight


def missing_g(guide: Guide) -> float:
    """Return how much less water went in than was planned, g; 0 where it was enough."""
    return max(guide.plan.water_g - total_g(guide), 0.0)


def bypass_needed_g(guide: Guide) -> float:
    """Return the water that brings the cup to the planned strength, g; what was planned included.

    What dissolved is taken as the plan's: strength x drink is kept, so the cup needs the water
    that is missing (mass balance). Rinse water that was left in the server is in the cup already.
    """
    rinse = guide.noted(GuideEventKind.RINSE_LEFT)
    rinse_g = (rinse.value or 0.0) if rinse else 0.0
    return max(guide.bypass_g + missing_g(guide) - rinse_g, 0.0)


def bypass_added_g(guide: Guide) -> float | None:
    """Return the water that was added to the cup, g; what was advised where it was not weighed."""
    noted = guide.noted(GuideEventKind.BYPASS)
    if noted is None:
        return None
    return bypass_needed_g(guide) if noted.value is None else noted.value


def long_bloom_over_s(guide: Guide) -> float:
    """Return how much longer the bloom lasted than planned, s."""
    return max((guide.long_bloom_s or 0.0) - guide.plan.bloom_s, 0.0)


def _amount(guide: Guide, noted: Noted) -> float | None:
    match noted.kind:
        case GuideEventKind.TARED_AFTER_BLOOM:
            return max(-guide.offset_g, 0.0)
        case GuideEventKind.BYPASS:
            return max((bypass_added_g(guide) or 0.0) - guide.bypass_g, 0.0)
        case GuideEventKind.LONG_BLOOM:
            return long_bloom_over_s(guide)
        case _:
            return noted.value
