"""A brew under way to the record of what truly happened, with its uncertainty."""

from datetime import datetime
from uuid import UUID

from halfclick.brewing.guide import Guide
from halfclick.brewing.slips import slips_of, weight_of
from halfclick.brewing.steps import TOP_UP_UNTIL_S, bloom_end_s, pours_end_s
from halfclick.model.brew import UNKNOWN, Brew, How, Poured, Reading
from halfclick.model.cup import beverage_g
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
    if water.how is How.PLANNED:
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


def _water(guide: Guide) -> Reading:
    how = How.CORRECTED if guide.offset_g else How.MEASURED
    # Once the dripper was lifted, the scale no longer reads the water that was poured.
    whole = guide.carries is ScaleCarries.DRIPPER_AND_SERVER and not guide.lifted
    if guide.final_g is not None and whole:
        return Reading(value=guide.final_g - guide.offset_g, sd=READ_SD_G, how=how)
    if guide.overshot_g is not None and guide.overshot_g > guide.plan.water_g:
        return Reading(value=guide.overshot_g, sd=READ_SD_G, how=how)
    if not guide.offset_g:
        return Reading(value=guide.plan.water_g, sd=PLANNED_SD_G, how=How.PLANNED)
    # Found only after the last pour: it stopped at the plan's weight with the dose counted in.
    late = guide.untared_s is not None and guide.untared_s >= pours_end_s(guide)
    water_g = guide.plan.water_g - guide.offset_g if late else guide.plan.water_g
    return Reading(value=water_g, sd=READ_SD_G, how=How.CORRECTED)


def _bloom(guide: Guide) -> Reading:
    planned_g = guide.plan.bloom_g
    for noted in guide.held:
        if noted.kind is not GuideEventKind.UNTARED_DOSE or noted.at_s is None:
            continue
        if noted.at_s < bloom_end_s(guide):
            break
        missing_g = min(noted.value or 0.0, planned_g)
        if noted.at_s < TOP_UP_UNTIL_S:
            # Topped up or not: either is possible, and the record says so.
            middle_g = planned_g - missing_g / 2
            return Reading(value=middle_g, sd=missing_g / 2, how=How.ESTIMATED)
        return Reading(value=planned_g - missing_g, sd=READ_SD_G, how=How.CORRECTED)
    return Reading(value=planned_g, sd=PLANNED_SD_G, how=How.PLANNED)


def _temperature(guide: Guide) -> Reading:
    if guide.plan.temperature_c is None:
        return UNKNOWN
    return Reading(value=guide.plan.temperature_c, sd=TEMPERATURE_SD_C, how=How.PLANNED)


def _beverage(guide: Guide, water: Reading) -> Reading:
    weighed_g = guide.lifted_g
    if guide.carries is ScaleCarries.SERVER_ALONE and guide.final_g is not None:
        weighed_g = guide.final_g
    if weighed_g is not None:
        return Reading(value=weighed_g, sd=READ_SD_G, how=How.MEASURED)
    if guide.lifted or water.value is None:
        return UNKNOWN
    estimate_g = beverage_g(water.value, guide.plan.dose_g)
    return Reading(value=estimate_g, sd=BEVERAGE_SD_G, how=How.ESTIMATED)


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
    gaps = [at_s - pours[n].start_s for n, at_s in guide.started_pours if n < len(pours)]
    return max(gaps, key=abs, default=None)
