"""Several tasters who answered several times: how right they are, and how unlike one another.

A taster's own share of right answers follows a beta distribution. With correction for chance it
is g + (1-g) x and x follows it, so that nobody is worse than guessing. Model: Brockhoff 2003,
Food Quality and Preference 14:405-417, as sensR 1.5-3 fits it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from halfclick.errors import BadInput
from halfclick.trials.psychometric import Floats

# Below these the spread between tasters cannot be estimated (our own bound).
FEWEST_TASTERS = 6
FEWEST_ANSWERS = 4
# Where the search for the spread ends: tasters all alike, or each always right or never.
_LEAST, _MOST = 1e-6, 1.0 - 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelFit:
    """What a panel's answers say of it.

    `mean_share` is the mean of x, `spread` is gamma = 1 / (a + b + 1): 0 if all tasters are alike,
    1 if each is always right or never. `log_ratio` is twice the gain in log likelihood over tasters
    who are all alike; `p_alike` is its tail of chi squared with one degree of freedom, halved,
    since no spread is the edge of what can be.
    """

    mean_share: float
    spread: float
    log_ratio: float
    p_alike: float
    corrected: bool


def fit_panel(
    right: Sequence[int], asked: Sequence[int], guessed: float, *, corrected: bool = True
) -> PanelFit:
    """Return the most likely mean and spread of a panel, one entry a taster.

    Args:
        right: right answers of each.
        asked: answers of each.
        guessed: the share that guessing gives.
        corrected: whether nobody is worse than guessing.

    Raises:
        BadInput: fewer than 6 tasters, or one with fewer than 4 answers.
        ValueError: not 0 to `asked` are right.
    """
    k, n = np.asarray(right, dtype=int), np.asarray(asked, dtype=int)
    if k.shape != n.shape or np.any(k < 0) or np.any(k > n):
        raise ValueError(f"cannot be right so often: {right} of {asked}")
    if len(n) < FEWEST_TASTERS or n.min() < FEWEST_ANSWERS:
        raise BadInput(
            "trial.panel_too_small",
            tasters=len(n),
            answers=int(n.min()) if len(n) else 0,
            fewest_tasters=FEWEST_TASTERS,
            fewest_answers=FEWEST_ANSWERS,
        )
    base = guessed if corrected else 0.0
    mean, spread, best = _fit(k, n, base)
    # All alike: one share for all, not below what guessing gives where chance is corrected for.
    share = max(float(k.sum() / n.sum()), base)
    alike = float(np.sum(_log_binomial(k, n, share)))
    ratio = max(0.0, 2.0 * (best - alike))
    return PanelFit(
        mean_share=mean,
        spread=spread,
        log_ratio=ratio,
        p_alike=float(special.chdtrc(1, ratio)) / 2.0,
        corrected=corrected,
    )


def log_likelihood(k: np.ndarray, n: np.ndarray, base: float, a: float, b: float) -> float:
    """Return the log likelihood of right answers k of n, both of shape (tasters,).

    A taster's share is base + (1 - base) x, with x from the beta distribution of a and b. The
    power of that sum is expanded; all its terms are positive.
    """
    pairs, tasters = np.unique(np.column_stack([k, n]), axis=0, return_counts=True)
    each = [_log_one(int(one), int(of), base, a, b) for one, of in pairs]
    return float(tasters @ np.array(each))


def _log_one(k: int, n: int, base: float, a: float, b: float) -> float:
    known = np.arange(k + 1) if base else np.array([k])  # how many right answers were known
    terms = special.betaln(a + known, b + n - k) - special.betaln(a, b)
    if base:
        terms = terms + _log_choose(k, known) + special.xlogy(k - known, base)
        terms = terms + (n - k + known) * np.log1p(-base)
    return float(special.logsumexp(terms) + _log_choose(n, k))


def _fit(k: np.ndarray, n: np.ndarray, base: float) -> tuple[float, float, float]:
    from scipy.optimize import minimize  # loaded late: it takes long

    def lost(at: Floats) -> float:
        mean, spread = (float(one) for one in special.expit(at))
        size = 1.0 / spread - 1.0
        return -log_likelihood(k, n, base, mean * size, (1.0 - mean) * size)

    share = float(np.clip((k.sum() / n.sum() - base) / (1.0 - base), 0.02, 0.98))
    ends = (float(special.logit(_LEAST)), float(special.logit(_MOST)))
    # Two starts, since there may be a second top where all are alike.
    tries = [
        minimize(
            lost, special.logit([share, start]), bounds=[ends, ends], method="L-BFGS-B", tol=_TOL
        )
        for start in (0.05, 0.4)
    ]
    best = min(tries, key=lambda one: float(one.fun))
    mean, spread = (float(one) for one in special.expit(best.x))
    return mean, spread, -float(best.fun)


_TOL = 1e-11


def _log_binomial(k: np.ndarray, n: np.ndarray, share: float) -> Floats:
    chosen = _log_choose(n, k) + special.xlogy(k, share) + special.xlogy(n - k, 1.0 - share)
    return np.asarray(chosen, dtype=float)


def _log_choose(n: int | np.ndarray, k: int | np.ndarray) -> Floats:
    chosen = special.gammaln(np.add(n, 1)) - special.gammaln(np.add(k, 1))
    return np.asarray(chosen - special.gammaln(np.subtract(n, k) + 1), dtype=float)
