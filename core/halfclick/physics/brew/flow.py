"""Water and heat through a dripper: what stands, what is held, what leaves, and how warm it is.

The bed keeps some water at once and fills its grains by and by; what is free first fills the
pores and then stands above as the pond. The head of what is free drives it out through the bed
(Darcy, permeability with the square of the size), the paper and the outlets in series. Heat comes
with the pours, and leaves with the drink, into the dripper and to the room.

`rates` holds the equations. It takes arrays of shape (b,), or plain numbers for a single brew,
which are ten times as quick; hence `Any` for a value of either kind.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from halfclick.physics.brew.arrays import REFERENCE_UM, Floats, Kits, Recipes
from halfclick.physics.brew.pours import Feed, feed_of, joined, last_pour_ends_s
from halfclick.physics.brew.warm_water import density_kg_m3, fluidity_per_pa_s

GRAVITY_M_S2 = 9.80665
# Heat capacity of water, J/(g K): 4.196 to 4.214 from 80 to 98 C by IAPWS-95; the middle.
WATER_J_G_K = 4.205
# The thirst of the grains fades when less than this share of the dose is free water (our own
# default: it keeps the equation smooth).
THIRST_SHARE = 0.05
# Clogging is told of a bed that was washed with ten times its dose (our own unit).
WASH_G_G = 10.0
# A few grams touch little of a dripper and show little to the room: of a gram of dose, W/(K g).
# It bears on doses of a few grams alone, whose heat would else go within a step (our own default).
MOST_DRIPPER_W_K_G, MOST_LOSS_W_K_G = 2.5, 0.2
FINEST_UM = 100.0
G_PER_KG = 1000.0
M3_PER_ML = 1e-6
# After the last water a brew is followed for so long at a time until its last drop, s.
FOLLOWED_S = 40.0
LONGEST_S = 1200.0
# The last drops fall about three seconds apart; a drop is about 0.05 g (both from memory).
LAST_DROP_G_S = 0.02


class State(NamedTuple):
    """What a dripper holds, or how fast that changes."""

    out_g: Any  # gone through the bed
    past_g: Any  # gone past it, along the wall
    drunk_g: Any  # inside the grains
    heat_j: Any  # in the slurry, above 0 C
    wall_c: Any  # the dripper's own temperature
    drink_j: Any  # gone with the drink, above 0 C
    shed_j: Any  # gone into the dripper and the room


class Seen(NamedTuple):
    """What follows from a state."""

    free_g: Any  # neither inside the grains nor held between them
    level_m: Any  # of the pond, or of the bed's top where there is none
    slurry_c: Any


class Given(NamedTuple):
    """What the clock and the person give at a moment."""

    poured_g: Any
    wet_share: Any
    early: Any
    water_c: Any


@dataclass(frozen=True, slots=True)
class Bed:
    """What stays the same during a brew."""

    depth_m: Any
    volume_m3: Any
    darcy_per_m3: Any  # mean depth over permeability and upper area
    paper_per_m3: Any
    orifice_per_m4: Any  # 1 / outlet area^2
    volumes: tuple[Any, Any, Any]
    pore_g: Any
    thirst_g: Any
    held_g: Any  # between the grains, for good
    grain_g: Any  # inside the grains, at last
    wetting_s: Any
    early_resistance: Any
    clogging_per_g: Any
    bypass_share: Any
    dry_j_k: Any
    room_c: Any
    dripper_c: Any
    dripper_j_k: Any
    dripper_w_k: Any
    dripper_loss_w_k: Any
    slurry_loss_w_k: Any

    def take(self, rows: NDArray[np.intp]) -> "Bed":
        """Return the brews asked for."""
        return Bed(
            *(_each(getattr(self, field.name), lambda one: one[rows]) for field in fields(self))
        )


@dataclass(frozen=True, slots=True)
class Course:
    """How the water and the heat of brews ran, each of shape (t, b)."""

    feed: Feed
    bed: Bed
    out_g: Floats
    past_g: Floats
    drunk_g: Floats
    heat_j: Floats
    wall_c: Floats
    drink_j: Floats
    shed_j: Floats
    free_g: Floats
    level_m: Floats
    slurry_c: Floats

    def take(self, rows: NDArray[np.intp], times: int) -> "Course":
        """Return the brews asked for, up to so many times."""
        values = {
            field.name: getattr(self, field.name)[:times, rows]
            for field in fields(self)
            if field.name not in ("feed", "bed")
        }
        return Course(feed=self.feed.take(rows, times), bed=self.bed.take(rows), **values)


@dataclass(frozen=True, slots=True)
class Sums:
    """The three sums that arrays and plain numbers write differently."""

    larger: Callable[[Any, Any], Any]
    smaller: Callable[[Any, Any], Any]
    root: Callable[[Any], Any]


ARRAYS = Sums(larger=np.maximum, smaller=np.minimum, root=np.sqrt)
PLAIN = Sums(larger=max, smaller=min, root=math.sqrt)


def run_course(
    kits: Kits, recipes: Recipes, *, step_s: float, to_last_pour: bool = False
) -> Course:
    """Return how the water and the heat of each brew ran, until its last drop.

    Args:
        kits: of shape (b,).
        recipes: of shape (b,).
        step_s: between two times, s.
        to_last_pour: stop where the last water of all of them has been poured.
    """
    last_s = max(float(last_pour_ends_s(recipes).max()), float(recipes.open_s.max()))
    followed = math.ceil(FOLLOWED_S / step_s)
    steps = math.ceil(last_s / step_s) + (1 if to_last_pour else followed)
    march = _March(bed_of(kits, recipes))
    first, feeds = 0, []
    while True:
        feed = feed_of(
            kits, recipes, step_s * np.arange(first, first + steps + 1, dtype=np.float64)
        )
        leaving_g_s = march.go(feed)
        feeds.append(feed)
        first, steps = first + steps, followed
        # Well past the last drop, so that its moment lies between two times.
        done = to_last_pour or leaving_g_s <= 0.5 * LAST_DROP_G_S
        if done or first * step_s >= last_s + LONGEST_S:
            return march.course(joined(feeds))


def leaving_g_s(course: Course) -> Floats:
    """Return the flow into the cup in each step, g/s, shape (t - 1, b)."""
    step_s = np.diff(course.feed.time_s)[:, None]
    return np.diff(course.out_g + course.past_g, axis=0) / step_s


def last_steps(course: Course) -> NDArray[np.intp]:
    """Return the first step after which no more than drops leave each brew, shape (b,)."""
    still = leaving_g_s(course) > LAST_DROP_G_S  # (t - 1, b)
    return np.asarray(len(still) - np.argmax(still[::-1], axis=0))


def bed_of(kits: Kits, recipes: Recipes) -> Bed:
    """Return the bed of each brew, kits and recipes of shape (b,)."""
    dose_g = recipes.dose_g
    volumes = (recipes.volume_1, recipes.volume_2, recipes.volume_3)
    volume_m3 = kits.bed_ml_g * dose_g * M3_PER_ML
    depth_m = level_at(volumes, volume_m3, np.full_like(volume_m3, 0.03), rounds=12)
    permeability_m2 = kits.permeability_m2 * (median_um(kits, recipes) / REFERENCE_UM) ** 2
    return Bed(
        depth_m=depth_m,
        volume_m3=volume_m3,
        darcy_per_m3=volume_m3 / (permeability_m2 * area_at(volumes, depth_m) ** 2),
        paper_per_m3=kits.paper_per_m / recipes.paper_m2,
        orifice_per_m4=1.0 / (kits.outlet_share * recipes.outlet_m2) ** 2,
        volumes=volumes,
        pore_g=kits.pore_g_g * dose_g,
        thirst_g=THIRST_SHARE * dose_g,
        held_g=kits.between_g_g * dose_g,
        grain_g=kits.grain_g_g * dose_g,
        wetting_s=kits.wetting_s,
        early_resistance=kits.early_resistance,
        clogging_per_g=kits.clogging / (WASH_G_G * dose_g),
        bypass_share=kits.bypass_share,
        dry_j_k=kits.grounds_j_g_k * dose_g,
        room_c=recipes.room_c,
        dripper_c=recipes.dripper_c,
        dripper_j_k=kits.dripper_j_k,
        dripper_w_k=np.minimum(kits.dripper_w_k, MOST_DRIPPER_W_K_G * dose_g),
        dripper_loss_w_k=kits.dripper_loss_w_k,
        slurry_loss_w_k=np.minimum(kits.slurry_loss_w_k, MOST_LOSS_W_K_G * dose_g),
    )


def median_um(kits: Kits, recipes: Recipes) -> Floats:
    """Return the median size of the grounds, um, kits and recipes of shape (b,)."""
    return np.maximum(kits.base_um + kits.per_step_um * recipes.steps, FINEST_UM)


def level_at(volumes: tuple[Any, Any, Any], volume_m3: Any, near_m: Any, *, rounds: int = 1) -> Any:
    """Return the level at which a dripper holds a volume, m, by Newton's method from one near it.

    One round from the level of the step before errs by the square of the step, as the method does.
    """
    first, second, third = volumes
    for _ in range(rounds):
        below_m3 = ((third * near_m + second) * near_m + first) * near_m
        near_m = near_m + (volume_m3 - below_m3) / area_at(volumes, near_m)
    return near_m


def area_at(volumes: tuple[Any, Any, Any], level_m: Any) -> Any:
    """Return the area of the water's surface at a level, m2."""
    first, second, third = volumes
    return (3.0 * third * level_m + 2.0 * second) * level_m + first


