"""What is believed of a kit and a coffee before any brew: a median and a spread for each constant.

Every constant is positive, so its logarithm is taken as normal; in that space a belief is a row of
standard normals, which is how samples are drawn and how brews teach. What nobody has measured has
a wide spread, and its note says so.
"""

from dataclasses import dataclass

import numpy as np

from halfclick.physics.brew.arrays import Floats, Kits


@dataclass(frozen=True, slots=True)
class Prior:
    """A log-normal belief: its median, the standard deviation of its logarithm, and its ground."""

    median: float
    spread: float
    source: str


OWN = "our own default, no source"

# In the order of `Kits`, but for the first: what is believed is the size at the setting that a
# person uses, of which drained times speak, and not that at the burrs' zero, where nobody brews.
PRIORS: dict[str, Prior] = {
    "size_um": Prior(700.0, 0.3, "medium grinds of filter brewing: d50 of 500 to 800 um"),
    "per_step_um": Prior(20.0, 0.6, OWN),
    "permeability_m2": Prior(
        2e-11,
        0.7,
        "a gravity brew of 3 mL/s needs about 1.1e-11; loose beds by tomography have 1.6e-11 and "
        "more (Wadsworth et al. 2026)",
    ),
    "grain_g_g": Prior(1.2, 0.12, OWN),
    "between_g_g": Prior(0.9, 0.2, OWN),
    "pore_g_g": Prior(0.7, 0.3, OWN),
    "bed_ml_g": Prior(2.6, 0.15, "loose bulk density 330 to 400 kg/m3, swollen by 15 %"),
    "wetting_g_g": Prior(1.44, 0.4, "one dose of water wets about half a bed"),
    "wetting_s": Prior(20.0, 0.3, "Hargarten et al. (2020): 71 to 83 % swollen within 30 s"),
    "early_resistance": Prior(0.8, 0.8, "seen to rise and fall (Melrose 2019); size unknown"),
    "early_s": Prior(30.0, 0.5, OWN),
    "clogging": Prior(0.15, 1.0, "whether fines wander is unknown"),
    "paper_per_m": Prior(2e9, 0.8, "no measured value was found"),
    "bypass_share": Prior(0.06, 0.8, OWN),
    "unevenness": Prior(0.2, 0.6, OWN),
    "uneven_by_rate": Prior(0.3, 1.0, "that pouring matters is seen; by how much is unknown"),
    "uneven_by_dry": Prior(1.0, 1.0, OWN),
    "uneven_by_surfaces": Prior(2.0, 1.0, OWN),
    "soluble_share": Prior(
        0.245, 0.08, "Liang et al. (2021): 0.19 to 0.24; Moroney et al. (2015): to 0.30"
    ),
    "soluble_fall": Prior(
        0.25,
        0.4,
        "Liang et al. (2021): 23 to 19 % from 580 to 1310 um; Moroney et al. (2015): 0.3",
    ),
    "diffusivity_m2_s": Prior(2.5e-10, 0.4, "Roman-Corrochano (2017): 6e-11 to 4e-10 at 80 C"),
    "surface_s": Prior(12.0, 0.6, "Maille (2024): 3 to 19 s; Moroney et al. (2015): 20 to 35 s"),
    "activation_j_mol": Prior(15e3, 0.3, "diffusion in water by temperature over viscosity"),
    "partition_per_k": Prior(0.004, 0.6, "Roman-Corrochano (2017): +10 % over 80 to 99 C"),
    "mixing_s": Prior(60.0, 0.8, OWN),
    "grounds_j_g_k": Prior(1.6, 0.1, "from memory"),
    "dripper_j_k": Prior(200.0, 0.5, "mass times heat capacity where both are known"),
    "dripper_w_k": Prior(3.0, 0.5, OWN),
    "dripper_loss_w_k": Prior(0.3, 0.5, OWN),
    "slurry_loss_w_k": Prior(0.8, 0.4, OWN),
    "pour_loss_k": Prior(2.0, 0.5, OWN),
    "mixed_faster": Prior(10.0, 0.7, "that a pour mixes is seen; by how much is unknown"),
    "wetted_easier": Prior(1.0, 0.7, "that stirring wets is seen; by how much is unknown"),
    "outlet_share": Prior(1.0, 0.4, "typical outlets of a shape, from memory"),
}
NAMES = tuple(PRIORS)
# A setting in the middle of those a person uses, steps from zero, until one is known.
MIDDLE_STEPS = 20.0


def kits_at(
    normals: Floats, beliefs: dict[str, Prior] = PRIORS, *, middle_steps: float = MIDDLE_STEPS
) -> Kits:
    """Return the kits that rows of standard normals stand for.

    Args:
        normals: shape (n, d), a column a constant in the order of NAMES.
        beliefs: of each constant.
        middle_steps: the setting at which the size is believed, steps from zero.
    """
    columns = {
        name: beliefs[name].median * np.exp(beliefs[name].spread * normals[:, place])
        for place, name in enumerate(NAMES)
    }
    size_um = columns.pop("size_um")
    return Kits(base_um=size_um - middle_steps * columns["per_step_um"], **columns)
