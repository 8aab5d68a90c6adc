"""Published ranges for brew water, and where a water lies in them."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Figure(StrEnum):
    """A figure of a water that a range is given for; mg/L but for pH."""

    HARDNESS = "hardness"  # as CaCO3
    CALCIUM_HARDNESS = "calcium_hardness"  # as CaCO3
    ALKALINITY = "alkalinity"  # as CaCO3
    TDS = "tds"
    SODIUM = "sodium"
    PH = "ph"


class Where(StrEnum):
    """Where a value lies."""

    BELOW = "below"
    INSIDE = "inside"
    ABOVE = "above"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """What is published of one figure: a range, a target, or both."""

    figure: Figure
    low: float | None = None
    high: float | None = None
    target: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """A set of ranges by one source; `name` is its code in the catalogues."""

    name: str
    ranges: tuple[Range, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where a water lies in a range, and by how much it is outside of it (0 inside).

    Of a lone target `by` is how far the value is from it, and near enough is inside.
    """

    range: Range
    value: float | None
    where: Where
    by: float


# A trade association's page on water for brewing, 2009 version. It gives the hardness as calcium
# hardness, and chlorine as none.
PAGE_2009 = Published(
    name="page_2009",
    ranges=(
        Range(figure=Figure.CALCIUM_HARDNESS, low=17.0, high=85.0, target=68.0),
        Range(figure=Figure.ALKALINITY, target=40.0),
        Range(figure=Figure.TDS, low=75.0, high=250.0, target=150.0),
        Range(figure=Figure.SODIUM, target=10.0),
        Range(figure=Figure.PH, low=6.5, high=7.5, target=7.0),
    ),
)
# A later version of it, as a seller's page quotes it; the hardness is total there. Other pages
# restate the alkalinity as 40 to 75.
PAGE_LATER = Published(
    name="page_later",
    ranges=(
        Range(figure=Figure.HARDNESS, low=50.0, high=175.0),
        Range(figure=Figure.ALKALINITY, low=40.0, high=70.0),
        Range(figure=Figure.PH, low=6.0, high=8.0),
    ),
)
PUBLISHED = (PAGE_2009, PAGE_LATER)
# Near a lone target: within a quarter of it (our own default, since the page gives no range).
NEAR_SHARE = 0.25


def standings(published: Published, values: Mapping[Figure, float | None]) -> tuple[Standing, ...]:
    """Return where a water lies in each range of a source."""
    return tuple(standing(one, values.get(one.figure)) for one in published.ranges)


def standing(published: Range, value: float | None) -> Standing:
    """Return where a value lies in a range; near enough to a lone target counts as inside."""
    if value is None:
        return Standing(range=published, value=None, where=Where.UNKNOWN, by=0.0)
    low, high = bounds(published)
    alone = published.low is None and published.target is not None
    from_low = (published.target or 0.0) if alone else low
    from_high = (published.target or 0.0) if alone else high
    if value < low:
        return Standing(range=published, value=value, where=Where.BELOW, by=from_low - value)
    if value > high:
        return Standing(range=published, value=value, where=Where.ABOVE, by=value - from_high)
    return Standing(range=published, value=value, where=Where.INSIDE, by=0.0)


def bounds(published: Range) -> tuple[float, float]:
    """Return a range's ends; those near its target where it gives none."""
    if published.low is not None and published.high is not None:
        return published.low, published.high
    target = published.target or 0.0
    return target * (1.0 - NEAR_SHARE), target * (1.0 + NEAR_SHARE)
