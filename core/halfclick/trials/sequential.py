"""Wald's sequential test as ISO 16820 uses it: for right and wrong answers found on paper."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

from halfclick.model.trial_kinds import Finding


@dataclass(frozen=True, slots=True, kw_only=True)
class Stopped:
    """Where a sequential test stopped: after how many answers, or not at all (`at` is None)."""

    finding: Finding
    at: int | None
    log_ratio: float


def thresholds(alpha: float, beta: float) -> tuple[float, float]:
    """Return the likelihood ratios at which it stops: similar below, different above.

    They are Wald's approximations; the true errors are near alpha and beta, not at most those.

    Raises:
        ValueError: alpha or beta is not within 0 to 0.5.
    """
    if not (0 < alpha < 0.5 and 0 < beta < 0.5):
        raise ValueError(f"alpha and beta must lie within 0 to 0.5, got {alpha} and {beta}")
    return beta / (1.0 - alpha), (1.0 - beta) / alpha


def run_sequential(
    right: Sequence[bool],
    guessed: float,
    right_share: float,
    alpha: float = 0.05,
    beta: float = 0.1,
) -> Stopped:
    """Return where the test stops, between guessing and a larger share of right answers.

    "Smaller" means: not so large as `right_share`, and no more than that.

    Raises:
        ValueError: the share is not above guessing, or alpha and beta cannot be.
    """
    if not guessed < right_share < 1:
        raise ValueError(f"the share must lie above {guessed}, got {right_share}")
    low, high = thresholds(alpha, beta)
    gain, loss = log(right_share / guessed), log((1 - right_share) / (1 - guessed))
    total = 0.0
    for at, one in enumerate(right, start=1):
        total += gain if one else loss
        if total >= log(high):
            return Stopped(finding=Finding.SHOWN, at=at, log_ratio=total)
        if total <= log(low):
            return Stopped(finding=Finding.SMALLER, at=at, log_ratio=total)
    return Stopped(finding=Finding.NOT_SETTLED, at=None, log_ratio=total)
