"""One cup at a time: "has it, or not?" (A, not A), and pairs: "same or different?"; from paper.

Both answers lean on where a taster draws the line, so hits alone say nothing: cups without it,
and pairs of the same, must be among them.
"""

from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy import special

from halfclick.trials.psychometric import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class SingleCups:
    """What "has it" among cups that have it and cups that have not tells.

    `dprime` = z(hits) - z(false alarms), below 0 where they say it of the wrong ones; `dprime_sd`
    is None where one of the shares is 0 or 1, and then half an answer is added to each cell for
    `dprime`. `p` is Fisher's exact test, one-sided; it errs on the safe side.
    """

    dprime: float
    dprime_sd: float | None
    p: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SameDifferent:
    """The line a taster draws (`limit`) and the difference, both in perceptual deviations.

    `p` is that of the likelihood ratio against no difference, halved at the edge.
    """

    limit: float
    dprime: float
    p: float


def single_cups(hits: int, having: int, false_alarms: int, lacking: int) -> SingleCups:
    """Return what single cups tell.

    Args:
        hits: "has it" of cups that have it.
        having: cups that have it.
        false_alarms: "has it" of cups that have not.
        lacking: cups that have not.

    Raises:
        ValueError: there are no cups of one sort, or more answers than cups.

    Source: sensR 1.5-3, AnotA.
    """
    from scipy.stats import fisher_exact  # loaded late: it takes long

    if not (0 <= hits <= having and 0 <= false_alarms <= lacking and having and lacking):
        raise ValueError(f"cannot be: {hits} of {having}, {false_alarms} of {lacking}")
    whole = 0 < hits < having and 0 < false_alarms < lacking
    add = 0.0 if whole else 0.5
    hit, false = (hits + add) / (having + 2 * add), (false_alarms + add) / (lacking + 2 * add)
    z_hit, z_false = float(special.ndtri(hit)), float(special.ndtri(false))
    sd = None
    if whole:
        sd = sqrt(_z_variance(hit, z_hit, having) + _z_variance(false, z_false, lacking))
    table = [[hits, having - hits], [false_alarms, lacking - false_alarms]]
    p = float(fisher_exact(table, alternative="greater").pvalue)
    return SingleCups(dprime=z_hit - z_false, dprime_sd=sd, p=p)


def known_split_p(right: int, cups: int) -> float:
    """Return how often guessing finds so many of the cups that have it, half of all and known so.

    Args:
        right: cups named rightly among those that have it.
        cups: that have it; as many have not, and the taster names as many.

    Source: Fisher's tea design, many texts.
    """
    chosen = np.arange(right, cups + 1)
    return float(np.sum(special.binom(cups, chosen) ** 2) / special.binom(2 * cups, cups))


def same_different(
    same_same: int, different_same: int, same_different: int, different_different: int
) -> SameDifferent:
    """Return what "same" and "different" tell of pairs that were the same and that were not.

    Args:
        same_same: "same" of pairs of the same.
        different_same: "different" of pairs of the same.
        same_different: "same" of pairs that differ.
        different_different: "different" of pairs that differ.

    Raises:
        ValueError: there are no pairs of one sort.

    Law: P(same | same) = 2 Phi(t / sqrt 2) - 1 and P(same | different) = Phi((t - d) / sqrt 2) -
    Phi((-t - d) / sqrt 2); form from memory, reproduces the example of sensR 1.5-3, samediff.
    """
    from scipy.optimize import brentq  # loaded late: it takes long

    alike, unlike = same_same + different_same, same_different + different_different
    if not alike or not unlike:
        raise ValueError("both pairs of the same and pairs that differ are needed")
    pooled = (same_same + same_different) / (alike + unlike)
    share_same, share_different = same_same / alike, same_different / unlike
    if share_different >= share_same:
        return SameDifferent(limit=_limit_of(pooled), dprime=0.0, p=1.0)
    limit = _limit_of(share_same)

    def above(dprime: float) -> float:
        return float(_same_of_different(limit, dprime)) - share_different

    dprime = float("inf")
    if share_different > 0 and np.isfinite(limit):
        dprime = float(brentq(above, 0.0, limit + 50.0, xtol=1e-12))
    gain = _log_odds(same_same, alike, share_same) + _log_odds(
        same_different, unlike, share_different
    )
    gain -= _log_odds(same_same, alike, pooled) + _log_odds(same_different, unlike, pooled)
    return SameDifferent(
        limit=limit, dprime=dprime, p=float(special.chdtrc(1, max(0.0, 2.0 * gain))) / 2.0
    )


def _z_variance(share: float, z: float, number: int) -> float:
    density = float(np.exp(-z * z / 2) / np.sqrt(2 * np.pi))
    return share * (1.0 - share) / number / density**2


def _limit_of(share_same: float) -> float:
    return sqrt(2) * float(special.ndtri((1.0 + share_same) / 2.0))


def _same_of_different(limit: float, dprime: float) -> Floats:
    high, low = (limit - dprime) / sqrt(2), (-limit - dprime) / sqrt(2)
    return np.asarray(special.ndtr(high) - special.ndtr(low))


def _log_odds(count: int, number: int, share: float) -> float:
    return float(special.xlogy(count, share) + special.xlogy(number - count, 1.0 - share))
