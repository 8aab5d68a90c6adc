"""The same recipe drains or is liked otherwise now: by how much, and which recorded thing moved.

What the cups before a cup expected of it is held against what was seen; where that lies far out,
and the recipe was brewed before, something moved that is not the recipe.
"""

from collections.abc import Mapping, Sequence
from math import log

from halfclick.model.brew import Brew
from halfclick.service.inputs import changed_inputs
from halfclick.service.trend import trend_of
from halfclick.wording import Message

Band = tuple[float, float, float]
# From the middle to the end of a band of eight in ten, in standard deviations of a normal.
BAND_SD = 1.2816
# Told where chance alone would do it about one time in a hundred (our own default).
FAR_SD = 2.58
# A coffee is told as older from so many days on (our own default).
OLDER_DAYS = 4
# A slow drift is told where chance alone would show it so seldom: from five cups on (our own
# default).
BY_CHANCE = 0.03
RECIPE = {"setting", "dose", "water_g", "temperature", "pours", "steep", "slips"}


def drifted(brews: Sequence[Brew], last: Mapping[str, tuple[Band, float]]) -> tuple[Message, ...]:
    """Return what is otherwise with the newest brew than with the same recipe before.

    Nothing where its recipe is new, or where it is as expected. Where two recorded things moved,
    neither is blamed.

    Args:
        brews: of one coffee on one kit, oldest first.
        last: by quantity, the band of eight in ten that the cups before the newest expected of it,
            and what was seen.
    """
    before = _brewed_before(brews)
    if before is None:
        return ()
    told = [*_drains(last.get("time_s")), *_is_liked(last.get("liking"))]
    return (*told, _moved(before, brews[-1])) if told else ()


def drifting(
    brews: Sequence[Brew], seen: Mapping[str, Sequence[float | None]]
) -> tuple[Message, ...]:
    """Return what drifts slowly over the newest cups of one recipe in a row.

    Args:
        brews: of one coffee on one kit, oldest first.
        seen: time_s and liking of each, None where nobody looked.
    """
    places = _again(brews)
    found = [
        message
        for name, values in seen.items()
        if (message := _trending(name, [values[place] for place in places])) is not None
    ]
    return (*found, _moved(brews[places[0]], brews[-1])) if found else ()


def _again(brews: Sequence[Brew]) -> list[int]:
    """Return the places of the newest brews in a row that are of one recipe."""
    places = [len(brews) - 1]
    for place in range(len(brews) - 2, -1, -1):
        if RECIPE & set(changed_inputs(brews[place], brews[-1])):
            break
        places.append(place)
    return places[::-1]


def _trending(name: str, values: Sequence[float | None]) -> Message | None:
    """Return a trend beyond chance, from its line's first value to its last."""
    looked = [(place, value) for place, value in enumerate(values) if value is not None]
    xs, ys = [float(place) for place, _ in looked], [value for _, value in looked]
    trend = trend_of(xs, ys)
    if trend is None or trend.p > BY_CHANCE or trend.slope == 0:
        return None
    ends = [trend.at_middle + trend.slope * (x - trend.middle) for x in (xs[0], xs[-1])]
    first, last = (round(end) if name == "time_s" else round(end, 1) for end in ends)
    up = last > first
    if name == "time_s":
        values_of: dict[str, object] = {"first_time_s": first, "last_time_s": last}
        code = "drift.slower_lately" if up else "drift.quicker_lately"
    else:
        values_of = {"first": first, "last": last}
        code = "drift.more_lately" if up else "drift.less_lately"
    return Message(code, {"count": len(looked), **values_of})


def _brewed_before(brews: Sequence[Brew]) -> Brew | None:
    """Return the latest earlier brew of the newest one's recipe."""
    for brew in reversed(brews[:-1]):
        if not RECIPE & set(changed_inputs(brew, brews[-1])):
            return brew
    return None


def _drains(found: tuple[Band, float] | None) -> list[Message]:
    if found is None or found[1] <= 0 or found[0][0] <= 0:
        return []
    (low, middle, high), seen = found
    off = _off((log(low), log(middle), log(high)), log(seen))
    if abs(off) < FAR_SD:
        return []
    code = "drift.slower" if off > 0 else "drift.quicker"
    return [Message(code, {"seen_time_s": seen, "low_time_s": low, "high_time_s": high})]


def _is_liked(found: tuple[Band, float] | None) -> list[Message]:
    if found is None or abs(_off(*found)) < FAR_SD:
        return []
    (low, middle, high), seen = found
    code = "drift.liked_more" if seen > middle else "drift.liked_less"
    return [Message(code, {"seen": seen, "low": low, "high": high})]


def _off(band: Band, seen: float) -> float:
    """Return how far a value lies from the middle of a band, in standard deviations."""
    low, middle, high = band
    side = high - middle if seen > middle else middle - low
    return (seen - middle) * BAND_SD / max(side, 1e-9)


def _moved(before: Brew, after: Brew) -> Message:
    names = list(changed_inputs(before, after))
    days = (after.started_at - before.started_at).days
    if days >= OLDER_DAYS and "bag" not in names:
        names.append("age")
    things = tuple(Message(f"input.{name}") for name in names)
    if not names:
        return Message("drift.nothing_moved")
    code = "drift.one_moved" if len(names) == 1 else "drift.several_moved"
    return Message(code, {"things": things})
