"""Where a brew was not the plan: what was poured against what was asked for."""

from halfclick.model.brew import Brew, SlipKind
from halfclick.wording import Message

# Beyond these the cup tests nothing and the plan is brewed again (our own defaults, from the
# trade's habit of repeating a brew that went wrong).
WATER_SHARE = 0.05
# Within this share of the water nobody tastes it (common practice, no source).
SMALL_WATER_SHARE = 0.03
DOSE_G = 0.5
TEMPERATURE_C = 3.0
POUR_TIMING_S = 20.0


def departures(brew: Brew) -> tuple[Message, ...]:
    """Return what departed from the plan too far for the cup to count as a trial of it."""
    found: list[Message] = []
    plan, poured = brew.plan, brew.poured
    water_g = poured.water_g.value
    if water_g is not None and abs(water_g - plan.water_g) > WATER_SHARE * plan.water_g:
        found.append(Message("departed.water", {"water_g": water_g, "planned_g": plan.water_g}))
    dose_g = poured.dose_g.value
    if dose_g is not None and abs(dose_g - plan.dose_g) > DOSE_G:
        found.append(Message("departed.dose", {"dose_g": dose_g, "planned_g": plan.dose_g}))
    water_c = poured.temperature_c.value
    if (
        water_c is not None
        and plan.temperature_c is not None
        and abs(water_c - plan.temperature_c) > TEMPERATURE_C
    ):
        values = {"water_c": water_c, "planned_c": plan.temperature_c}
        found.append(Message("departed.temperature", values))
    late_s = poured.latest_pour_s
    if late_s is not None and abs(late_s) > POUR_TIMING_S:
        found.append(Message("departed.timing", {"late_s": abs(late_s)}))
    slipped = {slip.kind for slip in brew.slips}
    if SlipKind.OTHER_PAPER in slipped:
        # Papers drain a fifth apart and more (common practice, no source): another recipe.
        found.append(Message("departed.paper"))
    if {SlipKind.OVERSHOOT, SlipKind.LIFTED_EARLY} <= slipped:
        # Too much water, cut off at the planned drink: neither the plan's bed nor its time.
        found.append(Message("departed.lifted"))
    return tuple(found)
