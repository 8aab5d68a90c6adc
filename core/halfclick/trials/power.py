"""How likely a planned number of answers finds a difference; exact, saw-toothed as it is.

One more answer may lower the power, since the number that must be right is whole. So there are two
sample sizes: the first that reaches a power, and the stable one from which on all do (Ennis and
Jesionka 2011, Journal of Sensory Studies 26:371-382).
"""

import numpy as np
from numpy.typing import NDArray

from halfclick.trials.binomial import CLOSE, at_most, least_exceeded, least_reaching, more_than
from halfclick.trials.psychometric import GUESSED, Floats, Protocol, share_right

Counts = NDArray[np.int64]

ALPHA = 0.05
# Sizes are looked for up to the last of these; most are found at once in the first.
SEARCHED_UP_TO = (500, 4_000, 32_000)
MOST_ANSWERS = SEARCHED_UP_TO[-1]
TEETH = 60


def critical_right(asked: int | Counts, guessed: float, alpha: float = ALPHA) -> Counts:
    """Return how many must be right to call it shown, any shape; one more than asked: none can."""
    return least_exceeded(alpha, asked, guessed) + 1


def power(
    protocol: Protocol, dprime: float | Floats, asked: int | Counts, alpha: float = ALPHA
) -> Floats:
    """Return the chance that a difference is shown, shapes broadcast.

    Args:
        protocol: the way of asking.
        dprime: the difference, 0 or more; at 0 it is the chance of a false alarm.
        asked: planned answers, 1 or more.
        alpha: the largest chance of a false alarm.
    """
    return power_of_share(share_right(protocol, dprime), asked, GUESSED[protocol], alpha)


def power_of_share(
    right_share: float | Floats, asked: int | Counts, guessed: float, alpha: float = ALPHA
) -> Floats:
    """Return the chance that a share of right answers is shown to be above guessing."""
    needed = critical_right(asked, guessed, alpha)
    return more_than(needed - 1, asked, right_share)


def similarity_power(
    right_share: float, limit_share: float, asked: int | Counts, alpha: float = ALPHA
) -> Floats:
    """Return the chance that answers right with a share are shown to be below a limit share."""
    # The most that may be right: P(X <= most) is at most alpha at the limit.
    most = least_reaching(alpha, asked, limit_share)
    over = at_most(most, asked, limit_share) > alpha * (1 + CLOSE)
    return at_most(most - over, asked, right_share)


def power_curve(
    protocol: Protocol, dprime: float, most: int, alpha: float = ALPHA
) -> tuple[Counts, Floats]:
    """Return numbers of answers from 1 to `most` and the power of each, both of shape (most,)."""
    asked = np.arange(1, most + 1)
    return asked, power(protocol, dprime, asked, alpha)


def first_size(
    protocol: Protocol, dprime: float, wanted: float = 0.8, alpha: float = ALPHA
) -> int | None:
    """Return the fewest answers whose power is as wanted; None beyond `MOST_ANSWERS`."""
    return _first(share_of(protocol, dprime), GUESSED[protocol], wanted, alpha)


def stable_size(
    protocol: Protocol, dprime: float, wanted: float = 0.8, alpha: float = ALPHA
) -> int | None:
    """Return the fewest answers from which on every number has the power wanted."""
    return stable_size_of_share(share_of(protocol, dprime), GUESSED[protocol], wanted, alpha)


def stable_size_of_share(
    right_share: float, guessed: float, wanted: float = 0.8, alpha: float = ALPHA
) -> int | None:
    """Return the stable size for a share of right answers; None beyond `MOST_ANSWERS`."""
    first = _first(right_share, guessed, wanted, alpha)
    if first is None:
        return None
    # The saw's teeth are a few answers deep, so that none reaches as far as twice the first.
    asked = np.arange(first, 2 * first + TEETH)
    short = np.flatnonzero(power_of_share(right_share, asked, guessed, alpha) < wanted)
    return int(asked[short[-1]]) + 1 if len(short) else first


def share_of(protocol: Protocol, dprime: float) -> float:
    """Return the share of right answers at one d'."""
    return float(share_right(protocol, dprime))


def _first(right_share: float, guessed: float, wanted: float, alpha: float) -> int | None:
    for most in SEARCHED_UP_TO:
        asked = np.arange(1, most + 1)
        enough = np.flatnonzero(power_of_share(right_share, asked, guessed, alpha) >= wanted)
        if len(enough):
            return int(asked[enough[0]])
    return None
