"""What will be observed of a next cup: bands that hold noise, misses and doubt together."""

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.decide import Decider
from halfclick.dialling.discrepancy import corrected, kernel, scaled
from halfclick.dialling.evidence import day_of, expected_of, miss_of, noise_of
from halfclick.dialling.forward import Brews, cups_of
from halfclick.dialling.request import MARKS

Floats = NDArray[np.float64]
Band = tuple[float, float, float]
SHARES = (0.1, 0.5, 0.9)


def expected_at(
    decider: Decider, row: Floats, rng: np.random.Generator
) -> tuple[dict[str, Band], dict[str, Band]]:
    """Return the bands of clock, strength and liking, and of each mark, at a recipe."""
    evidence = decider.posterior.evidence
    brews = Brews(row[None], evidence.brews.context, decider.posterior.middle)
    here = cups_of(decider.draws, brews)
    tried = cups_of(decider.draws, evidence.brews)
    across = kernel(scaled(evidence.brews), scaled(brews))
    days_told = evidence.same_day.any()
    bands: dict[str, Band] = {}
    for name in ("log_time", "strength", "liking", *MARKS):
        middle = expected_of(here, name)
        miss, noise = miss_of(name), noise_of(name, decider.draws, here)
        rotation = evidence.rotations[name]
        variance = np.full_like(middle, miss * miss)
        if len(rotation.which):
            residual = evidence.seen[name] - expected_of(tried, name)
            more, variance = corrected(rotation, residual, across, miss, noise)
            middle = middle + more
        if days_told:  # the next cup may be of another day
            variance = variance + day_of(name) ** 2
        spread = np.sqrt(variance + noise * noise)
        drawn = middle + spread * rng.standard_normal(middle.shape)
        bands[name] = _band(np.quantile(drawn, SHARES), name)
    return (
        {
            "time_s": bands["log_time"],
            "strength_pct": bands["strength"],
            "liking": bands["liking"],
        },
        {mark: bands[mark] for mark in MARKS},
    )


def _band(values: Floats, name: str) -> Band:
    if name == "log_time":
        values = np.exp(values)
    elif name == "liking":
        values = np.clip(values, 1.0, 9.0)
    elif name in MARKS:
        values = np.clip(values, 0.0, 10.0)
    low, middle, high = np.maximum(values, 0.0).tolist()
    return low, middle, high
