"""Sizes of ground coffee as a simulation takes them: surfaces, and kernels in equal shares.

Fitted here to four drip grinds from 405 to 771 um (volume distributions of Moroney et al. 2015,
read off its figures by others): two lognormals describe them well, and the share of fines falls
as the median grows. Instruments differ; only sizes found by one of them compare.
"""

from statistics import NormalDist

import numpy as np

from halfclick.physics.brew.arrays import Floats

# Share below 100 um at 405 um, and by what it falls when the median grows e times.
FINES_AT_405 = 0.252
FINES_FALL = 0.1615
FEWEST_FINES, MOST_FINES = 0.05, 0.5
# The coarser lognormal: its median over that of the whole, and its spread.
COARSER = 1.27
SPREAD = 0.44
# Cells within half a cell of a grain's surface are broken open; a cell is 30 um wide (the same
# source).
CELL_UM = 30.0


def fines_share(median_um: Floats) -> Floats:
    """Return the share of the volume in grains below 100 um, shape (n,)."""
    share = FINES_AT_405 - FINES_FALL * np.log(median_um / 405.0)
    return np.asarray(np.clip(share, FEWEST_FINES, MOST_FINES))


def size_classes(median_um: Floats, kernels: int) -> tuple[Floats, Floats]:
    """Return the sizes of kernels and the shares of surfaces and kernels.

    Args:
        median_um: median of the whole by volume, um, shape (n,).
        kernels: in how many classes of equal share the coarser grains are taken.

    Returns:
        Diameters, um, (n, kernels); and shares of the volume, (n, kernels + 1): all fines and the
        broken surfaces first, then the kernels. Shares sum to 1.
    """
    middles = (np.arange(kernels) + 0.5) / kernels
    normals = np.array([NormalDist().inv_cdf(share) for share in middles])
    diameter_um = COARSER * median_um[:, None] * np.exp(SPREAD * normals)
    broken = 1.0 - (1.0 - np.minimum(CELL_UM / diameter_um, 1.0)) ** 3
    fines = fines_share(median_um)[:, None]
    each = (1.0 - fines) / kernels
    surfaces = fines + (each * broken).sum(axis=1, keepdims=True)
    return diameter_um, np.concatenate((surfaces, each * (1.0 - broken)), axis=1)
