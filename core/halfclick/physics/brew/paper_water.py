"""Water alone through a rinsed paper: how long it takes, and what that tells of the paper.

Water leaves through the wetted wall and the floor, driven by the level above each place, and then
through the outlets. The clock stops when nine tenths of it stand in the server: that is read off a
scale, where the end of a trickle is not.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np

from halfclick.physics.brew.arrays import Floats
from halfclick.physics.brew.flow import G_PER_KG, GRAVITY_M_S2, area_at
from halfclick.physics.brew.priors import Prior
from halfclick.physics.brew.warm_water import density_kg_m3, fluidity_per_pa_s
from halfclick.physics.vessel import Inside, section_coefficients, wall_area_m2

# Water poured in one go from a kettle, g/s (our own default).
POURED_G_S = 20.0
THROUGH_SHARE = 0.9
# Times looked at, s: closely while it runs fast, and ever less so.
LONGEST_S = 1200.0
CLOCK_S = np.concatenate(
    (np.arange(0.0, 60.0, 0.1), np.arange(60.0, 240.0, 1.0), np.arange(240.0, LONGEST_S + 1, 4.0))
)
# Resistances looked at, 1/m: what is believed of papers before any was timed, and far around it.
RESISTANCES_PER_M = np.geomspace(1e7, 2e10, 101)
LEVELS = 81
# Of a resistance's logarithm: folds, ribs and the wall they lie against (our own default, no
# source). Of a time, as a share and in s: pouring by hand, and the clock.
PAPER_SD = 0.3
SEEN_SD, SEEN_SD_S = 0.05, 2.0
TIMED = "water timed through the paper"


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterThrough:
    """Water alone through a paper: how much, how warm, and until THROUGH_SHARE was through."""

    water_g: float
    water_c: float
    time_s: float


@lru_cache(maxsize=8)
def times_s(inside: Inside, outlet_m2: float, water_g: float, water_c: float) -> Floats:
    """Return when THROUGH_SHARE is through, s, for each of RESISTANCES_PER_M; LONGEST_S at most.

    Args:
        inside: of the dripper.
        outlet_m2: area of all outlets with their discharge coefficient, m2.
        water_g: poured in one go, g.
        water_c: its temperature, degrees Celsius.
    """
    density, fluidity = density_kg_m3(water_c), fluidity_per_pa_s(water_c)
    volumes = section_coefficients(inside)
    level_m, held_m3, driven_m3 = _by_level(inside, volumes)
    bend = density / (2.0 * outlet_m2**2)
    volume_m3 = np.zeros_like(RESISTANCES_PER_M)
    poured_s = water_g / POURED_G_S
    through_m3, wanted_m3 = volume_m3.copy(), THROUGH_SHARE * water_g / (G_PER_KG * density)
    through_s = np.full_like(RESISTANCES_PER_M, LONGEST_S)
    for now_s, then_s in pairwise(CLOCK_S.tolist()):
        here_m = np.interp(volume_m3, held_m3, level_m)
        push_pa = density * GRAVITY_M_S2 * here_m
        # The level over what it drives through the paper, times the paper's resistance.
        across = here_m / np.maximum(np.interp(here_m, level_m, driven_m3), 1e-15)
        resist = RESISTANCES_PER_M * across / fluidity
        out_m3_s = 2.0 * push_pa / (resist + np.sqrt(resist**2 + 4.0 * bend * push_pa) + 1e-30)
        out_m3 = np.minimum((then_s - now_s) * out_m3_s, volume_m3)
        there = (through_m3 < wanted_m3) & (through_m3 + out_m3 >= wanted_m3)
        part = (wanted_m3 - through_m3[there]) / out_m3[there]
        through_s[there] = now_s + (then_s - now_s) * part
        through_m3 += out_m3
        if through_m3.min() >= wanted_m3:
            break
        into_g = POURED_G_S * (min(then_s, poured_s) - min(now_s, poured_s))
        volume_m3 = volume_m3 + into_g / (G_PER_KG * density) - out_m3
    return through_s


def timed_prior(before: Prior, seen: WaterThrough, inside: Inside, outlet_m2: float) -> Prior:
    """Return what is believed of a paper's resistance after water was timed through it."""
    ln_r = np.log(RESISTANCES_PER_M)
    ln_t = np.log(times_s(inside, outlet_m2, seen.water_g, seen.water_c))
    read = np.hypot(SEEN_SD, SEEN_SD_S / seen.time_s)
    sd = np.hypot(read, PAPER_SD * np.gradient(ln_t, ln_r))
    log_weight = -0.5 * ((np.log(seen.time_s) - ln_t) / sd) ** 2 - np.log(sd)
    log_weight -= 0.5 * ((ln_r - np.log(before.median)) / before.spread) ** 2
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    middle = float(weight @ ln_r)
    spread = float(np.sqrt(weight @ (ln_r - middle) ** 2))
    return Prior(float(np.exp(middle)), min(spread, before.spread), TIMED)


def quickest_s(inside: Inside, outlet_m2: float, water_g: float, water_c: float) -> float:
    """Return the time that no paper at all would take, s: what the outlets let through."""
    return float(times_s(inside, outlet_m2, water_g, water_c)[0])


def _by_level(inside: Inside, volumes: tuple[float, float, float]) -> tuple[Floats, Floats, Floats]:
    """Return levels, what is held below each, m3, and what each drives through the paper, m3.

    The last is the sum over the wetted paper of its area times the level above it.
    """
    level_m = np.linspace(0.0, 2.0 * inside.height_m, LEVELS)
    step_m = level_m[1]
    walls_m2 = np.array([wall_area_m2(inside, float(level)) for level in level_m])
    middles = 0.5 * (walls_m2[1:] + walls_m2[:-1])
    below_m3 = np.concatenate(([0.0], np.cumsum(middles) * step_m))
    areas = area_at(volumes, level_m)
    held_m3 = ((volumes[2] * level_m + volumes[1]) * level_m + volumes[0]) * level_m
    return level_m, held_m3, below_m3 + float(areas[0]) * level_m
