"""Kits and recipes to simulate in tests, drawn around what is believed before any brew."""

import numpy as np

from halfclick.physics.brew.arrays import Kits, Recipes
from halfclick.physics.brew.priors import NAMES, kits_at

# A cone 115 mm wide above and 10 mm below, 90 mm high; a flat bottom 115, 45 and 60 mm.
CONE = (0.115, 0.010, 0.090)
FLAT = (0.115, 0.045, 0.060)


def usual_kit() -> Kits:
    """Return the kit of every median."""
    return kits_at(np.zeros((1, len(NAMES))))


def some_kits(count: int, *, seed: int, spread: float = 0.5) -> Kits:
    """Return kits drawn so many standard deviations around the medians."""
    return kits_at(spread * np.random.default_rng(seed).standard_normal((count, len(NAMES))))


def a_recipe(**changes: object) -> Recipes:
    """Return one row: 20 g with 320 g in a bloom and two pours on a cone, unless told otherwise."""
    top, bottom, height = changes.pop("dripper", CONE)  # type: ignore[misc]
    low, slope = bottom / 2, (top - bottom) / 2 / height
    values: dict[str, object] = {
        "dose_g": 20.0,
        "steps": 20.0,
        "pour_start_s": [0.0, 45.0, 80.0],
        "pour_mass_g": [60.0, 130.0, 130.0],
        "pour_rate_g_s": [5.0, 5.0, 5.0],
        "kettle_c": 94.0,
        "kettle_per_s": 2e-4,
        "room_c": 22.0,
        "dripper_c": 50.0,
        "open_s": 0.0,
        "stirred": 0.0,
        "volume_1": np.pi * low**2,
        "volume_2": np.pi * low * slope,
        "volume_3": np.pi * slope**2 / 3,
        "paper_m2": 0.008,
        "outlet_m2": 1e-4,
        **changes,
    }
    return Recipes(**{name: np.array([value], dtype=float) for name, value in values.items()})
