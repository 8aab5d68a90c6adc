"""A trend through few, scattered and tied values, and whether it is beyond chance.

The slope is the median of the slopes between every two points (Theil 1950; Sen 1968, J. Am. Stat.
Assoc. 63:1379), which one bad cup cannot turn. Whether there is a trend at all is told by Kendall's
tau-b, its p by the normal approximation with ties accounted for (Kendall 1970, Rank Correlation
Methods; the Mann-Kendall test where x is time). Both are checked against scipy in the tests.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import erfc, sqrt
from statistics import median


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """A line through points, and the chance p that points without a trend would lie so."""

    slope: float
    at_middle: float  # the line's value at the middle x
    middle: float
    p: float

    def reaches(self, value: float) -> float | None:
        """Return the x at which the line has a value; None where it is level."""
        return None if self.slope == 0 else self.middle + (value - self.at_middle) / self.slope


def trend_of(xs: Sequence[float], ys: Sequence[float]) -> Trend | None:
    """Return the trend of points; None where fewer than three differ in x or all agree in y."""
    if len(set(xs)) < 3 or len(set(ys)) < 2:
        return None
    pairs = list(combinations(range(len(xs)), 2))
    slopes = [(ys[b] - ys[a]) / (xs[b] - xs[a]) for a, b in pairs if xs[a] != xs[b]]
    return Trend(
        slope=median(slopes), at_middle=median(ys), middle=median(xs), p=_kendall_p(xs, ys, pairs)
    )


def _kendall_p(xs: Sequence[float], ys: Sequence[float], pairs: list[tuple[int, int]]) -> float:
    """Return the two-sided p of Kendall's S, ties in both accounted for."""
    n = len(xs)
    s = sum(_sign(xs[b] - xs[a]) * _sign(ys[b] - ys[a]) for a, b in pairs)
    tied = [[count for count in Counter(values).values() if count > 1] for values in (xs, ys)]
    v0 = n * (n - 1) * (2 * n + 5)
    vt, vu = (sum(t * (t - 1) * (2 * t + 5) for t in ties) for ties in tied)
    t1, u1 = (sum(t * (t - 1) for t in ties) for ties in tied)
    t2, u2 = (sum(t * (t - 1) * (t - 2) for t in ties) for ties in tied)
    variance = (v0 - vt - vu) / 18 + t1 * u1 / (2 * n * (n - 1))
    variance += t2 * u2 / (9 * n * (n - 1) * (n - 2))
    return erfc(abs(s) / sqrt(variance) / sqrt(2)) if variance > 0 else 1.0


def _sign(value: float) -> int:
    return (value > 0) - (value < 0)
