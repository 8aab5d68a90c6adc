"""What a simulated brew is told: constants of kits, and recipes, each as arrays of one entry a row.

Axes, everywhere in this folder: n kits, m recipes, b brews (a kit with a recipe), p pours,
t steps of time, s streams, l layers of the bed from the top, k size classes.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Self

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """Arrays that share their first axis; each record below is one."""

    def __post_init__(self) -> None:
        lengths = {len(getattr(self, field.name)) for field in fields(self)}
        if len(lengths) != 1:
            raise ValueError(f"rows of different lengths: {sorted(lengths)}")
        for field in fields(self):
            if not np.all(np.isfinite(getattr(self, field.name))):
                raise ValueError(f"{field.name} must be finite")

    def __len__(self) -> int:
        return len(getattr(self, fields(self)[0].name))

    def take(self, rows: NDArray[np.intp]) -> Self:
        """Return the rows asked for, in the order asked for."""
        return replace(
            self, **{field.name: getattr(self, field.name)[rows] for field in fields(self)}
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Kits(Rows):
    """The constants of kits and coffees, each of shape (n,).

    Attributes:
        base_um, per_step_um: median size of the grounds at the burrs' zero, and by what it grows
            with each step, um.
        permeability_m2: of a bed whose median size is REFERENCE_UM, m2.
        grain_g_g, between_g_g: water that the wet bed keeps for good, inside its grains and between
            them, g per g dose; the two together are what is called retained.
        pore_g_g: water between the grains that drains at last, g per g dose.
        bed_ml_g: room the wet bed takes, mL per g dose.
        wetting_g_g: water that wets 63 % of a bed, g per g dose.
        wetting_s: time in which a wetted grain fills, s.
        early_resistance, early_s: share by which a fresh bed resists more, and how fast that goes.
        clogging: share by which it resists more once ten times the dose has run through.
        paper_per_m: the paper's resistance, 1/m (depth over permeability).
        bypass_share: water along the wall over water through the bed, at a pond of great depth.
        unevenness: share by which one half of the bed sees more water than the other sees less, at
            a pour of EVEN_G_S on a wet bed with the surfaces of EVEN_SURFACES.
        uneven_by_rate, uneven_by_dry, uneven_by_surfaces: how its logarithm grows with the square
            of the logarithm of the pour rate, the share of the bed that the first pour left dry,
            and the share of the grounds that is surface.
        soluble_share: what can be dissolved of a dose of REFERENCE_UM, a fraction.
        soluble_fall: share by which that falls when the median size grows e times.
        diffusivity_m2_s: in the grains at REFERENCE_C, m2/s.
        surface_s: time in which broken surfaces give up their solubles at REFERENCE_C, s.
        activation_j_mol: of diffusion and of the surfaces, J/mol.
        partition_per_k: share by which a grain's solubles press harder outwards a kelvin, 1/K.
        mixing_s: time in which a still pond and the bed mix, s.
        mixed_faster: how many times as fast they mix under a pour of MIXING_G_S.
        wetted_easier: share by which less water wets a bed whose bloom is stirred.
        outlet_share: area of the outlets over what was measured or is typical of the shape.
        grounds_j_g_k: heat capacity of dry grounds, J/(g K).
        dripper_j_k, dripper_w_k: heat capacity of the dripper, J/K, and slurry to dripper, W/K.
        dripper_loss_w_k, slurry_loss_w_k: to the room, W/K.
        pour_loss_k: what a stream loses between spout and bed, K.
    """

    base_um: Floats
    per_step_um: Floats
    permeability_m2: Floats
    grain_g_g: Floats
    between_g_g: Floats
    pore_g_g: Floats
    bed_ml_g: Floats
    wetting_g_g: Floats
    wetting_s: Floats
    early_resistance: Floats
    early_s: Floats
    clogging: Floats
    paper_per_m: Floats
    bypass_share: Floats
    unevenness: Floats
    uneven_by_rate: Floats
    uneven_by_dry: Floats
    uneven_by_surfaces: Floats
    soluble_share: Floats
    soluble_fall: Floats
    diffusivity_m2_s: Floats
    surface_s: Floats
    activation_j_mol: Floats
    partition_per_k: Floats
    mixing_s: Floats
    mixed_faster: Floats
    wetted_easier: Floats
    outlet_share: Floats
    grounds_j_g_k: Floats
    dripper_j_k: Floats
    dripper_w_k: Floats
    dripper_loss_w_k: Floats
    slurry_loss_w_k: Floats
    pour_loss_k: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipes(Rows):
    """What is brewed and in what dripper, each of shape (m,), the pours of shape (m, p).

    Attributes:
        dose_g: dry grounds, g.
        steps: grind setting, steps coarser than the zero.
        pour_start_s, pour_mass_g, pour_rate_g_s: each pour; a pour of no mass is none.
        kettle_c: water in the kettle at the first pour, degrees Celsius.
        kettle_per_s: rate at which it nears the room, 1/s; 0 for a kettle that holds.
        room_c, dripper_c: the room, and the dripper when the first water falls.
        open_s: when the outlet opens; 0 for a dripper without a valve.
        stirred: 1 where the bloom is stirred, which wets more easily; else 0.
        volume_1, volume_2, volume_3: the dripper's volume below a level h, m3, as
            volume_1 h + volume_2 h2 + volume_3 h3 with h in m.
        paper_m2: paper that the liquid leaves through, m2.
        outlet_m2: area of all outlets with their discharge coefficient, m2.
    """

    dose_g: Floats
    steps: Floats
    pour_start_s: Floats
    pour_mass_g: Floats
    pour_rate_g_s: Floats
    kettle_c: Floats
    kettle_per_s: Floats
    room_c: Floats
    dripper_c: Floats
    open_s: Floats
    stirred: Floats
    volume_1: Floats
    volume_2: Floats
    volume_3: Floats
    paper_m2: Floats
    outlet_m2: Floats


def stack(recipes: Sequence[Recipes]) -> Recipes:
    """Return the rows of many recipes as one, shorter ones with pours of no mass at their end."""
    pours = max(one.pour_mass_g.shape[1] for one in recipes)

    def column(name: str) -> Floats:
        parts = [np.asarray(getattr(one, name)) for one in recipes]
        if name.startswith("pour_"):
            parts = [
                np.pad(part, ((0, 0), (0, pours - part.shape[1])), mode="edge")
                if name != "pour_mass_g"
                else np.pad(part, ((0, 0), (0, pours - part.shape[1])))
                for part in parts
            ]
        return np.asarray(np.concatenate(parts), dtype=np.float64)

    return Recipes(**{field.name: column(field.name) for field in fields(Recipes)})


REFERENCE_UM = 700.0
REFERENCE_C = 93.0
EVEN_G_S = 5.0
EVEN_SURFACES = 0.33
