"""What each slip means for this brew, said at once."""

from halfclick.brewing.cold_dripper import most_lost_c
from halfclick.brewing.guide import Guide
from halfclick.brewing.slips import (
    bypass_added_g,
    bypass_needed_g,
    long_bloom_over_s,
    missing_g,
)
from halfclick.brewing.steps import TOP_UP_UNTIL_S, bloom_end_s, pours_end_s, total_g
from halfclick.model.cup import NOTICED_STRENGTH, beverage_g, usual_strength
from halfclick.model.departures import SMALL_WATER_SHARE, WATER_SHARE
from halfclick.model.kit import ScaleCarries
from halfclick.model.planned_bypass import CODE
from halfclick.model.under_way import GuideEventKind
from halfclick.wording import Message


def notices(guide: Guide, clock_s: float | None) -> tuple[Message, ...]:
    """Return what the slips so far mean for the rest of this brew."""
    found = [
        *_scale_notices(guide, clock_s),
        *_water_notices(guide),
        *_body_notices(guide),
    ]
    if not guide.clock_known:
        found.append(Message("slip.lost_clock"))
    if guide.noted(GuideEventKind.LONG_BLOOM) is not None and guide.drained_s is None:
        found.append(Message("slip.long_bloom", {"over_s": long_bloom_over_s(guide)}))
    if guide.stalled_s is not None and guide.drained_s is None:
        found.append(Message("slip.stall"))
    return tuple(found)


def _scale_notices(guide: Guide, clock_s: float | None) -> list[Message]:
    """Return how the scale reads wrong, and what that has left out of the water so far."""
    found: list[Message] = []
    if guide.total_is_lost:
        found.append(Message("slip.lost_total"))
        known_g = guide.bodies.server_empty_g
        values = {"empty_g": known_g} if known_g is not None else {}
        code = "slip.lost_total_known" if known_g is not None else "slip.lost_total_unknown"
        found.append(Message(code, values))
    elif guide.offset_g > 0:
        found.append(Message("slip.untared", {"offset_g": guide.offset_g}))
    elif guide.offset_g < 0:
        found.append(Message("slip.tared", {"low_g": -guide.offset_g}))
    return found + _late_notices(guide, clock_s)


def _late_notices(guide: Guide, clock_s: float | None) -> list[Message]:
    """Return what pours made before the scale was known to read wrong have left."""
    tared = guide.noted(GuideEventKind.TARED_AFTER_BLOOM)
    untared_s, plan = guide.untared_s, guide.plan
    found_s = tared.at_s if tared else untared_s
    if found_s is None or clock_s is None:
        return []
    if found_s >= pours_end_s(guide):
        return [Message("slip.total_so_far", {"water_g": total_g(guide)})]
    if untared_s is None or tared or guide.noted(GuideEventKind.UNTARED_SERVER):
        return []
    if untared_s < bloom_end_s(guide) or clock_s >= TOP_UP_UNTIL_S:
        return []  # counted in by every pour, or too late to mend
    bloom_g = max(plan.bloom_g - guide.offset_g, 0.0)
    values = {"bloom_g": bloom_g, "multiple": bloom_g / plan.dose_g}
    return [
        Message("slip.untared_bloom", values),
        Message("slip.top_up", {"missing_g": plan.bloom_g - bloom_g}),
    ]


def _water_notices(guide: Guide) -> list[Message]:
    """Return what too much or too little water does, and the ways on from it."""
    poured_g, planned_g = total_g(guide), guide.plan.water_g
    over_g = guide.overshot_g
    if poured_g > planned_g:
        return _over_notices(guide, poured_g)
    if over_g is not None and guide.undershot_g is None:
        water_g = planned_g + guide.offset_g
        return [Message("slip.overshoot_early", {"water_g": water_g})]
    if poured_g < planned_g:
        return _short_notices(guide, poured_g)
    return _bypass_notices(guide)


