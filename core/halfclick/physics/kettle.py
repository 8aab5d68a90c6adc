"""A kettle off the heat: how it cools, what one thermometer reading tells, how long to wait.

Lumped cooling: T(t) = Ta + (T0 - Ta) exp(-UA t / C). No measured time constant of a kettle was
found in print; the priors of UA are an engineering estimate, not measured.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from halfclick.physics.liquid import heat_capacity_j_kg_k

# Width of the band around a prediction, in standard deviations (our own default: 95 %).
BAND_SDS = 1.96


class Body(StrEnum):
    """What a kettle is made of."""

    STEEL = "steel"
    GLASS = "glass"
    COPPER = "copper"
    ALUMINIUM = "aluminium"
    ENAMEL = "enamel"
    CERAMIC = "ceramic"
    PLASTIC = "plastic"


# Specific heats near 60 degrees Celsius, J/kg/K (handbook values, from memory).
BODY_J_KG_K = {
    Body.STEEL: 500.0,
    Body.GLASS: 830.0,
    Body.COPPER: 387.0,
    Body.ALUMINIUM: 910.0,
    Body.ENAMEL: 490.0,
    Body.CERAMIC: 900.0,
    Body.PLASTIC: 1600.0,
}
# A kettle whose mass nobody weighed (our own default; about 0.45 kg of steel).
TYPICAL_BODY_KG = 0.45


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """What is believed of a kettle's heat loss: UA in W/K as a log-normal.

    `readings` is how many readings it was learned from.
    """

    ln_ua: float
    sd: float
    readings: int = 0

    def __post_init__(self) -> None:
        if self.sd <= 0:
            raise ValueError(f"sd must be positive, got {self.sd}")

    @property
    def ua_w_k(self) -> float:
        """The median heat loss, W/K."""
        return math.exp(self.ln_ua)


# Lid on: 0.7 to 1.0 W/K, taken as one standard deviation either way of their geometric middle
# (engineering estimate, not measured). Lid off: 1.3 to 2.8 K/min near boiling, evaporation
# included, which for a litre in 0.45 kg of steel (4435 J/K), 75 K above the room, is 1.28 to
# 2.76 W/K (engineering estimate, not measured). The lid-off value belongs to water near boiling:
# evaporation falls faster than the lumped law as it cools.
LID_ON = Loss(ln_ua=math.log(math.sqrt(0.7 * 1.0)), sd=math.log(1.0 / 0.7) / 2)
LID_OFF = Loss(ln_ua=math.log(math.sqrt(1.28 * 2.76)), sd=math.log(2.76 / 1.28) / 2)
# The fill that both speak of.
PRIOR_WATER_KG = 1.0
# How UA changes with the fill is unknown. Taken here as UA ~ fill^0.25 (own default): the top and
# the bottom lose as before, only the wetted wall shrinks; the further away from the fill of the
# readings, the wider, by half the logarithm of the ratio of fills.
FILL_POWER = 0.25
FILL_SPREAD = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One thermometer reading after a timed wait off the heat; `sd_c` is the thermometer's."""

    start_c: float
    end_c: float
    wait_s: float
    room_c: float
    heat_j_k: float
    sd_c: float = 0.5

    def __post_init__(self) -> None:
        if self.wait_s <= 0 or self.heat_j_k <= 0 or self.sd_c <= 0:
            raise ValueError(f"impossible reading: {self}")
        if self.start_c <= self.room_c:
            raise ValueError(f"a kettle no warmer than the room tells nothing: {self}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """How long to wait off the heat, s: a middle and its band.

    `pour_at_once` where the target is at or above what the water starts from; `never` where the
    target is at or below the room. `start_c` is the temperature the wait counts from.
    """

    middle_s: float
    low_s: float
    high_s: float
    start_c: float
    pour_at_once: bool = False
    never: bool = False


def heat_j_k(water_kg: float, body_kg: float = TYPICAL_BODY_KG, body: Body = Body.STEEL) -> float:
    """Return the heat capacity of a kettle and its water, J/K.

    Raises:
        ValueError: there is no water, or the body weighs less than nothing.
    """
    if water_kg <= 0 or body_kg < 0:
        raise ValueError(f"impossible kettle: {water_kg=} {body_kg=}")
    return water_kg * heat_capacity_j_kg_k(90.0) + body_kg * BODY_J_KG_K[body]


def cooled_c(start_c: float, room_c: float, wait_s: float, ua_w_k: float, heat: float) -> float:
    """Return the temperature after a wait, degrees Celsius; `heat` in J/K."""
    return room_c + (start_c - room_c) * math.exp(-ua_w_k * wait_s / heat)


def prior_of(*, lid_on: bool) -> Loss:
    """Return what is believed of a kettle's loss before any reading."""
    return LID_ON if lid_on else LID_OFF


def wait_for(loss: Loss, target_c: float, boiling_c: float, room_c: float, heat: float) -> Wait:
    """Return how long to wait after the boil for a target.

    Args:
        loss: what is believed of the kettle, with or without readings.
        target_c: the temperature asked for.
        boiling_c: where water boils in this kitchen; a target at or above it means pour at once.
        room_c: the room.
        heat: heat capacity of the kettle and its water, J/K.
    """
    if target_c >= boiling_c:
        return Wait(middle_s=0.0, low_s=0.0, high_s=0.0, start_c=boiling_c, pour_at_once=True)
    if target_c <= room_c:
        ever = math.inf
        return Wait(middle_s=ever, low_s=ever, high_s=ever, start_c=boiling_c, never=True)
    constants = math.log((boiling_c - room_c) / (target_c - room_c)) * heat
    widest = BAND_SDS * loss.sd
    return Wait(
        middle_s=constants / loss.ua_w_k,
        low_s=constants / math.exp(loss.ln_ua + widest),
        high_s=constants / math.exp(loss.ln_ua - widest),
        start_c=boiling_c,
    )