def rates(
    bed: Bed, sums: Sums, state: State, given: Given, into_g_s: Any, open_share: Any, near_m: Any
) -> tuple[State, Seen]:
    """Return how fast a state changes, and what follows from it."""
    in_g = given.poured_g - state.out_g - state.past_g
    free_g = sums.larger(in_g - state.drunk_g - bed.held_g * given.wet_share, 0.0)
    pond_g = sums.larger(free_g - bed.pore_g, 0.0)
    slurry_c = state.heat_j / (bed.dry_j_k + WATER_J_G_K * in_g)
    density = density_kg_m3(slurry_c)
    level_m = level_at(bed.volumes, bed.volume_m3 + pond_g / (G_PER_KG * density), near_m)
    # Below the bed's top, the head falls with what is left in the pores.
    push_pa = density * GRAVITY_M_S2 * level_m * sums.smaller(free_g / bed.pore_g, 1.0)
    fresh = 1.0 + bed.early_resistance * given.early + bed.clogging_per_g * state.out_g
    resist = (bed.darcy_per_m3 * fresh + bed.paper_per_m3) / fluidity_per_pa_s(slurry_c)
    # push = resist q + density orifice q^2 / 2
    root = sums.root(resist * resist + 2.0 * density * bed.orifice_per_m4 * push_pa)
    out_g_s = open_share * (2.0 * G_PER_KG) * density * push_pa / (resist + root)
    past_g_s = bed.bypass_share * sums.larger(1.0 - bed.depth_m / level_m, 0.0) * out_g_s
    thirst = free_g / (free_g + bed.thirst_g) / bed.wetting_s
    to_wall_w = bed.dripper_w_k * given.wet_share * (slurry_c - state.wall_c)
    shed_w = to_wall_w + bed.slurry_loss_w_k * (slurry_c - bed.room_c)
    drink_w = WATER_J_G_K * (out_g_s + past_g_s) * slurry_c
    change = State(
        out_g=out_g_s,
        past_g=past_g_s,
        drunk_g=(bed.grain_g * given.wet_share - state.drunk_g) * thirst,
        heat_j=WATER_J_G_K * into_g_s * given.water_c - drink_w - shed_w,
        wall_c=(to_wall_w - bed.dripper_loss_w_k * (state.wall_c - bed.room_c)) / bed.dripper_j_k,
        drink_j=drink_w,
        shed_j=shed_w,
    )
    return change, Seen(free_g=free_g, level_m=level_m, slurry_c=slurry_c)


