"""Grounds: from a dial to sizes, the fines among them, and the classes a simulation works with.

Sizes are diameters in um by volume, as laser diffraction in liquid has them; an instrument in air
reads the same lot coarser (508 against 628 um, Maille 2024, table 5.2), so methods never mix.
`median_um` below is always that of all grounds, fines included.
"""

from __future__ import annotations

import math
from statistics import NormalDist
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

# Two log-normals, fitted here to the 10th, 50th and 90th percentiles and the shares below 100 um
# of four drip grinds (Moroney et al. 2015, figures 1 and 9, read from a public digitisation), with
# ln(median / 500 um) as the only variable: share of the fines, ln of their median, their spread,
# and the spread of the rest. Percentages below 100 um come back within 0.5, percentiles within
# 1.4 points. Fitted for medians of 400 to 780 um; outside, a continuation.
_MIDDLE_UM = 500.0
_FINES_SHARE = (0.2996, -0.1294)
_FINES_LN_UM = (3.6895, 0.9532)
_FINES_SPREAD = 1.5614
_MAIN_SPREAD = (0.4673, -0.0943)
# Medians beyond these are taken as these (our own default).
FINEST_UM = 150.0
COARSEST_UM = 2500.0
# Grounds below this are broken cells throughout (our own default: three cells of 30 um across).
FINES_UM = 100.0
# A cell's size (Moroney et al. 2015, table 2); half of it is broken open at a cut.
CELL_UM = 30.0
# Colder beans grind finer (Uman et al. 2016, direction only); share of the median a kelvin, and
# its spread, are our own default and wide.
FINER_PER_K = 0.001
FINER_SD_PER_K = 0.001
ROOM_C = 20.0


def share_below(median_um: Floats | float, size_um: float) -> Floats:
    """Return the volume share of grounds below a size, of the shape of `median_um`."""
    import numpy as np

    fines, fines_um, spread, main_um = mixture(median_um)
    of_fines = _normal(np.log(size_um / fines_um) / _FINES_SPREAD)
    of_main = _normal(np.log(size_um / main_um) / spread)
    return fines * of_fines + (1.0 - fines) * of_main


def mixture(median_um: Floats | float) -> tuple[Floats, Floats, Floats, Floats]:
    """Return the share and median of the fines, and the spread (of ln) and median of the rest.

    Each of the shape of `median_um`; the median of the rest is such that half of all grounds lie
    below `median_um`.
    """
    import numpy as np

    size_um = np.clip(np.asarray(median_um, dtype=np.float64), FINEST_UM, COARSEST_UM)
    x = np.log(size_um / _MIDDLE_UM)
    fines = _FINES_SHARE[0] + _FINES_SHARE[1] * x
    fines_um = np.exp(_FINES_LN_UM[0] + _FINES_LN_UM[1] * x)
    spread = _MAIN_SPREAD[0] + _MAIN_SPREAD[1] * x
    below = fines * _normal(np.log(size_um / fines_um) / _FINES_SPREAD)
    of_main = (0.5 - below) / (1.0 - fines)
    return fines, fines_um, spread, size_um * np.exp(-spread * _deviate(of_main))


def size_classes(median_um: Floats, classes: int = 3) -> tuple[Floats, Floats]:
    """Return the diameters of classes of grounds, and the shares of their solubles.

    The grounds above 100 um fall into classes of equal volume, each at its middle quantile; what
    lies within half a cell of their surface, and all below 100 um, is broken open.

    Args:
        median_um: medians of all grounds, shape (n,).
        classes: how many kernels' classes, k.

    Returns:
        diameters, um, shape (n, k), and shares, shape (n, k + 1), that of broken cells first;
        each row of shares sums to 1.
    """
    import numpy as np

    _, _, spread, main_um = mixture(median_um)
    deviates = np.array([NormalDist().inv_cdf((i + 0.5) / classes) for i in range(classes)])
    diameters = main_um[:, None] * np.exp(spread[:, None] * deviates)  # (n, k)
    whole = (1.0 - np.minimum(CELL_UM / diameters, 1.0)) ** 3
    above = 1.0 - share_below(median_um, FINES_UM)  # (n,)
    kernels = above[:, None] * whole / classes  # (n, k)
    broken = 1.0 - kernels.sum(axis=1, keepdims=True)  # (n, 1)
    return diameters, np.concatenate((broken, kernels), axis=1)


def cold_beans_ratio(bean_c: float) -> tuple[float, float]:
    """Return the median over that of beans at 20 degrees Celsius, and its standard deviation."""
    colder_k = ROOM_C - bean_c
    middle = math.exp(-FINER_PER_K * colder_k)
    return middle, middle * FINER_SD_PER_K * abs(colder_k)


def _normal(deviate: Floats) -> Floats:
    """Return the normal distribution's share below a deviate (Abramowitz & Stegun 7.1.26)."""
    import numpy as np

    x = np.abs(deviate) / math.sqrt(2.0)
    t = 1.0 / (1.0 + 0.3275911 * x)
    poly = 1.421413741 + t * (-1.453152027 + t * 1.061405429)
    beyond = t * (0.254829592 + t * (-0.284496736 + t * poly)) * np.exp(-x * x) / 2.0
    return np.asarray(np.where(deviate < 0, beyond, 1.0 - beyond))


def _deviate(share: Floats) -> Floats:
    """Return the normal deviate of a share up to a half (Abramowitz & Stegun 26.2.23)."""
    import numpy as np

    t = np.sqrt(-2.0 * np.log(share))
    above = 2.515517 + t * (0.802853 + t * 0.010328)
    return np.asarray(above / (1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308))) - t)
