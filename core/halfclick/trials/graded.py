"""Sealed graded pairs: which way and how much, by the exact sign-flip test after the last pair.

Positions are fair coins, so where nothing differs each score is as likely to have the other sign:
all 2 to the n flips of the signs are alike likely, whatever the sizes.
"""

from collections.abc import Sequence

import numpy as np

from halfclick.trials.psychometric import Floats

LARGEST_SCORE = 3


def sign_flip_law(sizes: Sequence[int]) -> Floats:
    """Return the law of the sum under flips: of -t, -t + 2 and so on to t, t the sum of sizes.

    Args:
        sizes: sizes of the scores, whole, 0 or more; shape (n,).

    Returns:
        Shape (t + 1,); sums to 1. Built by adding one pair after another.
    """
    law = np.ones(1)
    for size in sizes:
        # Either the pair adds nothing to what stands above -t, or its size (counted by twos).
        longer = np.zeros(len(law) + size)
        longer[: len(law)] += law / 2
        longer[size:] += law / 2
        law = longer
    return law


def sign_flip_p(scores: Sequence[int]) -> float:
    """Return how often flipped signs give a sum as large or larger; exact, one-sided.

    Args:
        scores: whole, positive towards the cup that had the habit; for several tasters, of all.
    """
    law = sign_flip_law([abs(score) for score in scores])
    from_sum = (sum(scores) + sum(abs(score) for score in scores)) // 2
    return min(1.0, float(law[from_sum:].sum()))


def signed_rank_p(marks: Sequence[float]) -> float:
    """Return the exact one-sided p of marks on a line, by their signed ranks; zeros are left out.

    Args:
        marks: differences, positive towards the cup that had the habit, shape (n,).
    """
    given = np.abs(np.asarray([mark for mark in marks if mark], dtype=float))
    # Twice the rank among the sizes, so that the middle of a tie is whole; then signs flip.
    ranks = [int(np.sum(given < one) * 2 + np.sum(given == one) + 1) for one in given]
    signs = [1 if mark > 0 else -1 for mark in marks if mark]
    return sign_flip_p([sign * rank for sign, rank in zip(signs, ranks, strict=True)])
