"""What dissolves: from surfaces and kernels into the water that passes them, layer by layer.

Axes of what is followed: k size classes (the surfaces first, then kernels by size), l layers from
the top, s parallel streams, b brews; the last axis is longest, so that sums run along it.

Each grain is a store of solubles in its own water, which press outwards by their concentration:
surfaces within seconds, kernels by diffusion in a time that grows with the square of their size.
The water between the grains carries what came out down the layers; the pond above mixes with the
bed. With all water counted, a dose steeped for ever comes to its soluble share, whatever the
ratio. Two streams share bed and water unevenly.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfclick.physics.brew.arrays import (
    EVEN_G_S,
    EVEN_SURFACES,
    REFERENCE_C,
    REFERENCE_UM,
    Floats,
    Kits,
    Recipes,
)
from halfclick.physics.brew.flow import Course, last_steps, median_um
from halfclick.physics.brew.pours import wetting_g
from halfclick.physics.brew.solubles import Carried, Followed, Moments, follow
from halfclick.physics.brew.solubles_alone import follow_one
from halfclick.physics.grounds import size_classes

LAYERS = 5
STREAMS = 2
KERNELS = 3
GAS_J_MOL_K = 8.314462618
KELVIN = 273.15
# Linear driving force into a sphere of diameter d: a rate of 60 D / d^2; Glueckauf (1955), from
# memory.
SPHERE = 60.0
# Water between the grains is never counted as less than this share of what a full bed has, nor
# the pond as less than this share of the dose: it keeps the first seconds of a dry bed and the
# last of a pond within the step (our own default).
LEAST_FULL = 0.5
LEAST_POND = 0.3
# What is left in a pond that is gone runs into the bed in this time (our own default), s.
FILM_S = 2.0
# From this rate on a pour mixes the pond with the bed as fast as any (our own default, no source).
MIXING_G_S = 5.0
MOST_UNEVEN = 0.9
# The most of a layer's water that may be renewed in a step; Heun's method is stable to 2.
STABLE = 1.5


@dataclass(frozen=True, slots=True)
class Grains:
    """The stores of solubles and what moves them."""

    soluble_g: Floats  # (k, 1, 1, b) at the start
    water_g: Floats  # (k, 1, 1, b) inside
    per_s: Floats  # (k, b) at REFERENCE_C


@dataclass(frozen=True, slots=True)
class Drawn:
    """What was dissolved, by each time: g of solubles."""

    time_s: Floats  # (t,) some of the times of the course
    cup_g: Floats  # (t, b)
    pond_g: Floats  # (t, b)
    start_g: Floats  # (b,) soluble at first in each layer of each stream
    bed_g: Floats  # (b,) left between the grains at the end
    left_g: Floats  # (k, l, s, b) left inside the grains at the end


def draw(kits: Kits, recipes: Recipes, course: Course) -> Drawn:
    """Return what dissolves of each dose while the water runs its course.

    Args:
        kits: of shape (b,).
        recipes: of shape (b,).
        course: of the same brews, (t, b).
    """
    at = times_of(course)
    washing = washing_of(kits, recipes, course, at)
    grains = grains_of(kits, recipes)
    parts = parts_of(kits, grains, washing)
    cup_g, pond_g, held_g = dissolved(kits, grains, washing.refined(parts))
    kept = np.concatenate(((0,), np.cumsum(parts)))
    return Drawn(
        time_s=washing.time_s,
        cup_g=cup_g[kept],
        pond_g=pond_g[kept],
        start_g=grains.soluble_g.sum(axis=(0, 1, 2)),
        bed_g=held_g[-1].sum(axis=(0, 1)),
        left_g=held_g[:-1],
    )


def dissolved(kits: Kits, grains: Grains, washing: "Washing") -> Followed:
    """Return where the solubles go while some water washes the bed."""
    follow_them = follow_one if len(kits) == 1 else follow
    return follow_them(
        moments_of(kits, grains, washing),
        carried_of(kits, washing),
        np.broadcast_to(grains.soluble_g, (KERNELS + 1, LAYERS, STREAMS, len(kits))),
        np.diff(washing.time_s),
    )


def times_of(course: Course) -> NDArray[np.intp]:
    """Return which times of a course to stop at: each while water is poured, then every other."""
    times = len(course.feed.time_s)
    poured = np.nonzero(course.feed.into_g_s.any(axis=1))[0]
    last = int(poured[-1]) + 1 if len(poured) else 0
    after = np.arange(last, times, 2)
    return np.concatenate((np.arange(last), after, np.arange(int(after[-1]) + 1, times)))


def grains_of(kits: Kits, recipes: Recipes) -> Grains:
    """Return the stores of solubles in each layer and stream, kits and recipes of shape (b,)."""
    size_um = median_um(kits, recipes)
    kernel_um, share = size_classes(size_um, KERNELS)  # (b, k - 1), (b, k); surfaces first
    of_each = share.T[:, None, None, :] / (LAYERS * STREAMS)  # (k, 1, 1, b)
    soluble_share = kits.soluble_share * (1.0 - kits.soluble_fall * np.log(size_um / REFERENCE_UM))
    kernel_per_s = SPHERE * kits.diffusivity_m2_s / (kernel_um.T * 1e-6) ** 2
    return Grains(
        soluble_g=of_each * (soluble_share * recipes.dose_g),
        water_g=of_each * (kits.grain_g_g * recipes.dose_g),
        per_s=np.concatenate((1.0 / kits.surface_s[None], kernel_per_s)),
    )


@dataclass(frozen=True, slots=True)
class Washing:
    """The water that washes the bed: at each time (t, ...), and in each step (t - 1, ...)."""

    time_s: Floats  # (t,)
    between_g: Floats  # (t, b) between all grains
    pond_g: Floats  # (t, b)
    wet_share: Floats  # (t, b); none once the last drop has fallen: the cup is taken away
    slurry_c: Floats  # (t, b)
    streams: Floats  # (s, b) share of the water
    top_g_s: Floats  # (t - 1, b) from the pond into the bed
    out_g_s: Floats  # (t - 1, b) from the bed into the cup
    past_g_s: Floats  # (t - 1, b)
    into_g_s: Floats  # (t - 1, b)
    least_between_g: Floats  # (b,)
    least_pond_g: Floats  # (b,)

    def refined(self, parts: NDArray[np.intp]) -> "Washing":
        """Return the same with each step in so many parts, straight lines between its times."""
        step = np.repeat(np.arange(len(parts)), parts)
        start = np.cumsum(parts) - parts
        share = (np.arange(len(step)) - start[step]) / parts[step]  # (t' - 1,)

        def at_times(values: Floats) -> Floats:
            across = share if values.ndim == 1 else share[:, None]
            inner = values[step] + across * (values[step + 1] - values[step])
            return np.concatenate((inner, values[-1:]))

        return replace(
            self,
            **{name: at_times(getattr(self, name)) for name in _AT_TIMES},
            **{name: getattr(self, name)[step] for name in _IN_STEPS},
        )


_AT_TIMES = ("time_s", "between_g", "pond_g", "wet_share", "slurry_c")
_IN_STEPS = ("top_g_s", "out_g_s", "past_g_s", "into_g_s")


def washing_of(kits: Kits, recipes: Recipes, course: Course, at: NDArray[np.intp]) -> Washing:
    """Return the water that washes each bed, from some times `at` of its course."""
    bed, feed = course.bed, course.feed
    step_s = np.diff(feed.time_s[at])[:, None]
    out_g, free_g, wet_share = course.out_g[at], course.free_g[at], feed.wet_share[at]
    between_g = np.minimum(free_g, bed.pore_g) + bed.held_g * wet_share
    out_g_s = np.diff(out_g, axis=0) / step_s
    brewing = at[:, None] <= last_steps(course)
    return Washing(
        time_s=feed.time_s[at],
        between_g=between_g,
        pond_g=np.maximum(free_g - bed.pore_g, 0.0),
        wet_share=np.where(brewing, wet_share, 0.0),
        slurry_c=course.slurry_c[at],
        streams=streams_of(kits, recipes),
        top_g_s=out_g_s + np.diff(between_g + course.drunk_g[at], axis=0) / step_s,
        out_g_s=out_g_s,
        past_g_s=np.diff(course.past_g[at], axis=0) / step_s,
        into_g_s=np.diff(feed.poured_g[at], axis=0) / step_s,
        least_between_g=LEAST_FULL * (bed.pore_g + bed.held_g),
        least_pond_g=LEAST_POND * recipes.dose_g,
    )


def streams_of(kits: Kits, recipes: Recipes) -> Floats:
    """Return the share of the water that each stream gets, (s, b); each has half of the bed."""
    uneven = unevenness(kits, recipes)
    return np.stack((0.5 * (1.0 - uneven), 0.5 * (1.0 + uneven)))


def unevenness(kits: Kits, recipes: Recipes) -> Floats:
    """Return by what share one stream sees more water than its half, and the other less, (b,)."""
    after = recipes.pour_mass_g.copy()  # (b, p)
    after[:, 0] = np.where(after[:, 1:].sum(axis=1) > 0, 0.0, after[:, 0])
    poured_g = after.sum(axis=1)
    even = EVEN_G_S * (poured_g == 0)
    rate_g_s = even + (after * recipes.pour_rate_g_s).sum(axis=1) / np.maximum(poured_g, 1e-9)
    dry_share = np.exp(-recipes.pour_mass_g[:, 0] / wetting_g(kits, recipes))
    surfaces = size_classes(median_um(kits, recipes), KERNELS)[1][:, 0]
    grown = (
        kits.uneven_by_rate * np.log(rate_g_s / EVEN_G_S) ** 2
        + kits.uneven_by_dry * dry_share
        + kits.uneven_by_surfaces * (surfaces - EVEN_SURFACES)
    )
    return np.asarray(np.minimum(kits.unevenness * np.exp(grown), MOST_UNEVEN))


def mixing_g_s(kits: Kits, washing: Washing) -> Floats:
    """Return the water that pond and bed exchange in each step, g/s, shape (t - 1, b).

    The smaller of the two is renewed in the time of mixing, which a pour shortens.
    """
    pond_g = 0.5 * (washing.pond_g[1:] + washing.pond_g[:-1])
    between_g = 0.5 * (washing.between_g[1:] + washing.between_g[:-1])
    return pond_g * between_g / np.maximum(pond_g + between_g, 1e-9) * _per_mixing(kits, washing)


def _per_mixing(kits: Kits, washing: Washing) -> Floats:
    agitated = np.minimum(washing.into_g_s / MIXING_G_S, 1.0)
    return (1.0 + (kits.mixed_faster - 1.0) * agitated) / kits.mixing_s


def parts_of(kits: Kits, grains: Grains, washing: Washing) -> NDArray[np.intp]:
    """Return in how many parts each step is taken, so that it is stable, shape (t - 1,)."""
    least_g = np.maximum(
        np.minimum(washing.between_g[1:], washing.between_g[:-1]), washing.least_between_g
    )
    renewed = washing.top_g_s * washing.streams.max(axis=0) * (STREAMS * LAYERS) / least_g
    mixing = _per_mixing(kits, washing)
    in_bed = renewed + mixing + grains.per_s.max(axis=0)
    pond_g = np.maximum(np.minimum(washing.pond_g[1:], washing.pond_g[:-1]), washing.least_pond_g)
    in_pond = (washing.top_g_s + washing.past_g_s) / pond_g + mixing
    quickest = np.maximum(in_bed, in_pond).max(axis=1)
    parts = np.ceil(np.diff(washing.time_s) * quickest / STABLE)
    return np.asarray(np.maximum(parts, 1.0), dtype=np.intp)


def moments_of(kits: Kits, grains: Grains, washing: Washing) -> Moments:
    """Return what multiplies the solubles at each time."""
    cells = LAYERS * STREAMS
    dry = (1.0 - washing.wet_share[:, None]) ** (STREAMS * washing.streams)  # (t, s, b)
    away_from = 1.0 / (REFERENCE_C + KELVIN) - 1.0 / (washing.slurry_c + KELVIN)
    faster = np.exp(kits.activation_j_mol / GAS_J_MOL_K * away_from)  # (t, b)
    pressing = np.exp(kits.partition_per_k * (washing.slurry_c - REFERENCE_C))
    pull_per_s = (faster[:, None] * (1.0 - dry))[:, None, None] * grains.per_s[:, None, None]
    return Moments(
        per_g=cells / np.maximum(washing.between_g, washing.least_between_g),
        per_pond_g=1.0 / np.maximum(washing.pond_g, washing.least_pond_g),
        push_per_s=pull_per_s * pressing[:, None, None, None],
        pull_g_s=pull_per_s * grains.water_g,
    )


def carried_of(kits: Kits, washing: Washing) -> Carried:
    """Return the water that carries solubles in each step."""
    top, out = washing.top_g_s[:, None, None], washing.out_g_s[:, None, None]
    depth = np.arange(LAYERS + 1)[:, None, None] / LAYERS
    between = washing.streams * (top + depth * (out - top))  # (t - 1, l + 1, s, b)
    pond_g = 0.5 * (washing.pond_g[1:] + washing.pond_g[:-1])
    mixed = mixing_g_s(kits, washing) / (LAYERS * STREAMS)
    return Carried(
        between=between,
        lost=between[:, 1:] + mixed[:, None, None],
        mixed=mixed,
        left=washing.top_g_s + washing.past_g_s + mixed * (LAYERS * STREAMS),
        past=washing.past_g_s,
        film_per_s=np.maximum(1.0 - pond_g / washing.least_pond_g, 0.0) / FILM_S,
    )
