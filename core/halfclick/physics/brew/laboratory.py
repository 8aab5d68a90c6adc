"""Experiments of others with the same equations: a stirred vessel, and a bed that a pump feeds.

Only what brings water differs from a brew in a dripper. The constants of the coffee stay those
of `Kits`.
"""

from dataclasses import replace

import numpy as np

from halfclick.physics.brew.arrays import Floats, Kits, Recipes
from halfclick.physics.brew.extraction import (
    STREAMS,
    Washing,
    dissolved,
    grains_of,
    parts_of,
    unevenness,
)

# A stirrer mixes within this time, s; a pump does not mix at all.
STIRRED_S = 1.0
UNMIXED_S = 1e12


def stirred(kits: Kits, recipe: Recipes, time_s: Floats, *, temperature_c: float) -> Floats:
    """Return the strength of the water around stirred grounds, g solids per g water, (t,).

    Args:
        kits: one.
        recipe: one; its dose, its setting and the mass of its first pour are used.
        time_s: times since the grounds went in, s, rising evenly from 0, shape (t,).
        temperature_c: kept all the while.
    """
    dose_g, water_g = float(recipe.dose_g[0]), float(recipe.pour_mass_g[0, 0])
    around_g = water_g - float(kits.grain_g_g[0]) * dose_g
    between_g = min(float(kits.between_g_g[0] + kits.pore_g_g[0]) * dose_g, around_g / 2)
    still = np.zeros((len(time_s) - 1, 1))
    everywhere = np.ones((len(time_s), 1))
    washing = Washing(
        time_s=time_s,
        between_g=between_g * everywhere,
        pond_g=(around_g - between_g) * everywhere,
        wet_share=everywhere,
        slurry_c=temperature_c * everywhere,
        streams=np.full((STREAMS, 1), 1.0 / STREAMS),
        top_g_s=still,
        out_g_s=still,
        past_g_s=still,
        into_g_s=still,
        least_between_g=np.array([between_g]),
        least_pond_g=np.array([0.1 * around_g]),
    )
    _, pond_g = _followed(kits, recipe, washing, STIRRED_S)
    return pond_g / (around_g - between_g)


def pumped(
    kits: Kits,
    recipe: Recipes,
    time_s: Floats,
    *,
    flow_g_s: float,
    pore_g: float,
    temperature_c: float,
) -> tuple[Floats, Floats]:
    """Return what has left a bed that is fed at an even rate, by each time: drink and solids.

    The bed is dry at first; nothing leaves until its grains and pores are full.

    Args:
        kits: one.
        recipe: one; its dose and setting are used.
        time_s: times since the water reached the bed, s, rising evenly from 0, shape (t,).
        flow_g_s: what the pump brings, g/s.
        pore_g: water between the grains of the packed bed, g.
        temperature_c: kept all the while.

    Returns:
        The drink with its solids, g, and the solids, g, each of shape (t,).
    """
    filled_s = (pore_g + float(kits.grain_g_g[0] * recipe.dose_g[0])) / flow_g_s
    full = np.minimum(time_s / filled_s, 1.0)[:, None]
    step_s = np.diff(time_s)[:, None]
    # A step in which the bed comes to be full lets its rest through.
    leaving_s = np.maximum(time_s - filled_s, 0.0)[:, None]
    out_g_s = flow_g_s * np.diff(leaving_s, axis=0) / step_s
    everywhere = np.ones_like(full)
    uneven = float(unevenness(kits, recipe)[0])
    washing = Washing(
        time_s=time_s,
        between_g=pore_g * full,
        pond_g=pore_g * everywhere,
        wet_share=full,
        slurry_c=temperature_c * everywhere,
        streams=np.array([[0.5 * (1.0 - uneven)], [0.5 * (1.0 + uneven)]]),
        top_g_s=flow_g_s * everywhere[1:],
        out_g_s=out_g_s,
        past_g_s=0.0 * out_g_s,
        into_g_s=0.0 * out_g_s,
        least_between_g=np.array([0.5 * pore_g]),
        least_pond_g=np.array([0.1 * pore_g]),
    )
    solids_g, _ = _followed(kits, recipe, washing, UNMIXED_S)
    return flow_g_s * leaving_s[:, 0] + solids_g, solids_g


def _followed(
    kits: Kits, recipe: Recipes, washing: Washing, mixing_s: float
) -> tuple[Floats, Floats]:
    mixed = replace(kits, mixing_s=np.array([mixing_s]))
    grains = grains_of(mixed, recipe)
    parts = parts_of(mixed, grains, washing)
    cup_g, pond_g, _ = dissolved(mixed, grains, washing.refined(parts))
    kept = np.concatenate(((0,), np.cumsum(parts)))
    return cup_g[kept, 0], pond_g[kept, 0]
