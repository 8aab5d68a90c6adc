"""The same recipe drains or is liked otherwise now: by how much, and which recorded thing moved.

What the cups before a cup expected of it is held against what was seen; where that lies far out,
and the recipe was brewed before, something moved that is not the recipe.
"""

from collections.abc import Mapping, Sequence
from math import log

from halfclick.model.brew import Brew
from halfclick.service.inputs import changed_inputs
from halfclick.wording import Message

Band = tuple[float, float, float]
# From the middle to the end of a band of eight in ten, in standard deviations of a normal.
BAND_SD = 1.2816
# Told where chance alone would do it about one time in a hundred (our own default).
FAR_SD = 2.58
# A coffee is told as older from so many days on (our own default).
OLDER_DAYS = 4
# A slow drift is told from so many cups in a row (our own default).
FEWEST_IN_A_ROW = 3
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
    brews: Sequence[Brew], told: Mapping[int, Mapping[str, tuple[Band, float]]]
) -> tuple[Message, ...]:
    """Return what drifts slowly: the newest cups of one recipe in a row, none of them far out.

    Args:
        brews: of one coffee on one kit, oldest first.
        told: by place among the brews and by quantity, the band that the cups before one expected
            of it, and what was seen.
    """
    places = [place for place in _again(brews) if place in told]
    if len(places) < FEWEST_IN_A_ROW:
        return ()
    found = [
        *_lately("time_s", [told[place].get("time_s") for place in places]),
        *_lately("liking", [told[place].get("liking") for place in places]),
    ]
    return (*found, _moved(brews[places[0] - 1], brews[-1])) if found else ()


def _again(brews: Sequence[Brew]) -> list[int]:
    """Return the places of the newest brews in a row that repeat the recipe before them."""
    places: list[int] = []
    for place in range(len(brews) - 1, 0, -1):
        if RECIPE & set(changed_inputs(brews[place - 1], brews[place])):
            break
        places.append(place)
    return places[::-1]


def _lately(name: str, pairs: Sequence[tuple[Band, float] | None]) -> list[Message]:
    looked = [pair for pair in pairs if pair is not None and pair[1] > 0 and pair[0][0] > 0]
    if len(looked) < FEWEST_IN_A_ROW:
        return []
    timed = name == "time_s"
    scaled = [
        ((log(b[0]), log(b[1]), log(b[2])), log(seen)) if timed else (b, seen) for b, seen in looked
    ]
    off = [_off(band, seen) for band, seen in scaled]
    # Each was told after the ones before it, so chance alone takes them either way.
    if abs(sum(off)) / len(off) ** 0.5 < FAR_SD:
        return []
    up = sum(off) > 0
    if timed:
        return [Message("drift.slower_lately" if up else "drift.quicker_lately", _of(looked))]
    return [Message("drift.more_lately" if up else "drift.less_lately", _of(looked))]


def _of(looked: Sequence[tuple[Band, float]]) -> dict[str, object]:
    first, last = looked[0][1], looked[-1][1]
    return {
        "count": len(looked),
        "first": first,
        "last": last,
        "first_time_s": first,
        "last_time_s": last,
    }


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
