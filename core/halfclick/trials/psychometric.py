"""How often an answer is right at a mean difference d', and d' from a share of right answers.

d' is the distance of two brews in standard deviations of what a taster perceives. Each way of
asking ("protocol") turns it into a share of right answers. All laws here are closed: integrals of
the normal distribution over a wedge are Owen's T function, which scipy has. Sources of the laws:
Christensen, Statistical methodology for sensory discrimination tests (the integrals of the
two- and three-alternative choice, duo-trio and triangle); the grouping law's integral is from
memory and agrees with sensR 1.5-3. That they come down to Owen's T was worked out here.
"""

from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy import special

Floats = NDArray[np.float64]

# A probability of a miss below this is none; d' is unbounded there.
LARGEST_DPRIME = 50.0


class Protocol(StrEnum):
    """A way of asking whose answers are right or wrong."""

    PAIR = "pair"  # two cups: which has it?
    THREE_CHOICE = "three_choice"  # three cups: which one has it?
    TRIANGLE = "triangle"  # three cups: which is the odd one?
    DUO_TRIO = "duo_trio"  # a reference and two cups: which is the reference?
    GROUPING = "grouping"  # four cups: make two groups of two
    SINGLE = "single"  # one cup: has it, or not?


GUESSED = {
    Protocol.PAIR: 1 / 2,
    Protocol.THREE_CHOICE: 1 / 3,
    Protocol.TRIANGLE: 1 / 3,
    Protocol.DUO_TRIO: 1 / 2,
    Protocol.GROUPING: 1 / 3,
    Protocol.SINGLE: 1 / 2,
}
CUPS = {
    Protocol.PAIR: 2,
    Protocol.THREE_CHOICE: 3,
    Protocol.TRIANGLE: 3,
    Protocol.DUO_TRIO: 3,
    Protocol.GROUPING: 4,
    Protocol.SINGLE: 1,
}


def share_right(protocol: Protocol, dprime: float | Floats) -> Floats:
    """Return the share of right answers at d', any shape; from the guess rate up to 1.

    Raises:
        ValueError: a d' is below 0.
    """
    return np.asarray(1.0 - share_wrong(protocol, dprime))


def share_wrong(protocol: Protocol, dprime: float | Floats) -> Floats:
    """Return the share of wrong answers at d', any shape, exact where hardly any is wrong.

    Raises:
        ValueError: a d' is below 0.
    """
    d = np.asarray(dprime, dtype=float)
    if np.any(d < 0):
        raise ValueError(f"d' must be 0 or more, got {dprime}")
    match protocol:
        case Protocol.PAIR:
            wrong = special.ndtr(-d / np.sqrt(2))
        case Protocol.THREE_CHOICE:
            h = d / np.sqrt(2)
            wrong = special.ndtr(-h) + 2 * special.owens_t(h, 1 / np.sqrt(3))
        case Protocol.TRIANGLE:
            wrong = 4 * special.owens_t(d / np.sqrt(6), np.sqrt(3))
        case Protocol.DUO_TRIO:
            a, b = d / np.sqrt(2), d / np.sqrt(6)
            wrong = special.ndtr(a) * special.ndtr(-b) + special.ndtr(b) * special.ndtr(-a)
        case Protocol.GROUPING:
            wrong = 8 * special.owens_t(d / np.sqrt(2), 1 / np.sqrt(3))
        case Protocol.SINGLE:
            wrong = special.ndtr(-d / 2)
    return np.asarray(wrong)


def slope(protocol: Protocol, dprime: float | Floats) -> Floats:
    """Return the derivative of the share of right answers by d', any shape."""
    d = np.asarray(dprime, dtype=float)
    match protocol:
        case Protocol.PAIR:
            rise = _density(d / np.sqrt(2)) / np.sqrt(2)
        case Protocol.THREE_CHOICE:
            h = d / np.sqrt(2)
            rise = np.sqrt(2) * _density(h) * special.ndtr(h / np.sqrt(3))
        case Protocol.TRIANGLE:
            h = d / np.sqrt(6)
            rise = 4 / np.sqrt(6) * _density(h) * (special.ndtr(np.sqrt(3) * h) - 0.5)
        case Protocol.DUO_TRIO:
            a, b = d / np.sqrt(2), d / np.sqrt(6)
            rise = (2 * special.ndtr(b) - 1) * _density(a) / np.sqrt(2)
            rise = rise + (2 * special.ndtr(a) - 1) * _density(b) / np.sqrt(6)
        case Protocol.GROUPING:
            h = d / np.sqrt(2)
            rise = 8 / np.sqrt(2) * _density(h) * (special.ndtr(h / np.sqrt(3)) - 0.5)
        case Protocol.SINGLE:
            rise = _density(d / 2) / 2
    return np.asarray(rise)


def dprime_of(protocol: Protocol, right_share: float) -> float:
    """Return the d' at which so large a share is right: 0 at chance or below, infinite at 1.

    Raises:
        ValueError: the share is not 0 to 1.
    """
    if not 0.0 <= right_share <= 1.0:
        raise ValueError(f"a share must be 0 to 1, got {right_share}")
    if right_share <= GUESSED[protocol]:
        return 0.0
    wrong = 1.0 - right_share
    if wrong <= share_wrong(protocol, LARGEST_DPRIME):
        return float("inf")
    from scipy.optimize import brentq  # loaded late: it takes longer than all else here

    def above(dprime: float) -> float:
        return float(share_wrong(protocol, dprime)) - wrong

    return float(brentq(above, 0.0, LARGEST_DPRIME, xtol=1e-13, rtol=1e-14))


def discriminators(protocol: Protocol, right_share: float) -> float:
    """Return the share who would always be right were all others guessing; 0 below chance."""
    guessed = GUESSED[protocol]
    return max(0.0, (right_share - guessed) / (1.0 - guessed))


def right_of_discriminators(protocol: Protocol, share: float) -> float:
    """Return the share of right answers where so many always know and all others guess."""
    guessed = GUESSED[protocol]
    return guessed + share * (1.0 - guessed)


def _density(z: Floats) -> Floats:
    return np.asarray(np.exp(-z * z / 2) / np.sqrt(2 * np.pi))
