"""What was measured of a kit, as beliefs of its constants: grounds sieved."""

from collections.abc import Sequence
from itertools import accumulate, pairwise

import numpy as np

from halfclick.model.sieving import Sieving
from halfclick.physics.brew.priors import Prior

# How well a median is known from one stack of sieves: shaking, fines that cling and the straight
# line between two openings (our own default, no source).
SIEVED_SD = 0.10
SIEVED = "sieved grounds"
_ROUNDS = 20


def median_um(sieving: Sieving) -> float | None:
    """Return the size that half of the mass is finer than, um; None where no two sieves hold it.

    Between two openings the cumulative share is taken as straight over the logarithm of size.
    """
    whole = sum(sieving.shares)
    coarser = [share / whole for share in accumulate(sieving.shares[:-1])]
    rows = list(zip(sieving.openings_um, coarser, strict=True))
    for (above_um, above), (below_um, below) in pairwise(rows):
        if above <= 0.5 <= below and below > above:
            part = (0.5 - above) / (below - above)
            return float(above_um * (below_um / above_um) ** part)
    return None


def sieved_priors(
    priors: dict[str, Prior], sievings: Sequence[Sieving], middle_steps: float
) -> dict[str, Prior]:
    """Return priors with the size at a setting, and its growth a step, as the sieves tell them.

    Args:
        priors: what is believed without them.
        sievings: of the burrs that are in the grinder now.
        middle_steps: the setting at which the size is believed, steps from zero.
    """
    told = [(one.setting.steps, found) for one in sievings if (found := median_um(one))]
    return mapped_priors(priors, told, middle_steps) if told else priors


def mapped_priors(
    priors: dict[str, Prior], told: Sequence[tuple[float, float]], middle_steps: float
) -> dict[str, Prior]:
    """Return priors with a straight line from steps to sizes through what was measured.

    Gauss and Newton on the logarithms of the size at a setting and of its growth a step.

    Args:
        priors: what is believed without it.
        told: steps from zero, and the median measured there, um; one or more.
        middle_steps: the setting at which the size is believed, steps from zero.
    """
    size, step = priors["size_um"], priors["per_step_um"]
    start = np.log([size.median, step.median])
    away = np.array([steps - middle_steps for steps, _ in told])
    seen = np.log([found for _, found in told])
    belief = np.diag([size.spread**-2, step.spread**-2])
    mean, precision = start.copy(), belief
    for _ in range(_ROUNDS):
        size_um, per_step_um = np.exp(mean)
        sieved_um = np.maximum(size_um + away * per_step_um, 1.0)
        slopes = np.stack((size_um / sieved_um, away * per_step_um / sieved_um), axis=1)
        precision = belief + slopes.T @ slopes / SIEVED_SD**2
        uphill = slopes.T @ (seen - np.log(sieved_um)) / SIEVED_SD**2 - belief @ (mean - start)
        mean = mean + np.clip(np.linalg.solve(precision, uphill), -0.5, 0.5)
    spreads = np.sqrt(np.diag(np.linalg.inv(precision)))
    return {
        **priors,
        "size_um": Prior(float(np.exp(mean[0])), float(spreads[0]), SIEVED),
        "per_step_um": Prior(
            float(np.exp(mean[1])),
            float(spreads[1]),
            SIEVED if spreads[1] < 0.9 * step.spread else step.source,
        ),
    }
