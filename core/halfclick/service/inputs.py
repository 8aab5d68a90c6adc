"""What is recorded of how a cup came about, and which of it differs between two cups."""

from uuid import UUID

from halfclick.model.brew import Brew
from halfclick.model.departures import DOSE_G, TEMPERATURE_C, WATER_SHARE
from halfclick.model.kit import Dripper, Kettle, Paper, Water
from halfclick.store.journal import Reader

# Names of inputs, in the order they are told; each has a word in the catalogues.
INPUTS = (
    "bag",
    "grinder",
    "zero",
    "setting",
    "dose",
    "water_g",
    "temperature",
    "pours",
    "steep",
    "dripper",
    "paper",
    "water",
    "kettle",
    "altitude",
    "slips",
)
# Metres that move the boiling point by about a third of a degree (our own default).
ALTITUDE_M = 100.0


def changed_inputs(before: Brew, after: Brew) -> tuple[str, ...]:
    """Return what differs between two brews, as far as it is recorded, the bag's age left out.

    What was weighed counts by what was poured, within what hands and scales scatter.
    """
    one, other = before.poured, after.poured
    setting = [brew.plan.setting.steps if brew.plan.setting else None for brew in (before, after)]
    water_g = WATER_SHARE * before.plan.water_g
    differs = {
        "bag": before.bag_id != after.bag_id,
        "grinder": before.kit.grinder_id != after.kit.grinder_id,
        "zero": before.kit.grinder_id == after.kit.grinder_id
        and before.kit.zero_id != after.kit.zero_id,
        "setting": setting[0] != setting[1],
        "dose": _apart(one.dose_g.value, other.dose_g.value, DOSE_G),
        "water_g": before.plan.water_g != after.plan.water_g
        or _apart(one.water_g.value, other.water_g.value, water_g),
        "temperature": before.plan.temperature_c != after.plan.temperature_c
        or _apart(one.temperature_c.value, other.temperature_c.value, TEMPERATURE_C),
        "pours": _poured(before) != _poured(after),
        "steep": before.plan.steep_s != after.plan.steep_s,
        "dripper": before.kit.dripper_id != after.kit.dripper_id,
        "paper": before.kit.paper_id != after.kit.paper_id,
        "water": before.kit.water_id != after.kit.water_id,
        "kettle": before.kit.kettle_id != after.kit.kettle_id,
        "altitude": _apart(before.kit.altitude_m, after.kit.altitude_m, ALTITUDE_M),
        "slips": {s.kind for s in before.slips} != {s.kind for s in after.slips},
    }
    return tuple(name for name in INPUTS if differs[name])


def thing_names(r: Reader, brew: Brew) -> dict[str, str]:
    """Return the names of the kit that a brew was made with; none where it is not known."""
    ids: dict[str, tuple[type[Dripper | Paper | Water | Kettle], UUID | None]] = {
        "dripper": (Dripper, brew.kit.dripper_id),
        "paper": (Paper, brew.kit.paper_id),
        "water": (Water, brew.kit.water_id),
        "kettle": (Kettle, brew.kit.kettle_id),
    }
    names = {}
    for name, (kind, thing_id) in ids.items():
        thing = r.find(kind, thing_id) if thing_id else None
        names[name] = thing.name if thing else ""
    return names


def _apart(one: float | None, other: float | None, tolerance: float) -> bool:
    return one is not None and other is not None and abs(one - other) > tolerance


def _poured(brew: Brew) -> tuple[object, ...]:
    plan = brew.plan
    shares = tuple((p.start_s, round(p.until_g / plan.water_g, 2), p.rate_g_s) for p in plan.pours)
    return (shares, plan.stir_bloom)
