"""The tails of Friedman's law that are kept, against the law made anew and what must hold."""

import numpy as np
import pytest

from halfclick.trials import ranking

FIVE = (2, 4, 6, 8, 10)


def test_seven_tasters_of_five_brews_made_again():
    spreads, law = ranking.law_of_sums((FIVE,) * 7)
    distances, tails = ranking.kept_tails()[7]
    for at in range(0, len(distances), 9):
        assert tails[at] == pytest.approx(float(law[spreads >= distances[at]].sum()), rel=1e-10)


@pytest.mark.parametrize("tasters", range(7, 13))
def test_kept_tails_end_as_they_must(tasters):
    """All agree in 120 of 120^j ways; the mean of F over the whole law is b - 1."""
    distances, tails = ranking.kept_tails()[tasters]
    assert tails[0] == pytest.approx(1.0)
    assert tails[-1] * 120.0 ** (tasters - 1) == pytest.approx(1.0)
    shares = -np.diff(np.append(tails, 0.0))
    spread = float(shares @ distances) / 100.0
    assert 12.0 * spread / (tasters * 5 * 6) == pytest.approx(4.0)
    agreed = [(1, 2, 3, 4, 5)] * (tasters - 1) + [(5, 4, 3, 2, 1)]
    p, exact = ranking.friedman_p(agreed)
    assert exact
    assert p == pytest.approx(float(tails[distances >= 0][_at(distances, agreed)]))


def _at(distances: np.ndarray, table: list[tuple[int, ...]]) -> int:
    sums = np.sum(table, axis=0)
    return int(np.flatnonzero(distances == 100 * np.sum((sums - 3 * len(table)) ** 2))[0])
