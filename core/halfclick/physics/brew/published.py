"""Published extraction curves, and what the simulation says of them: how good is this model.

The coffee of one laboratory has constants of its own. They were fitted to its stirred curves of
the finest and of the coarsest grind alone (least squares, `tests/benchmarks/published.py` fits
them again); every other curve is a prediction.
"""

import tomllib
from dataclasses import dataclass, replace
from importlib import resources

import numpy as np

from halfclick.physics.brew.arrays import Floats, Kits, Recipes
from halfclick.physics.brew.laboratory import pumped, stirred
from halfclick.physics.brew.priors import NAMES, kits_at

# Of the fitted coffee, by the names of `Kits`.
FITTED = {
    "soluble_share": 0.271,
    "soluble_fall": 0.301,
    "diffusivity_m2_s": 2.26e-10,
    "surface_s": 9.81,
}
# An experiment is even by the care taken; a share that is nothing cannot be drawn.
EVEN = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """One published curve: at seconds, or at grams that have left; seen in kg/m3, or g/kg."""

    name: str
    source: str
    kind: str
    fitted: bool
    size_um: float
    dose_g: float
    moisture: float
    temperature_c: float
    at: tuple[float, ...]
    seen: tuple[float, ...]
    water_g: float = 0.0
    flow_g_s: float = 0.0
    pore_g: float = 0.0


def read_curves() -> tuple[Curve, ...]:
    """Return the published curves."""
    folder = resources.files("halfclick_resources") / "published"
    rows = tomllib.loads((folder / "curves.toml").read_text(encoding="utf-8"))["curve"]
    return tuple(
        Curve(**{**row, "at": tuple(row["at"]), "seen": tuple(row["seen"])}) for row in rows
    )


def predicted(curve: Curve, constants: dict[str, float] | None = None) -> Floats:
    """Return what the simulation says at each point of a curve, in the curve's unit.

    Args:
        curve: which experiment.
        constants: of the coffee; those fitted here if none are given.
    """
    kits = _coffee(curve, FITTED if constants is None else constants)
    recipe = _recipe(curve)
    if curve.kind == "stirred":
        time_s = np.arange(0.0, max(curve.at) + 2.0)
        strength = stirred(kits, recipe, time_s, temperature_c=curve.temperature_c)
        return np.asarray(np.interp(curve.at, time_s, strength) * DENSITY_KG_M3)
    time_s = np.arange(0.0, max(curve.at) / curve.flow_g_s + 60.0, 0.5)
    drink_g, solids_g = pumped(
        kits,
        recipe,
        time_s,
        flow_g_s=curve.flow_g_s,
        pore_g=curve.pore_g,
        temperature_c=curve.temperature_c,
    )
    return np.asarray(np.interp(curve.at, drink_g, solids_g) / np.array(curve.at) * 1000.0)


# Of the water in the stirred vessel at 85 C with 3 % of solids in it (from memory).
DENSITY_KG_M3 = 970.0


def _coffee(curve: Curve, constants: dict[str, float]) -> Kits:
    usual = kits_at(np.zeros((1, len(NAMES))))
    return replace(
        usual,
        base_um=np.array([curve.size_um]),
        per_step_um=np.array([0.0]),
        unevenness=np.array([EVEN]),
        **{name: np.array([value]) for name, value in constants.items()},
    )


def _recipe(curve: Curve) -> Recipes:
    one = np.ones(1)
    return Recipes(
        dose_g=one * curve.dose_g * (1.0 - curve.moisture),
        steps=0.0 * one,
        pour_start_s=np.zeros((1, 1)),
        pour_mass_g=np.array([[max(curve.water_g, 1.0)]]),
        pour_rate_g_s=np.array([[5.0]]),
        kettle_c=one * curve.temperature_c,
        kettle_per_s=0.0 * one,
        room_c=22.0 * one,
        dripper_c=one * curve.temperature_c,
        open_s=0.0 * one,
        stirred=0.0 * one,
        volume_1=0.01 * one,
        volume_2=0.0 * one,
        volume_3=0.0 * one,
        paper_m2=0.01 * one,
        outlet_m2=1e-4 * one,
    )
