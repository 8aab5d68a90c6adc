"""Evidence that may be looked at after every answer: betting martingales and what they bound.

A non-negative martingale that starts at 1 under the null exceeds 1/alpha at any time with
probability alpha at most (Ville), whenever one stops and however often one looks (Shafer, Testing
by betting, 2020; Ramdas, Gruenwald, Vovk and Shafer, Game-theoretic statistics, 2023).
"""

from dataclasses import dataclass

import numpy as np
from scipy import special

from halfclick.trials.psychometric import Floats

# Evidence that is called shown: a false alarm in 20 at most, however often one looks.
BAR = 20.0
# The search for a limit starts so far from 0 and 1, where logarithms end.
_TINY = 1e-15


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """The values that the answers leave possible, from `low` to `high`, at a level such as 0.95."""

    low: float
    high: float
    level: float = 0.95


def bar_for(habits_tried: int) -> float:
    """Return the evidence that is called shown where so many habits were tried: 20 for each.

    Raises:
        ValueError: no habit was tried.
    """
    if habits_tried < 1:
        raise ValueError(f"at least one habit is tried, got {habits_tried}")
    return BAR * habits_tried


def likelihood_ratio_path(right: Floats, share: float, null_share: float) -> Floats:
    """Return the running evidence of right and wrong answers for one share against another.

    Args:
        right: 1 for right and 0 for wrong, in their order, shape (n,).
        share: what is bet on, within 0 to 1.
        null_share: what is bet against, within 0 to 1.

    Returns:
        The evidence after each answer, shape (n,). Its expectation is 1 where answers are right
        with `null_share`, and at most 1 where they are right less often (share above the null) or
        more often (share below it).
    """
    steps = np.where(np.asarray(right) > 0, share / null_share, (1 - share) / (1 - null_share))
    return np.asarray(np.cumprod(steps), dtype=float)


def mixture_evidence(right: int, asked: int, guessed: float) -> float:
    """Return the evidence for any share but guessing, all shares from 0 to 1 alike likely.

    Of counts alone; may be looked at any time.
    """
    log_mixed = -np.log1p(asked) - _log_choose(right, asked)
    log_null = special.xlogy(right, guessed) + special.xlogy(asked - right, 1 - guessed)
    return float(np.exp(log_mixed - log_null))


def share_any_time(right: int, asked: int, level: float = 0.95) -> Interval:
    """Return the shares of right answers that no look at any time excludes.

    The confidence sequence of the uniform mixture: all p where C(n, k) p^k (1-p)^(n-k) is at least
    (1 - level) / (n + 1). It is wider than the interval for a planned number: the price of looking.

    Raises:
        ValueError: not 0 to `asked` answers are right.
    """
    if not 0 <= right <= asked:
        raise ValueError(f"{right} of {asked} cannot be right")
    if asked == 0:
        return Interval(low=0.0, high=1.0, level=level)
    from scipy.optimize import brentq  # loaded late: it takes longer than all else here

    lowest = np.log1p(-level) - np.log1p(asked) - _log_choose(right, asked)

    def inside(share: float) -> float:
        log_share = special.xlogy(right, share) + special.xlogy(asked - right, 1 - share)
        return float(log_share - lowest)

    share = right / asked
    low = float(brentq(inside, _TINY, share, xtol=1e-12)) if right else 0.0
    high = float(brentq(inside, share, 1 - _TINY, xtol=1e-12)) if right < asked else 1.0
    return Interval(low=low, high=high, level=level)


def _log_choose(right: int, asked: int) -> float:
    return float(
        special.gammaln(asked + 1) - special.gammaln(right + 1) - special.gammaln(asked - right + 1)
    )