def _over_notices(guide: Guide, poured_g: float) -> list[Message]:
    plan = guide.plan
    if poured_g <= plan.water_g * (1.0 + SMALL_WATER_SHARE):
        return [Message("slip.overshoot_small", {"over_g": poured_g - plan.water_g})]
    found = _strength_notices(guide, poured_g)
    before, after = (usual_strength(plan.dose_g, water) for water in (plan.water_g, poured_g))
    if before and after:
        noticed = before - after >= NOTICED_STRENGTH
        found.append(Message("slip.overshoot_noticed" if noticed else "slip.overshoot_accept"))
    if guide.carries is ScaleCarries.SERVER_ALONE and not guide.lifted:
        rinse = guide.noted(GuideEventKind.RINSE_LEFT)
        in_server_g = beverage_g(plan.water_g, plan.dose_g) + ((rinse and rinse.value) or 0.0)
        values = {"beverage_g": float(round(in_server_g))}
        found.append(Message("slip.overshoot_lift", values))
    if poured_g > plan.water_g * (1.0 + WATER_SHARE):
        found.append(Message("slip.overshoot_no_lever"))
    return found


def _short_notices(guide: Guide, poured_g: float) -> list[Message]:
    plan = guide.plan
    if poured_g >= plan.water_g * (1.0 - SMALL_WATER_SHARE):
        return [Message("slip.undershoot_small", {"missing_g": missing_g(guide)})]
    found = _strength_notices(guide, poured_g)
    found += _bypass_notices(guide)
    if poured_g < plan.water_g * (1.0 - WATER_SHARE):
        found.append(Message("slip.overshoot_no_lever"))
    return found


def _bypass_notices(guide: Guide) -> list[Message]:
    """Return how much water the cup needs to be as strong as planned, or what it was given."""
    added_g = bypass_added_g(guide)
    if added_g is not None:
        return [Message("slip.bypass_added", {"added_g": added_g})]
    needed_g = float(round(bypass_needed_g(guide)))
    if guide.bypass_g and not missing_g(guide):
        over = guide.drained_s is not None  # nothing is added while it still runs
        return [Message(CODE, {"bypass_g": needed_g})] if over and needed_g else []
    return [Message("slip.bypass", {"needed_g": needed_g})] if needed_g else []


def _strength_notices(guide: Guide, poured_g: float) -> list[Message]:
    plan = guide.plan
    found = [Message("slip.overshoot_ratio", {"ratio": poured_g / plan.dose_g})]
    before, after = (usual_strength(plan.dose_g, water) for water in (plan.water_g, poured_g))
    if before and after:
        values = {"before": f"{before * 100:.2f}", "strength": after, "share": after / before - 1.0}
        weaker = after < before
        code = "slip.overshoot_strength" if weaker else "slip.undershoot_strength"
        found.append(Message(code, values))
    return found


def _body_notices(guide: Guide) -> list[Message]:
    """Return what rinse water left in the server, a cold dripper or the paper does."""
    found: list[Message] = []
    rinse = guide.noted(GuideEventKind.RINSE_LEFT)
    if rinse is not None and rinse.value is not None:
        found.append(Message("slip.rinse", {"rinse_g": rinse.value}))
    elif rinse is not None:
        found.append(Message("slip.rinse_unknown"))
    if guide.noted(GuideEventKind.COLD_DRIPPER) is not None:
        found.append(_cold_notice(guide))
    papers = (GuideEventKind.PAPER_LEAKED, GuideEventKind.OTHER_PAPER)
    return found + [Message(f"slip.{one.value}") for one in papers if guide.noted(one) is not None]


def _cold_notice(guide: Guide) -> Message:
    bodies, plan = guide.bodies, guide.plan
    if bodies.material is None or bodies.dripper_g is None or plan.temperature_c is None:
        return Message("slip.cold_unknown")
    lost_c = most_lost_c(bodies.material, bodies.dripper_g, plan.water_g, plan.temperature_c)
    return Message("slip.cold", {"lost_c": float(round(lost_c))})
