"""Whether two brews were alike in strength: if not, a difference may be of strength alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

# The least step of strength that people noticed in drip coffee, as a fraction of mass: 0.24 % TDS;
# Frost, Ristenpart and Guinard 2019, Journal of Food Science (abstract).
NOTICED_STRENGTH = 0.0024
# What a dose is taken to give where strength was not read: the middle of the usual 18 to 22 %
# (common practice, no source).
USUAL_EXTRACTION = 0.20


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthCheck:
    """How far apart the two sides were: mean with less mean without.

    `gap_strength` is a fraction of mass, read or reckoned (`read`); None where neither strength
    nor weights were kept. `noticeable`: the gap may be tasted, so ask again at equal strength.
    """

    gap_strength: float | None
    read: bool
    noticeable: bool


def compare_strengths(with_it: Sequence[float], without: Sequence[float]) -> StrengthCheck:
    """Return the check of strengths that were read, fractions, one a brew; empty is unknown."""
    return _check(with_it, without, read=True)


def compare_weights(
    with_it: Sequence[tuple[float, float]], without: Sequence[tuple[float, float]]
) -> StrengthCheck:
    """Return the check by dose and beverage, both g, one pair a brew, at the same extraction.

    Raises:
        ValueError: a beverage is not above 0.
    """
    for _, beverage_g in (*with_it, *without):
        if beverage_g <= 0:
            raise ValueError(f"a beverage must be above 0 g, got {beverage_g}")
    sides = [
        [USUAL_EXTRACTION * dose_g / beverage_g for dose_g, beverage_g in side]
        for side in (with_it, without)
    ]
    return _check(*sides, read=False)


def _check(with_it: Sequence[float], without: Sequence[float], *, read: bool) -> StrengthCheck:
    if not with_it or not without:
        return StrengthCheck(gap_strength=None, read=read, noticeable=False)
    gap = fmean(with_it) - fmean(without)
    # Rounded, so that the binary writing of tenths does not take a gap over or under the step.
    noticeable = round(abs(gap), 9) >= NOTICED_STRENGTH
    return StrengthCheck(gap_strength=gap, read=read, noticeable=noticeable)
