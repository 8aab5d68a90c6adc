"""A brew under way to the record of what truly happened, with its uncertainty."""

import math
from datetime import datetime
from uuid import UUID

from halfclick.brewing.guide import Guide
from halfclick.brewing.slips import bypass_added_g, long_bloom_over_s, slips_of, weight_of
from halfclick.brewing.steps import TOP_UP_UNTIL_S, bloom_end_s, pours_end_s, total_g
from halfclick.model.brew import UNKNOWN, Brew, How, Poured, Reading
from halfclick.model.cup import RETAINED_G_PER_G, beverage_g
from halfclick.model.kit import ScaleCarries
from halfclick.model.under_way import GuideEventKind, UnderWay

# Standard deviations of what was read or only planned: our own defaults. Scales show 0.1 g;
# hands stop a pour within a gram or two; an unweighed plan is kept within a few.
DOSE_SD_G = 0.1
READ_SD_G = 1.0
PLANNED_SD_G = 5.0
BEVERAGE_SD_G = 8.0
CLOCK_SD_S = 2.0
LATE_CLOCK_SD_S = 5.0
TEMPERATURE_SD_C = 1.0
# Nothing weighed at the end takes a little off what the cup is worth.
UNWEIGHED = 0.95


def brew_from(under_way: UnderWay, guide: Guide, brew_id: UUID, now: datetime) -> Brew:
    """Return the record of a brew: measured where it was measured, planned where it was not."""
    slips = slips_of(guide)
    water = _water(guide)
    weight = weight_of(slips, guide.plan.water_g)
    if water.how in {How.PLANNED, How.UNKNOWN}:
        weight *= UNWEIGHED
    return Brew(
        id=brew_id,
        bag_id=under_way.bag_id,
        kit=under_way.kit,
        started_at=guide.started_at or now,
        mode=under_way.mode,
        plan=under_way.plan,
        poured=Poured(
            dose_g=Reading(value=guide.plan.dose_g, sd=DOSE_SD_G, how=How.PLANNED),
            water_g=water,
            bloom_g=_bloom(guide),
            temperature_c=_temperature(guide),
            beverage_g=_beverage(guide, water),
            drained_s=_drained(guide),
            bypass_g=_bypass(guide),
            latest_pour_s=_latest_pour_s(guide),
        ),
        drained_rule=under_way.drained_rule,
        slips=slips,
        weight=weight,
        parent_id=under_way.parent_id,
        changes=under_way.changes,
        proposal_id=under_way.proposal_id,
        why=under_way.why,
    )


def is_odd_reading(guide: Guide, reading_g: float) -> bool:
    """Return whether a final reading is far from what the plan and the slips lead to."""
    water_g = max(total_g(guide), guide.plan.water_g)
    if guide.carries is ScaleCarries.SERVER_ALONE or guide.total_is_lost:
        drink_g = reading_g - _empty_g(guide) - _added_g(guide)
        return not 0.3 * water_g <= drink_g <= 1.2 * water_g
    return abs(reading_g - guide.offset_g - water_g) > 0.3 * water_g


def _water(guide: Guide) -> Reading:
    if guide.total_is_lost:
        return _water_without_total(guide)
    if guide.final_water_g is not None:
        return _read(guide, guide.final_water_g)
    return _water_at_last_reading(guide) or _water_as_led(guide)


def _water_without_total(guide: Guide) -> Reading:
    """Return the water of a brew whose scale lost its total, by what the server held."""
    before = _water_at_last_reading(guide)
    if before is not None:
        return before
    drink_g = _in_server_g(guide)
    if drink_g is not None and not guide.lifted:
        water_g = drink_g + RETAINED_G_PER_G * guide.plan.dose_g
        return Reading(value=water_g, sd=BEVERAGE_SD_G, how=How.ESTIMATED)
    lost = guide.noted(GuideEventKind.LOST_TOTAL)
    if lost is not None and lost.at_s is not None and lost.at_s >= pours_end_s(guide):
        return _water_as_led(guide)  # the last pour was stopped by a scale that still read
    return UNKNOWN


def _water_at_last_reading(guide: Guide) -> Reading | None:
    if guide.overshot_g is not None and guide.overshot_g > guide.plan.water_g:
        return _read(guide, guide.overshot_g)
    return _read(guide, guide.undershot_g) if guide.undershot_g is not None else None


def _water_as_led(guide: Guide) -> Reading:
    """Return the water of pours that were stopped where the guide said."""
    if not guide.offset_g:
        return Reading(value=guide.plan.water_g, sd=PLANNED_SD_G, how=How.PLANNED)
    return _read(guide, total_g(guide))


def _read(guide: Guide, water_g: float) -> Reading:
    server = guide.noted(GuideEventKind.UNTARED_SERVER)
    # The first water was poured by pace alone where the server was found on the scale later.
    by_pace = server is not None and server.at_s is not None
    return Reading(
        value=water_g,
        sd=PLANNED_SD_G if by_pace else READ_SD_G,
        how=How.CORRECTED if guide.offset_g else How.MEASURED,
    )


