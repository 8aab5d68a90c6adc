"""Whether two brews were alike in strength: if not, a difference may be of strength alone."""

from collections.abc import Sequence
from dataclasses import dataclass

# The least step of strength that people noticed in drip coffee, as a fraction of mass: 0.24 % TDS;
# Frost, Ristenpart and Guinard 2019, Journal of Food Science (abstract).
NOTICED_STRENGTH = 0.0024


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
    raise NotImplementedError


def compare_weights(
    with_it: Sequence[tuple[float, float]], without: Sequence[tuple[float, float]]
) -> StrengthCheck:
    """Return the check by dose and beverage, both g, one pair a brew, at the same extraction."""
    raise NotImplementedError
