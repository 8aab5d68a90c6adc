"""The pours of a scaled recipe: as many, as fast and as far apart as they must be to fit."""

import math
from dataclasses import replace

from halfclick.errors import BadInput
from halfclick.model.recipe import Pour, Recipe

# Faster than this a thin spout digs into the bed (our own default; practitioners pour 4 to 8).
FASTEST_G_S = 8.0
# Between the end of a pour and the next one (our own default).
BREATH_S = 5.0
MOST_POURS = 8


def scaled_pours(
    before: Recipe, sized: Recipe, time_factor: float, *, room_g: float | None
) -> Recipe:
    """Return a resized recipe whose pours fit the clock and the dripper.

    The bloom keeps its multiple and its time; what follows is stretched like the flow itself,
    poured faster up to a bound, and split where one pour would not fit above the grounds.

    Args:
        before: the recipe it was resized from.
        sized: the recipe at its new size, its pours at the old clock times.
        time_factor: how many times as long the flow part takes.
        room_g: what one pour may hold; None where that bounds nothing.

    Raises:
        BadInput: it would take more pours than can be poured.
    """
    if len(sized.pours) < 2:
        return sized
    after_g = sized.water_g - sized.bloom_g
    count = max(len(sized.pours) - 1, _least_count(after_g, room_g))
    if count > MOST_POURS:
        raise BadInput("scale.too_many_pours", dose_g=sized.dose_g, count=count)
    rate_g_s = _rate_g_s(before, sized, time_factor)
    targets_g = _targets_g(sized, count)
    starts_s = _starts_s(before, count, time_factor)
    bloom = replace(sized.pours[0], rate_g_s=_bloom_rate_g_s(sized, rate_g_s))
    pours = [bloom]
    for index, until_g in enumerate(targets_g):
        last = pours[-1]
        poured_g = last.until_g - (pours[-2].until_g if len(pours) > 1 else 0.0)
        free_s = last.start_s + poured_g / last.rate_g_s + BREATH_S
        # The bloom keeps its time: it was poured within it.
        start_s = starts_s[index] if index == 0 else max(starts_s[index], _fives(free_s))
        pours.append(Pour(start_s=start_s, until_g=until_g, rate_g_s=rate_g_s))
    return replace(sized, pours=tuple(pours))


def _least_count(after_g: float, room_g: float | None) -> int:
    if room_g is None or room_g <= 0:
        return 1  # a dripper too small is warned of; more pours do not make it larger
    return min(math.ceil(after_g / room_g), MOST_POURS)


def _rate_g_s(before: Recipe, sized: Recipe, time_factor: float) -> float:
    """Pour as much faster as the flow is; never slower than the person pours now."""
    usual = before.pours[-1].rate_g_s
    wanted = usual * (sized.water_g / before.water_g) / time_factor
    return max(usual, min(round(wanted * 2) / 2, FASTEST_G_S))


def _bloom_rate_g_s(sized: Recipe, rate_g_s: float) -> float:
    """Pour the bloom within half of its time, and no slower than it was poured."""
    least = sized.bloom_g / max(sized.bloom_s / 2, 1.0)
    return max(sized.pours[0].rate_g_s, min(max(rate_g_s, least), FASTEST_G_S))


def _targets_g(sized: Recipe, count: int) -> list[float]:
    """Return the weights to stop at after the bloom, to 5 g; the last is exact."""
    after_g = sized.water_g - sized.bloom_g
    if count == len(sized.pours) - 1:
        ideal = [pour.until_g for pour in sized.pours[1:]]
    else:
        ideal = [sized.bloom_g + after_g * (index + 1) / count for index in range(count)]
    found: list[float] = []
    below_g = sized.bloom_g
    for one in ideal[:-1]:
        rounded_g = one // 5 * 5
        found.append(rounded_g if rounded_g > below_g else one)
        below_g = found[-1]
    return [*found, sized.water_g]


def _starts_s(before: Recipe, count: int, time_factor: float) -> list[float]:
    """Return clock times after the bloom, stretched like the flow and shared out evenly."""
    bloom_s = before.bloom_s
    starts_s = [pour.start_s for pour in before.pours[1:]]
    if count == len(starts_s):
        return [_later(bloom_s, start_s, time_factor) for start_s in starts_s]
    gaps_s = (starts_s[-1] - bloom_s) / max(len(starts_s) - 1, 1) if len(starts_s) > 1 else 35.0
    gap_s = gaps_s * time_factor * len(starts_s) / count
    return [bloom_s if index == 0 else _fives(bloom_s + gap_s * index) for index in range(count)]


def _later(bloom_s: float, start_s: float, time_factor: float) -> float:
    if start_s == bloom_s:
        return bloom_s
    return max(_fives(bloom_s + (start_s - bloom_s) * time_factor), bloom_s + BREATH_S)


def _fives(value_s: float) -> float:
    return math.ceil(value_s / 5 - 1e-6) * 5.0
