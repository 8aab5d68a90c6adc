"""What the timed waits of a kettle have taught, and how long to wait off the boil by it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from halfclick.model.kettle_reading import KettleReading
from halfclick.model.kit import Kettle
from halfclick.model.recipe import Recipe
from halfclick.physics.kettle import (
    BAND_SDS,
    PRIOR_WATER_KG,
    TYPICAL_BODY_KG,
    Body,
    Loss,
    Reading,
    heat_j_k,
    prior_of,
    wait_for,
)
from halfclick.physics.kettle import Wait as Waited
from halfclick.physics.kettle_fill import FilledReading, fit_at_fill
from halfclick.service.kettle_readings import readings_of
from halfclick.service.kitchens import KitView, boils_at_c
from halfclick.store.journal import Store
from halfclick.wording import Message

# A room whose warmth nobody told (our own default).
ROOM_C = 22.0
# Water in the kettle beyond what is poured, for the paper and so that it pours evenly to the end
# (our own default).
SPARE_G = 200.0
# A target this close below the boil is reached while the kettle is carried over (our own default).
AT_ONCE_K = 0.5
# Waits are told to so many seconds, outwards.
TOLD_S = 5.0
G_PER_KG = 1000.0
S_PER_MIN = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """How long to wait off the boil: a middle and its band; `readings` is how many stand behind it.

    All are 0 where the water is poured at once.
    """

    low_s: float
    middle_s: float
    high_s: float
    message: Message
    readings: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """How fast a kettle cools near the boil, K/s: a middle and its band, at a fill."""

    low_k_s: float
    middle_k_s: float
    high_k_s: float
    water_g: float
    readings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooling:
    """The rate at which a kettle nears the room, 1/s: its median, and the sd of its logarithm."""

    per_s: float
    sd: float


# Of a kettle that nobody timed: about 0.85 W/K with the lid on, a litre in steel; nine of ten as
# far as to the same without its lid (engineering estimate, not measured).
TYPICAL_COOLING = Cooling(per_s=2e-4, sd=0.5)


def loss_of(store: Store, kettle: Kettle, *, lid_on: bool, water_g: float) -> Loss:
    """Return what is believed of a kettle's loss with so much water in it, from its readings."""
    return loss_from(readings_of(store, kettle.id), kettle, lid_on=lid_on, water_g=water_g)


def loss_from(
    readings: Sequence[KettleReading], kettle: Kettle | None, *, lid_on: bool, water_g: float
) -> Loss:
    """Return what is believed of a loss with so much water, from the readings with such a lid."""
    with_lid = [one for one in readings if one.lid_on is lid_on]
    filled = [_filled(one, kettle) for one in with_lid]
    return fit_at_fill(prior_of(lid_on=lid_on), filled, water_g / G_PER_KG / PRIOR_WATER_KG)


def wait_off_boil(store: Store, kit: KitView, recipe: Recipe) -> Wait | None:
    """Return how long to let the boiled kettle stand; None where no temperature is planned."""
    readings = readings_of(store, kit.kettle.id) if kit.kettle is not None else ()
    return wait_from(readings, kit, recipe)


def wait_from(readings: Sequence[KettleReading], kit: KitView, recipe: Recipe) -> Wait | None:
    """Return how long to let the boiled kettle stand, by readings of it, oldest first.

    The lid is on, unless it was off in all the readings.
    """
    target_c = recipe.temperature_c
    if target_c is None:
        return None
    boiling_c, room_c = boils_at_c(kit.kitchen), _room_c(kit)
    if boiling_c - target_c <= AT_ONCE_K:
        at_once = {"boiling_c": boiling_c, "water_c": target_c}
        return _no_wait(Message("plan.wait_none", at_once))
    if target_c <= room_c:
        return _no_wait(Message("plan.wait_never", {"water_c": target_c}))
    lid_on = not readings or any(one.lid_on for one in readings)
    water_g = _fill_g(readings, kit.kettle, recipe, lid_on=lid_on)
    loss = loss_from(readings, kit.kettle, lid_on=lid_on, water_g=water_g)
    wait = wait_for(loss, target_c, boiling_c, room_c, heat_of(kit.kettle, water_g))
    values: dict[str, object] = {
        "boiling_c": boiling_c,
        "water_c": target_c,
        "lid": _lid(lid_on),
        "kettle_g": water_g,
    }
    return _said(wait, values, loss.readings)


def taught(store: Store, kit: KitView) -> tuple[Message, ...]:
    """Return what the readings of a kit's kettle have taught: with the lid on, and off if read."""
    if kit.kettle is None:
        return ()
    readings = readings_of(store, kit.kettle.id)
    lids = [True] if all(one.lid_on for one in readings) else [True, False]
    return tuple(_told(rate_from(readings, kit, lid_on=lid_on), lid_on) for lid_on in lids)


