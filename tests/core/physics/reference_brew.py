"""One brew by scipy's own solvers at tight tolerance: the same equations, written again as sums.

Nothing of the program's arithmetic is used here but the properties of water and the size classes;
levels are found by bracketing, every piece between two kinks of the clock is solved by itself.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from halfclick.physics.brew.arrays import (
    EVEN_G_S,
    EVEN_SURFACES,
    REFERENCE_C,
    REFERENCE_UM,
    Kits,
    Recipes,
)
from halfclick.physics.brew.extraction import (
    FILM_S,
    GAS_J_MOL_K,
    KELVIN,
    KERNELS,
    LAYERS,
    LEAST_FULL,
    LEAST_POND,
    MIXING_G_S,
    MOST_UNEVEN,
    SPHERE,
    STREAMS,
)
from halfclick.physics.brew.flow import (
    FINEST_UM,
    GRAVITY_M_S2,
    LAST_DROP_G_S,
    THIRST_SHARE,
    WASH_G_G,
    WATER_J_G_K,
)
from halfclick.physics.brew.pours import FILLED
from halfclick.physics.brew.simulate import STREAM_BREAKS_G_S
from halfclick.physics.brew.warm_water import density_kg_m3, fluidity_per_pa_s
from halfclick.physics.grounds import size_classes

CELLS = [(layer, stream) for layer in range(LAYERS) for stream in range(STREAMS)]
CLASSES = KERNELS + 1


@dataclass(frozen=True)
class Reference:
    """What the tight solution tells of one brew."""

    bed_visible_s: float
    stream_breaks_s: float
    last_drop_s: float
    beverage_g: float
    extraction: float
    peak_level_m: float
    calls: int


class Equations:
    """The brew of one kit and one recipe as a system of ordinary differential equations.

    The state is: out, past, drunk, heat, wall; pond's and cup's solubles; then for each cell the
    solubles between the grains and in each of its stores.
    """

    def __init__(self, kits: Kits, recipes: Recipes, row: int = 0) -> None:
        self.k = {name: float(getattr(kits, name)[row]) for name in kits.__dataclass_fields__}
        self.r = {
            name: np.array(getattr(recipes, name)[row]) for name in recipes.__dataclass_fields__
        }
        self.dose = float(self.r["dose_g"])
        k, dose = self.k, self.dose
        self.size_um = max(k["base_um"] + k["per_step_um"] * float(self.r["steps"]), FINEST_UM)
        self.bed_m3 = k["bed_ml_g"] * dose * 1e-6
        self.depth_m = self.level_m(self.bed_m3)
        top_m2 = self.area_m2(self.depth_m)
        permeability = k["permeability_m2"] * (self.size_um / REFERENCE_UM) ** 2
        self.darcy = self.bed_m3 / (permeability * top_m2**2)
        self.paper = k["paper_per_m"] / float(self.r["paper_m2"])
        self.outlet_m2 = k["outlet_share"] * float(self.r["outlet_m2"])
        self.pore_g, self.held_g = k["pore_g_g"] * dose, k["between_g_g"] * dose
        self.grain_g = k["grain_g_g"] * dose
        easily = k["wetting_g_g"] / (1 + k["wetted_easier"] * float(self.r["stirred"]))
        self.wetting_g = max(easily, FILLED * k["between_g_g"]) * dose
        kernel_um, share = size_classes(np.array([self.size_um]), KERNELS)
        self.share = share[0] / len(CELLS)
        self.per_s = [1 / k["surface_s"]] + [
            SPHERE * k["diffusivity_m2_s"] / (one * 1e-6) ** 2 for one in kernel_um[0]
        ]
        soluble = k["soluble_share"] * (1 - k["soluble_fall"] * math.log(self.size_um / 700.0))
        self.soluble_g = soluble * dose
        first, later = float(self.r["pour_mass_g"][0]), self.r["pour_mass_g"][1:]
        rates = self.r["pour_rate_g_s"]
        rate = float((later * rates[1:]).sum() / later.sum()) if later.sum() > 0 else rates[0]
        uneven = k["unevenness"] * math.exp(
            k["uneven_by_rate"] * math.log(rate / EVEN_G_S) ** 2
            + k["uneven_by_dry"] * math.exp(-first / self.wetting_g)
            + k["uneven_by_surfaces"] * (share[0][0] - EVEN_SURFACES)
        )
        uneven = min(uneven, MOST_UNEVEN)
        self.water_share = [(1 - uneven) / 2, (1 + uneven) / 2]
        self.calls = 0

    def area_m2(self, level_m: float) -> float:
        one, two, three = (float(self.r[f"volume_{n}"]) for n in (1, 2, 3))
        return one + 2 * two * level_m + 3 * three * level_m**2

    def level_m(self, volume_m3: float) -> float:
        one, two, three = (float(self.r[f"volume_{n}"]) for n in (1, 2, 3))
        return brentq(
            lambda h: one * h + two * h**2 + three * h**3 - volume_m3, 0.0, 2.0, xtol=1e-13
        )

    def poured(self, t: float) -> tuple[float, float]:
        """Return the water poured by a time and how fast it is poured just after."""
        total, rate = 0.0, 0.0
        for start, mass, speed in zip(
            self.r["pour_start_s"], self.r["pour_mass_g"], self.r["pour_rate_g_s"], strict=True
        ):
            if t >= start and mass > 0:
                total += min((t - start) * speed, mass)
                rate += speed if (t - start) * speed < mass else 0.0
        return total, rate

    def hydraulics(self, t: float, y: np.ndarray, rate: float) -> dict[str, float]:
        k = self.k
        out, past, drunk, heat, wall = y[:5]
        poured, _ = self.poured(t)
        wet = 1 - math.exp(-poured / self.wetting_g)
        inside = poured - out - past
        free = max(inside - drunk - self.held_g * wet, 0.0)
        pond = max(free - self.pore_g, 0.0)
        slurry = heat / (k["grounds_j_g_k"] * self.dose + WATER_J_G_K * inside)
        rho = density_kg_m3(slurry)
        level = self.level_m(self.bed_m3 + pond / (1000 * rho)) if pond > 0 else self.depth_m
        push = rho * GRAVITY_M_S2 * level * min(free / self.pore_g, 1.0)
        fresh = 1 + k["early_resistance"] * math.exp(-t / k["early_s"])
        fresh += k["clogging"] * out / (WASH_G_G * self.dose)
        resist = (self.darcy * fresh + self.paper) / fluidity_per_pa_s(slurry)
        bend = rho / (2 * self.outlet_m2**2)  # push = resist q + bend q^2
        q = (-resist + math.sqrt(resist**2 + 4 * bend * push)) / (2 * bend)
        is_open = t >= float(self.r["open_s"])
        flow = 1000 * rho * q if is_open else 0.0
        along = k["bypass_share"] * max(1 - self.depth_m / level, 0.0) * flow
        kettle = float(self.r["room_c"]) + (
            float(self.r["kettle_c"]) - float(self.r["room_c"])
        ) * math.exp(-float(self.r["kettle_per_s"]) * t)
        drinks = (self.grain_g * wet - drunk) / k["wetting_s"]
        drinks *= free / (free + THIRST_SHARE * self.dose)
        into_wall = k["dripper_w_k"] * wet * (slurry - wall)
        room = float(self.r["room_c"])
        into_heat = WATER_J_G_K * (rate * (kettle - k["pour_loss_k"]) - (flow + along) * slurry)
        into_heat -= into_wall + k["slurry_loss_w_k"] * (slurry - room)
        wall_rate = (into_wall - k["dripper_loss_w_k"] * (wall - room)) / k["dripper_j_k"]
        wets = (1 - wet) * rate / self.wetting_g
        frees = rate - flow - along - drinks - self.held_g * wets
        filling = drinks + self.held_g * wets + (frees if free < self.pore_g else 0.0)
        return {
            "wet": wet,
            "free": free,
            "pond": pond,
            "slurry": slurry,
            "level": level,
            "flow": flow,
            "along": along,
            "drinks": drinks,
            "heat": into_heat,
            "wall": wall_rate,
            "top": flow + filling,
            "between": min(free, self.pore_g) + self.held_g * wet,
        }

    def __call__(self, t: float, y: np.ndarray, rate: float) -> np.ndarray:
        self.calls += 1
        k, now = self.k, self.hydraulics(t, y, rate)
        change = np.zeros_like(y)
        change[:5] = now["flow"], now["along"], now["drinks"], now["heat"], now["wall"]
        pond_g = y[5]
        least = LEAST_FULL * (self.pore_g + self.held_g)
        layer_g = max(now["between"], least) / len(CELLS)
        least_pond = LEAST_POND * self.dose
        above = pond_g / max(now["pond"], least_pond)
        film = max(1 - now["pond"] / least_pond, 0.0) / FILM_S * pond_g
        warm = 1 / (REFERENCE_C + KELVIN) - 1 / (now["slurry"] + KELVIN)
        faster = math.exp(k["activation_j_mol"] / GAS_J_MOL_K * warm)
        pressing = math.exp(k["partition_per_k"] * (now["slurry"] - REFERENCE_C))
        both = now["pond"] + now["between"]
        mixing = now["pond"] * now["between"] / both if both > 0 else 0.0
        mixing *= (1 + (k["mixed_faster"] - 1) * min(rate / MIXING_G_S, 1.0)) / k["mixing_s"]
        mixing /= len(CELLS)
        change[5] = -film - now["along"] * above
        change[6] = now["along"] * above
        cells = y[7:].reshape(LAYERS, STREAMS, CLASSES + 1)
        into = change[7:].reshape(LAYERS, STREAMS, CLASSES + 1)
        for layer, stream in CELLS:
            share = self.water_share[stream]
            inflow = share * (now["top"] + (now["flow"] - now["top"]) * layer / LAYERS)
            outflow = share * (now["top"] + (now["flow"] - now["top"]) * (layer + 1) / LAYERS)
            strength = cells[layer, stream, 0] / layer_g
            upper = above if layer == 0 else cells[layer - 1, stream, 0] / layer_g
            wet = 1 - (1 - now["wet"]) ** (STREAMS * share)
            gain = inflow * upper - outflow * strength + mixing * (above - strength)
            change[5] -= mixing * (above - strength) + (inflow * upper if layer == 0 else 0.0)
            if layer == 0:
                gain += film / STREAMS
            if layer == LAYERS - 1:
                change[6] += outflow * strength
            for kind in range(CLASSES):
                water = self.share[kind] * self.grain_g
                store = cells[layer, stream, 1 + kind]
                leaves = self.per_s[kind] * faster * wet * (pressing * store - water * strength)
                into[layer, stream, 1 + kind] = -leaves
                gain += leaves
            into[layer, stream, 0] = gain
        return change

    def start(self) -> np.ndarray:
        y = np.zeros(7 + len(CELLS) * (CLASSES + 1))
        y[3] = self.k["grounds_j_g_k"] * self.dose * float(self.r["room_c"])
        y[4] = float(self.r["dripper_c"])
        stores = y[7:].reshape(LAYERS, STREAMS, CLASSES + 1)
        stores[:, :, 1:] = self.share * self.soluble_g
        return y

    def kinks(self, end_s: float) -> list[float]:
        starts = self.r["pour_start_s"]
        ends = starts + self.r["pour_mass_g"] / self.r["pour_rate_g_s"]
        inner = {float(t) for t in (*starts, *ends, self.r["open_s"]) if 0 < t < end_s}
        return [0.0, *sorted(inner), end_s]


def brew_tightly(
    kits: Kits,
    recipes: Recipes,
    row: int = 0,
    *,
    end_s: float = 600.0,
    rtol: float = 1e-8,
    method: str = "LSODA",
) -> Reference:
    """Return one brew as scipy's solver sees it."""
    brew = Equations(kits, recipes, row)
    times, states = [], []
    y = brew.start()
    edges = brew.kinks(end_s)
    for start, end in pairwise(edges):
        _, rate = brew.poured(0.5 * (start + end))
        here = np.linspace(start, end, max(int((end - start) / 0.25), 4) + 1)
        solved = solve_ivp(
            brew,
            (start, end),
            y,
            method=method,
            args=(rate,),
            t_eval=here,
            rtol=rtol,
            atol=rtol * 1e-2,
            max_step=5.0,
        )
        assert solved.success, solved.message
        y = solved.y[:, -1]
        times.append(solved.t[:-1])
        states.append(solved.y[:, :-1])
    t, all_y = np.concatenate(times), np.concatenate(states, axis=1)
    seen = [brew.hydraulics(one, all_y[:, i], brew.poured(one)[1]) for i, one in enumerate(t)]
    last_s = max(edges[-2], 0.0)
    above = np.array([now["free"] - brew.pore_g for now in seen])
    leaving = np.array([now["flow"] + now["along"] for now in seen])
    visible_s = crossing(t, above, last_s)
    last_drop_s = crossing(t, leaving - LAST_DROP_G_S, visible_s)
    cup_g = float(np.interp(last_drop_s, t, all_y[6]))
    water_g = float(np.interp(last_drop_s, t, all_y[0] + all_y[1]))
    return Reference(
        bed_visible_s=visible_s,
        stream_breaks_s=crossing(t, leaving - STREAM_BREAKS_G_S, visible_s),
        last_drop_s=last_drop_s,
        beverage_g=water_g + cup_g,
        extraction=cup_g / brew.dose,
        peak_level_m=max(now["level"] for now in seen),
        calls=brew.calls,
    )


def crossing(t: np.ndarray, above: np.ndarray, last_s: float) -> float:
    """Return when a value was last above nothing, not before the last water."""
    up = np.nonzero(above > 0)[0]
    if not len(up) or up[-1] + 1 >= len(t):
        return last_s if not len(up) else float(t[-1])
    i = up[-1]
    share = above[i] / (above[i] - above[i + 1])
    return max(float(t[i] + share * (t[i + 1] - t[i])), last_s)
