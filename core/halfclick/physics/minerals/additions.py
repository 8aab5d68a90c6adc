"""What to add to a water to reach a hardness and an alkalinity: solved exactly."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from halfclick.model.concentrate import Salt
from halfclick.physics.minerals.salts import carbonate_per_salt, stock_strength_mg_l

# Stocks that would take more of the drink than this are too weak to be of use (our own default).
MOST_STOCK_SHARE = 0.5
ML_PER_L = 1000.0
_ROUNDS = 200
_NEAR_MG_L = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Hardness and alkalinity, mg/L as CaCO3."""

    hardness: float
    alkalinity: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A salt at hand: a stock of so many grams a litre, or dry where `g_per_l` is None."""

    salt: Salt
    g_per_l: float | None = None


class Binds(StrEnum):
    """What keeps a mix from its target."""

    HARDNESS_HIGH = "hardness_high"
    HARDNESS_LOW = "hardness_low"
    ALKALINITY_HIGH = "alkalinity_high"
    ALKALINITY_LOW = "alkalinity_low"
    STOCK_WEAK = "stock_weak"


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose:
    """What of one salt goes into a litre of the finished water.

    `salt_mg_l` is dry salt as weighed; `stock_ml_l` the stock that holds it, 0 where it is dry.
    """

    source: Source
    salt_mg_l: float
    stock_ml_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix:
    """How a litre of finished water is made.

    `water` and `diluting` are shares of the finished volume; the stocks are the rest.
    """

    water: float
    diluting: float
    hardness_dose: Dose | None
    alkalinity_dose: Dose | None
    result: Pair
    binds: tuple[Binds, ...]


def find_mix(
    water: Pair,
    target: Pair,
    *,
    diluting: Pair | None = None,
    hardness_from: Source | None = None,
    alkalinity_from: Source | None = None,
) -> Mix:
    """Return the mix nearest to a target, by the least sum of squares.

    A salt of hardness moves hardness alone and a bicarbonate alkalinity alone, so for any share
    of the two waters the doses are exact; what is left to find is the share, among the points
    where the sum of squares may be least. Of mixes equally near, the one with most of the
    person's own water is taken. A stock takes the place of water, which is counted.

    Args:
        water: the person's water.
        target: what is wanted.
        diluting: a second water, if one is at hand.
        hardness_from: a salt of calcium or magnesium, if one is at hand.
        alkalinity_from: a bicarbonate, if one is at hand.
    """
    filled = 1.0  # share of the finished volume that is water, not stock
    share, added = 1.0, Pair(hardness=0.0, alkalinity=0.0)
    for _ in range(_ROUNDS):
        share = _best_share(
            _scaled(water, filled),
            _scaled(diluting, filled) if diluting else None,
            target,
            (hardness_from is not None, alkalinity_from is not None),
        )
        base = _scaled(_blend(water, diluting, share), filled)
        added = Pair(
            hardness=max(target.hardness - base.hardness, 0.0) if hardness_from else 0.0,
            alkalinity=max(target.alkalinity - base.alkalinity, 0.0) if alkalinity_from else 0.0,
        )
        stocks = _stock_share(added.hardness, hardness_from)
        stocks += _stock_share(added.alkalinity, alkalinity_from)
        if stocks > MOST_STOCK_SHARE:
            return _too_weak(water)
        if abs(1.0 - stocks - filled) < 1e-12:
            break
        filled = 1.0 - stocks
    base = _scaled(_blend(water, diluting, share), filled)
    result = Pair(
        hardness=base.hardness + added.hardness, alkalinity=base.alkalinity + added.alkalinity
    )
    return Mix(
        water=share * filled,
        diluting=(1.0 - share) * filled,
        hardness_dose=_dose(added.hardness, hardness_from),
        alkalinity_dose=_dose(added.alkalinity, alkalinity_from),
        result=result,
        binds=_binds(result, target),
    )


def _best_share(
    water: Pair, diluting: Pair | None, target: Pair, can_add: tuple[bool, bool]
) -> float:
    """Return the share of the water, the rest diluting it, with the least sum of squares."""
    if diluting is None:
        return 1.0
    hard = (diluting.hardness - target.hardness, water.hardness - diluting.hardness)
    alkaline = (diluting.alkalinity - target.alkalinity, water.alkalinity - diluting.alkalinity)
    candidates = {0.0, 1.0}
    for lines in ((hard,), (alkaline,), (hard, alkaline)):
        # The least of the sum of (start + slope s)^2.
        steep = sum(slope**2 for _, slope in lines)
        if steep > 0:
            candidates.add(-sum(start * slope for start, slope in lines) / steep)

    def misses(share: float) -> float:
        total = 0.0
        for (start, slope), salt in zip((hard, alkaline), can_add, strict=True):
            over = start + slope * share
            total += (max(over, 0.0) if salt else over) ** 2
        return total

    return _least(misses, [share for share in candidates if 0.0 <= share <= 1.0])


def _least(misses: Callable[[float], float], shares: list[float]) -> float:
    least = min(misses(share) for share in shares)
    return max(share for share in shares if misses(share) <= least + 1e-9)


def _blend(water: Pair, diluting: Pair | None, share: float) -> Pair:
    other = diluting or Pair(hardness=0.0, alkalinity=0.0)
    return Pair(
        hardness=water.hardness * share + other.hardness * (1.0 - share),
        alkalinity=water.alkalinity * share + other.alkalinity * (1.0 - share),
    )


def _scaled(pair: Pair, by: float) -> Pair:
    return Pair(hardness=pair.hardness * by, alkalinity=pair.alkalinity * by)


def _stock_share(added: float, source: Source | None) -> float:
    if source is None or source.g_per_l is None:
        return 0.0
    return added / stock_strength_mg_l(source.salt, source.g_per_l)


def _dose(added: float, source: Source | None) -> Dose | None:
    if source is None or added <= 0.0:
        return None
    return Dose(
        source=source,
        salt_mg_l=added / carbonate_per_salt(source.salt),
        stock_ml_l=_stock_share(added, source) * ML_PER_L,
    )


def _binds(result: Pair, target: Pair) -> tuple[Binds, ...]:
    found = []
    for off, high, low in (
        (result.hardness - target.hardness, Binds.HARDNESS_HIGH, Binds.HARDNESS_LOW),
        (result.alkalinity - target.alkalinity, Binds.ALKALINITY_HIGH, Binds.ALKALINITY_LOW),
    ):
        if abs(off) > _NEAR_MG_L:
            found.append(high if off > 0 else low)
    return tuple(found)


def _too_weak(water: Pair) -> Mix:
    return Mix(
        water=1.0,
        diluting=0.0,
        hardness_dose=None,
        alkalinity_dose=None,
        result=water,
        binds=(Binds.STOCK_WEAK,),
    )