def rate_from(readings: Sequence[KettleReading], kit: KitView, *, lid_on: bool) -> Rate:
    """Return how fast a kit's kettle cools near the boil, at the fill it was last read at."""
    water_g = _read_fill_g(readings, lid_on=lid_on)
    if water_g is None:
        water_g = _held_g(PRIOR_WATER_KG * G_PER_KG, kit.kettle)
    loss = loss_from(readings, kit.kettle, lid_on=lid_on, water_g=water_g)
    above_k = boils_at_c(kit.kitchen) - _room_c(kit)
    heat = heat_of(kit.kettle, water_g)
    low, middle, high = (
        math.exp(loss.ln_ua + side * BAND_SDS * loss.sd) / heat * above_k for side in (-1, 0, 1)
    )
    return Rate(
        low_k_s=low,
        middle_k_s=middle,
        high_k_s=high,
        water_g=water_g,
        readings=loss.readings,
    )


def nears_room(store: Store, kit: KitView) -> Cooling:
    """Return how fast the kettle nears the room with its lid on; the typical one if not read."""
    readings = readings_of(store, kit.kettle.id) if kit.kettle is not None else ()
    water_g = _read_fill_g(readings, lid_on=True)
    if water_g is None:
        return TYPICAL_COOLING
    loss = loss_from(readings, kit.kettle, lid_on=True, water_g=water_g)
    return Cooling(per_s=loss.ua_w_k / heat_of(kit.kettle, water_g), sd=loss.sd)


def heat_of(kettle: Kettle | None, water_g: float) -> float:
    """Return the heat capacity of a kettle with so much water in it, J/K.

    Of a body that was not weighed or told, a typical one of steel stands in.
    """
    body_kg, body = TYPICAL_BODY_KG, Body.STEEL
    if kettle is not None and kettle.body_g is not None:
        body_kg = kettle.body_g / G_PER_KG
    if kettle is not None and kettle.material is not None:
        body = Body(kettle.material.value)
    return heat_j_k(water_g / G_PER_KG, body_kg, body)


def _filled(one: KettleReading, kettle: Kettle | None) -> FilledReading:
    reading = Reading(
        start_c=one.start_c,
        end_c=one.end_c,
        wait_s=one.wait_s,
        room_c=one.room_c,
        heat_j_k=heat_of(kettle, one.water_g),
        # Both temperatures were read with the same thermometer.
        sd_c=math.sqrt(2.0) * one.sd_c,
    )
    return FilledReading(reading=reading, fill_ratio=one.water_g / G_PER_KG / PRIOR_WATER_KG)


def _fill_g(
    readings: Sequence[KettleReading], kettle: Kettle | None, recipe: Recipe, *, lid_on: bool
) -> float:
    """Return the water in the kettle: as it was last read, where that is enough to pour."""
    read_g = _read_fill_g(readings, lid_on=lid_on)
    if read_g is not None and read_g >= recipe.water_g:
        return read_g
    return _held_g(recipe.water_g + SPARE_G, kettle)


def _read_fill_g(readings: Sequence[KettleReading], *, lid_on: bool) -> float | None:
    read = [one.water_g for one in readings if one.lid_on is lid_on]
    return read[-1] if read else None


def _held_g(water_g: float, kettle: Kettle | None) -> float:
    most_g = kettle.capacity_g if kettle is not None else None
    return water_g if most_g is None else min(water_g, most_g)


def _room_c(kit: KitView) -> float:
    return kit.kitchen.room_c if kit.kitchen.room_c is not None else ROOM_C


def _no_wait(message: Message) -> Wait:
    return Wait(low_s=0.0, middle_s=0.0, high_s=0.0, message=message)


def _said(wait: Waited, values: dict[str, object], readings: int) -> Wait:
    low_s = math.floor(wait.low_s / TOLD_S) * TOLD_S
    high_s = math.ceil(wait.high_s / TOLD_S) * TOLD_S
    middle_s = round(wait.middle_s / TOLD_S) * TOLD_S
    values = {**values, "low_time_s": low_s, "middle_time_s": middle_s, "high_time_s": high_s}
    message = Message("plan.wait_typical", values)
    if readings:
        message = Message("plan.wait_learned", {**values, "count": readings})
    return Wait(low_s=low_s, middle_s=middle_s, high_s=high_s, message=message, readings=readings)


def _lid(lid_on: bool) -> Message:
    return Message("kit_waits.lid_on" if lid_on else "kit_waits.lid_off")


def _told(rate: Rate, lid_on: bool) -> Message:
    values = {
        "low_size_c": rate.low_k_s * S_PER_MIN,
        "middle_size_c": rate.middle_k_s * S_PER_MIN,
        "high_size_c": rate.high_k_s * S_PER_MIN,
        "lid": _lid(lid_on),
        "kettle_g": rate.water_g,
    }
    if not rate.readings:
        return Message("kit_waits.not_measured", values)
    return Message("kit_waits.taught", {**values, "count": rate.readings})