class _March:
    """Goes on from where it is by Heun's method, of second order; once."""

    def __init__(self, bed: Bed) -> None:
        self._bed = bed
        self._alone = len(bed.depth_m) == 1
        self._here, self._sums = (_plain(bed), PLAIN) if self._alone else (bed, ARRAYS)
        here = self._here
        nothing = 0.0 * here.room_c
        start_j = here.dry_j_k * here.room_c
        self._state = State(nothing, nothing, nothing, start_j, here.dripper_c, nothing, nothing)
        self._near_m = here.depth_m
        self._kept: list[tuple[Any, ...]] = []
        self._nothing = nothing

    def go(self, feed: Feed) -> float:
        """Go through what is given, and return the greatest flow that leaves at its end, g/s."""
        here, sums, listed = self._here, self._sums, _numbers if self._alone else _rows
        given = [Given(*rows) for rows in zip(*map(listed, feed.moments()), strict=True)]
        steps = zip(
            feed.step_s.tolist(), listed(feed.into_g_s), listed(feed.open_share), strict=True
        )
        state, near_m = self._state, self._near_m
        for now, then, (step_s, into_g_s, open_share) in zip(given, given[1:], steps, strict=False):
            first, seen = rates(here, sums, state, now, into_g_s, open_share, near_m)
            self._kept.append((*state, *seen))
            ahead = State(*[a + step_s * b for a, b in zip(state, first, strict=True)])
            second, later = rates(here, sums, ahead, then, into_g_s, open_share, seen.level_m)
            half_s = 0.5 * step_s
            state = State(
                *[a + half_s * (b + c) for a, b, c in zip(state, first, second, strict=True)]
            )
            near_m = later.level_m
        self._state, self._near_m = state, near_m
        self._last = given[-1]
        return float(np.max(second.out_g + second.past_g))

    def course(self, feed: Feed) -> Course:
        """Return the whole way."""
        seen = rates(
            self._here,
            self._sums,
            self._state,
            self._last,
            self._nothing,
            self._nothing,
            self._near_m,
        )[1]
        told = np.array([*self._kept, (*self._state, *seen)])
        told = told.reshape(len(told), -1, feed.poured_g.shape[1])  # (t, 10, b)
        return Course(feed, self._bed, *(told[:, row] for row in range(told.shape[1])))


def _plain(bed: Bed) -> Bed:
    return Bed(
        *(_each(getattr(bed, field.name), lambda one: float(one[0])) for field in fields(bed))
    )


def _each(value: Any, change: Callable[[Floats], Any]) -> Any:
    return tuple(map(change, value)) if isinstance(value, tuple) else change(value)


def _numbers(rows: Floats) -> list[float]:
    return rows[:, 0].tolist()  # type: ignore[no-any-return]


def _rows(rows: Floats) -> Floats:
    return rows
