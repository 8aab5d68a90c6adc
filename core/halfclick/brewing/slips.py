"""What each slip means for this brew, said at once; and what it leaves the cup worth."""

import math

from halfclick.brewing.guide import Guide
from halfclick.brewing.steps import TOP_UP_UNTIL_S, bloom_end_s, pours_end_s
from halfclick.model.brew import Slip, SlipKind
from halfclick.model.cup import NOTICED_STRENGTH, beverage_g, usual_strength
from halfclick.model.kit import ScaleCarries
from halfclick.model.under_way import GuideEventKind
from halfclick.wording import Message

# How far a cup counts after each slip: our own defaults, no source; they multiply.
_WEIGHTS = {
    SlipKind.UNTARED_DOSE: 0.7,
    SlipKind.LATE_CLOCK: 0.9,
    SlipKind.LOST_CLOCK: 0.8,
    SlipKind.STALL: 0.7,
    SlipKind.LIFTED_EARLY: 0.7,
}
# An overshoot by its share of the water: little below 3 %, much above 8 %.
_OVERSHOOT_WEIGHTS = ((0.03, 0.9), (0.08, 0.5), (math.inf, 0.25))

_KINDS = {
    GuideEventKind.UNTARED_DOSE: SlipKind.UNTARED_DOSE,
    GuideEventKind.LATE_CLOCK: SlipKind.LATE_CLOCK,
    GuideEventKind.LOST_CLOCK: SlipKind.LOST_CLOCK,
    GuideEventKind.STALLED: SlipKind.STALL,
    GuideEventKind.LIFTED: SlipKind.LIFTED_EARLY,
}


def notices(guide: Guide, clock_s: float | None) -> tuple[Message, ...]:
    """Return what the slips so far mean for the rest of this brew."""
    found: list[Message] = []
    if guide.offset_g:
        found.append(Message("slip.untared", {"offset_g": guide.offset_g}))
        found += _untared_notices(guide, clock_s)
    if guide.overshot_g is not None:
        found += overshoot_notices(guide)
    if not guide.clock_known:
        found.append(Message("slip.lost_clock"))
    if guide.stalled_s is not None and guide.drained_s is None:
        found.append(Message("slip.stall"))
    return tuple(found)


def _untared_notices(guide: Guide, clock_s: float | None) -> list[Message]:
    """Return what a scale that reads too high has left out of the water so far."""
    untared_s, plan = guide.untared_s, guide.plan
    if untared_s is None or clock_s is None or untared_s < bloom_end_s(guide):
        return []  # known before the first pour ended: every pour counts it in
    if untared_s >= pours_end_s(guide):
        return [Message("slip.untared_after", {"water_g": plan.water_g - guide.offset_g})]
    if clock_s >= TOP_UP_UNTIL_S:
        return []
    bloom_g = max(plan.bloom_g - guide.offset_g, 0.0)
    values = {"bloom_g": bloom_g, "multiple": bloom_g / plan.dose_g}
    return [
        Message("slip.untared_bloom", values),
        Message("slip.top_up", {"missing_g": plan.bloom_g - bloom_g}),
    ]


def overshoot_notices(guide: Guide) -> list[Message]:
    """Return what an overshoot does to ratio and strength, and the ways on from it."""
    poured_g, plan = guide.overshot_g or 0.0, guide.plan
    if poured_g <= plan.water_g:
        return [Message("slip.overshoot_early", {"water_g": plan.water_g + guide.offset_g})]
    share = poured_g / plan.water_g - 1.0
    before, after = (usual_strength(plan.dose_g, water) for water in (plan.water_g, poured_g))
    found = [Message("slip.overshoot_ratio", {"ratio": poured_g / plan.dose_g})]
    if before and after:
        values = {"before": f"{before * 100:.2f}", "strength": after, "share": after / before - 1.0}
        found.append(Message("slip.overshoot_strength", values))
        noticed = before - after >= NOTICED_STRENGTH
        found.append(Message("slip.overshoot_noticed" if noticed else "slip.overshoot_accept"))
    if guide.carries is ScaleCarries.SERVER_ALONE:
        planned_g = float(round(beverage_g(plan.water_g, plan.dose_g)))
        found.append(Message("slip.overshoot_lift", {"beverage_g": planned_g}))
    if share > 0.05:
        found.append(Message("slip.overshoot_no_lever"))
    return found


def slips_of(guide: Guide) -> tuple[Slip, ...]:
    """Return the slips of a brew as its record keeps them."""
    slips = [
        Slip(kind=_KINDS[noted.kind], at_s=noted.at_s, amount=noted.value)
        for noted in guide.held
        if noted.kind in _KINDS
    ]
    if guide.overshot_g is not None and guide.overshot_g > guide.plan.water_g:
        over_g = guide.overshot_g - guide.plan.water_g
        slips.append(Slip(kind=SlipKind.OVERSHOOT, amount=over_g))
    return tuple(slips)


def weight_of(slips: tuple[Slip, ...], water_g: float) -> float:
    """Return how far a cup with these slips counts in advice, 0 to 1."""
    weight = 1.0
    for slip in slips:
        if slip.kind is SlipKind.OVERSHOOT:
            share = (slip.amount or 0.0) / water_g
            weight *= next(worth for limit, worth in _OVERSHOOT_WEIGHTS if share <= limit)
        else:
            weight *= _WEIGHTS[slip.kind]
    return weight