def _bloom(guide: Guide) -> Reading:
    planned_g = guide.plan.bloom_g
    dose, tared = (
        guide.noted(kind)
        for kind in (GuideEventKind.UNTARED_DOSE, GuideEventKind.TARED_AFTER_BLOOM)
    )
    if tared is not None:
        bloom_g = max(-guide.offset_g, 0.0)
    elif guide.overshot_bloom_g is not None:
        return _read(guide, guide.overshot_bloom_g)
    elif dose is None or dose.at_s is None or dose.at_s < bloom_end_s(guide):
        return Reading(value=planned_g, sd=PLANNED_SD_G, how=How.PLANNED)
    else:
        bloom_g = max(planned_g - (dose.value or 0.0), 0.0)
    if dose is not None and dose.at_s is not None and dose.at_s < TOP_UP_UNTIL_S:
        # Topped up or not: either is possible, and the record says so.
        short_g = max(planned_g - bloom_g, 0.0)
        if short_g:
            middle_g = planned_g - short_g / 2
            return Reading(value=middle_g, sd=short_g / 2, how=How.ESTIMATED)
    return Reading(value=bloom_g, sd=READ_SD_G, how=How.CORRECTED)


def _temperature(guide: Guide) -> Reading:
    if guide.plan.temperature_c is None:
        return UNKNOWN
    return Reading(value=guide.plan.temperature_c, sd=TEMPERATURE_SD_C, how=How.PLANNED)


def _beverage(guide: Guide, water: Reading) -> Reading:
    weighed_g = _in_server_g(guide)
    if weighed_g is not None:
        rinsed = guide.noted(GuideEventKind.RINSE_LEFT) is not None
        if not (_server_was_weighed(guide) and _was_added(guide)):
            how = How.CORRECTED if rinsed else How.MEASURED
            return Reading(value=weighed_g, sd=READ_SD_G, how=how)
        sd_g = math.hypot(READ_SD_G, _bypass(guide).sd or PLANNED_SD_G)
        return Reading(value=weighed_g, sd=sd_g, how=How.CORRECTED)
    if guide.lifted or water.value is None:
        return UNKNOWN
    estimate_g = beverage_g(water.value, guide.plan.dose_g)
    return Reading(value=estimate_g, sd=BEVERAGE_SD_G, how=How.ESTIMATED)


def _in_server_g(guide: Guide) -> float | None:
    """Return what came through the bed, as the server was weighed, g; None where it was not."""
    held_g = guide.lifted_g
    if guide.final_g is not None and _server_was_weighed(guide):
        held_g = guide.final_g - _empty_g(guide) - _added_g(guide)
    rinse = guide.noted(GuideEventKind.RINSE_LEFT)
    if held_g is None or rinse is None:
        return held_g if held_g is None else max(held_g, 0.0)
    # Rinse water of unknown weight leaves the drink unknown too.
    return None if rinse.value is None else max(held_g - rinse.value, 0.0)


def _server_was_weighed(guide: Guide) -> bool:
    """Return whether the last reading is of the server, and not of the dripper with it."""
    alone = guide.total_is_lost or guide.carries is ScaleCarries.SERVER_ALONE
    return guide.final_g is not None and alone


def _empty_g(guide: Guide) -> float:
    """Return what the server's own weight adds to a final reading, g."""
    return (guide.bodies.server_empty_g or 0.0) if guide.total_is_lost else 0.0


def _added_g(guide: Guide) -> float:
    """Return the water that was in the drink as it was weighed, and not through the bed, g."""
    return (bypass_added_g(guide) or 0.0) if _was_added(guide) else 0.0


def _was_added(guide: Guide) -> bool:
    """Return whether water was added to the drink before the last reading, or before now."""
    kinds = [one.kind for one in guide.held]
    if GuideEventKind.FINAL_READING in kinds:
        kinds = kinds[: kinds.index(GuideEventKind.FINAL_READING)]
    return GuideEventKind.BYPASS in kinds


def _bypass(guide: Guide) -> Reading:
    """Return the water that is in the cup and went not through the bed."""
    added_g = bypass_added_g(guide)
    added, rinse = guide.noted(GuideEventKind.BYPASS), guide.noted(GuideEventKind.RINSE_LEFT)
    rinse_g = rinse.value if rinse is not None else None
    nothing = added_g is None and rinse is None and not guide.bypass_g
    if nothing or (rinse is not None and rinse_g is None):
        return UNKNOWN
    value_g = (added_g or 0.0) + (rinse_g or 0.0)
    if added is None:
        value_g += guide.bypass_g
    if (added is None and guide.bypass_g) or (added is not None and added.value is None):
        return Reading(value=value_g, sd=PLANNED_SD_G, how=How.PLANNED)
    # Rinse water is judged by eye or by what is poured off.
    sd_g = PLANNED_SD_G if rinse is not None else READ_SD_G
    return Reading(value=value_g, sd=sd_g, how=How.ESTIMATED if rinse else How.MEASURED)


def _drained(guide: Guide) -> Reading:
    if guide.drained_s is None or not guide.clock_known or guide.lifted:
        return UNKNOWN
    late = any(noted.kind is GuideEventKind.LATE_CLOCK for noted in guide.held)
    return Reading(
        value=guide.drained_s,
        sd=LATE_CLOCK_SD_S if late else CLOCK_SD_S,
        how=How.CORRECTED if late else How.MEASURED,
    )


def _latest_pour_s(guide: Guide) -> float | None:
    pours = guide.plan.pours
    gaps = [long_bloom_over_s(guide)] if guide.long_bloom_s is not None else []
    if guide.clock_known:
        gaps += [at_s - pours[n].start_s for n, at_s in guide.started_pours if n < len(pours)]
    return max(gaps, key=abs, default=None)
