"""The binomial law by scipy's special functions alone: its statistics take a second to load."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]
# Chances that differ by no larger share are the same: a count is not lost to rounding.
CLOSE = 1e-9


def at_most(right: ArrayLike, asked: ArrayLike, share: ArrayLike) -> Floats:
    """Return the chance of so many or fewer, shapes broadcast; 0 of fewer than none."""
    right, asked = np.asarray(right, dtype=float), np.asarray(asked)
    found = special.bdtr(np.clip(right, 0, asked), asked, share)
    return np.asarray(np.where(right < 0, 0.0, found), dtype=float)


def more_than(right: ArrayLike, asked: ArrayLike, share: ArrayLike) -> Floats:
    """Return the chance of more than so many, shapes broadcast; 1 of more than fewer than none."""
    right, asked = np.asarray(right, dtype=float), np.asarray(asked)
    found = special.bdtrc(np.clip(right, 0, asked), asked, share)
    return np.asarray(np.where(right < 0, 1.0, found), dtype=float)


def least_reaching(chance: float, asked: ArrayLike, share: ArrayLike) -> Counts:
    """Return the least count such that it or fewer come with a chance, any shape.

    Args:
        chance: well within 0 and 1.
        asked: of how many.
        share: the chance of each.
    """
    near = _near(chance, asked, share)
    down = at_most(near - 1, asked, share) >= chance * (1 - CLOSE)
    near = np.where(down, near - 1, near)
    up = at_most(near, asked, share) < chance * (1 - CLOSE)
    return np.asarray(np.clip(np.where(up, near + 1, near), 0, asked), dtype=np.int64)


def least_exceeded(chance: float, asked: ArrayLike, share: ArrayLike) -> Counts:
    """Return the least count such that more than it come with at most a chance, any shape.

    Args:
        chance: well within 0 and 1.
        asked: of how many.
        share: the chance of each.
    """
    near = _near(1.0 - chance, asked, share)
    down = more_than(near - 1, asked, share) <= chance * (1 + CLOSE)
    near = np.where(down, near - 1, near)
    up = more_than(near, asked, share) > chance * (1 + CLOSE)
    return np.asarray(np.clip(np.where(up, near + 1, near), 0, asked), dtype=np.int64)


def _near(chance: float, asked: ArrayLike, share: ArrayLike) -> Floats:
    """Return counts that are one off at most, from a continuous root; 0 where none is right."""
    return np.asarray(np.nan_to_num(np.ceil(special.bdtrik(chance, asked, share))), dtype=float)
