"""The binomial law against exact fractions, and against scipy's own statistics."""

import os
import subprocess
import sys
from fractions import Fraction
from math import comb

import numpy as np
import pytest
from scipy import stats

from halfclick.trials.binomial import at_most, least_exceeded, least_reaching, more_than

SHARES = tuple(map(Fraction, ("0", "1/20", "1/3", "1/2", "9/10", "1")))
CHANCES = (Fraction(1, 1000), Fraction(1, 40), Fraction(1, 20), Fraction(1, 2), Fraction(4, 5))


def tails(asked: int, share: Fraction) -> list[Fraction]:
    """Return the chance of so many or fewer, for every count."""
    each = [comb(asked, k) * share**k * (1 - share) ** (asked - k) for k in range(asked + 1)]
    return [sum(each[: k + 1], Fraction(0)) for k in range(asked + 1)]


@pytest.mark.parametrize("share", SHARES)
def test_the_counts_are_those_of_exact_arithmetic(share):
    sizes = (1, 2, 3, 7, 12, 35, 60)
    below = [tails(asked, share) for asked in sizes]
    for chance in CHANCES:
        reaching = [next(k for k, p in enumerate(each) if p >= chance) for each in below]
        exceeded = [next(k for k, p in enumerate(each) if 1 - p <= chance) for each in below]
        found = least_reaching(float(chance), sizes, float(share))
        assert found.tolist() == reaching
        found = least_exceeded(float(chance), sizes, float(share))
        assert found.tolist() == exceeded


@pytest.mark.parametrize("share", [float(share) for share in SHARES])
def test_the_chances_are_those_of_scipys_statistics(share):
    asked = np.arange(1, 2000)
    for right in (-1, 0, 3, 40, 1999, 2500):
        found = at_most(right, asked, share), more_than(right, asked, share)
        known = stats.binom.cdf(right, asked, share), stats.binom.sf(right, asked, share)
        np.testing.assert_allclose(found, known, rtol=1e-9, atol=1e-12)


def test_a_trial_is_proposed_without_scipys_statistics():
    """They take a second to load, and far longer beside a thread that computes."""
    code = "import halfclick.service.trial_proposal, sys; assert 'scipy.stats' not in sys.modules"
    paths = os.pathsep.join(path for path in sys.path if path)
    subprocess.run(
        [sys.executable, "-c", code], check=True, env={**os.environ, "PYTHONPATH": paths}
    )
