"""What a forecast says of a plan: bands as messages, cautions at the rim, and a picture.

Loads nothing heavy: a forecast is made by `foresee`, elsewhere, and only read here.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.forecast import Band
from halfclick.model.recipe import Recipe
from halfclick.physics.vessel import RIM_MARGIN_M, inside_of, volume_ml
from halfclick.service.kitchens import KitView
from halfclick.store.journal import Writer
from halfclick.wording import Message, clock

if TYPE_CHECKING:
    from halfclick.service.forecast import Bands, Expected, Fraction

MM_PER_M = 1000.0
# Printed no finer than this: the bands are wider (our own defaults).
TIME_STEP_S = 5.0
OVERFLOW_STEP_G = 5.0
# A picture shows at most so many points a curve, and ends so long after the bed is likely seen.
POINTS = 160
AFTER_S = 15.0
LONG = 1.6
# Strips are as high as this even where nothing moves.
LEAST_SPAN = 1.0
# So long what runs into the cup is taken together, s; a strength of it is told so fine, and the
# strip of it is at least as high (our own defaults).
FRACTION_S = 30.0
FRACTION_DIGITS = 3
LEAST_STRENGTH = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One quantity of a forecast: its name, and its band as a message."""

    name: str
    message: Message


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One curve of a picture with its band, each value at a time of the picture's clock.

    `unit` is the suffix of the unit of its values (mm, g, strength or c); `limit` a line across
    it; `ends` after how many values there is nothing more to draw, None for at the last.
    """

    name: str
    unit: str
    low: tuple[float, ...]
    middle: tuple[float, ...]
    high: tuple[float, ...]
    bottom: float
    top: float
    limit: float | None = None
    ends: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A brew by the clock: strips one under another, and when each pour starts."""

    clock_s: tuple[float, ...]
    strips: tuple[Strip, ...]
    pours_s: tuple[float, ...]
    summary: Message


def rows_of(expected: Expected) -> tuple[Row, ...]:
    """Return a forecast's bands in the order in which they are read."""
    bands = expected.bands
    return (
        Row(name="time_s", message=_times(bands["time_s"])),
        Row(name="beverage_g", message=_values("g", _whole(bands["beverage_g"]))),
        Row(name="strength", message=_values("strength", bands["strength"])),
        Row(name="extraction", message=_values("share", bands["extraction"])),
        Row(name="spread", message=_values("apart_strength", _rounded(bands["spread"]))),
        Row(name="fractions", message=_fractions(expected.fractions)),
        Row(name="free_height_m", message=_free(bands["free_height_m"])),
    )


def rests_on(expected: Expected) -> Message:
    """Return from how many brews a forecast was made."""
    if expected.brews == 0:
        return Message("expected.from_none")
    return Message("expected.from_brews", {"count": expected.brews})


def rim_messages(
    expected: Expected, recipe: Recipe, kit: KitView, margin_m: float = RIM_MARGIN_M
) -> list[Message]:
    """Return a caution where the slurry may spill or come nearer the rim than a margin, m.

    It says which pour and how far, and speaks from one brew in twenty on.
    """
    inside = inside_of(kit.dripper)
    free_m = expected.bands["free_height_m"][0]
    if free_m >= margin_m:
        return []
    number = _highest_pour(expected, recipe)
    values = {"number": number, "until_g": recipe.pours[number - 1].until_g}
    code = "expected.near_rim"
    if free_m < 0:
        over_g = volume_ml(inside, inside.height_m - free_m) - volume_ml(inside, inside.height_m)
        code = "expected.spills"
        values |= {
            "over_g": max(_stepped(over_g, OVERFLOW_STEP_G), OVERFLOW_STEP_G),
            "spills_share": max(expected.overflows_share, 0.05),
        }
    else:
        values["free_mm"] = round(free_m * MM_PER_M)
    said = [Message(code, values)]
    return said if inside.measured else [*said, Message("expected.typical_dripper")]


def add_forecast(w: Writer, brew_id: UUID, expected: Expected | None, now: datetime) -> None:
    """Add what was expected of a brew beside it, in the block that keeps the brew itself."""
    if expected is None:
        return
    from halfclick.service.forecast import forecast_of  # loaded by whoever made it

    try:
        forecast = forecast_of(brew_id, expected, now)
    except BadInput:
        return  # the brew is kept whatever was said of it
    w.add(forecast)


def bed_depth_m(expected: Expected) -> float:
    """Return how deep the bed of a forecast stands, m: the level before any pond."""
    return float(expected.level_m.middle[0])


def picture_of(expected: Expected, recipe: Recipe) -> Picture:
    """Return a forecast by the clock, as far as most such brews run."""
    _, middle_s, high_s = expected.bands["time_s"]
    last_s = max(min(high_s, LONG * middle_s), recipe.pours[-1].start_s) + AFTER_S
    count = sum(1 for time_s in expected.clock_s if time_s <= last_s)
    every = max(count // POINTS, 1)
    taken = slice(0, count, every)
    rim_mm = expected.rim_m * MM_PER_M
    level = _strip("level", "mm", expected.level_m, taken, scale=MM_PER_M, bottom=0.0)
    level = _with_limit(level, rim_mm)
    # The bed is dry and the water not yet poured at the first moment: no temperature of a slurry.
    later = slice(every, count, every)
    slurry = _strip("slurry", "c", expected.slurry_c, later)
    return Picture(
        clock_s=tuple(expected.clock_s[taken].tolist()),
        strips=(
            level,
            _strip("weight", "g", expected.weight_g, taken, bottom=0.0),
            _running(expected, expected.clock_s[taken].tolist()),
            _begun_late(slurry),
        ),
        pours_s=tuple(pour.start_s for pour in recipe.pours),
        summary=_summary(expected, recipe),
    )


def _summary(expected: Expected, recipe: Recipe) -> Message:
    number = _highest_pour(expected, recipe)
    hottest, ended = expected.bands["hottest_c"], expected.bands["ended_c"]
    peak = expected.bands["peak_level_m"]
    return Message(
        "expected.summary",
        {
            "number": number,
            "low_mm": round(peak[0] * MM_PER_M),
            "high_mm": round(peak[2] * MM_PER_M),
            "rim_mm": round(expected.rim_m * MM_PER_M),
            "hottest_low_c": float(round(hottest[0])),
            "hottest_high_c": float(round(hottest[2])),
            "ended_low_c": float(round(ended[0])),
            "ended_high_c": float(round(ended[2])),
        },
    )


def _highest_pour(expected: Expected, recipe: Recipe) -> int:
    """Return the number of the pour, from 1, in which the slurry may stand highest."""
    at = int(expected.level_m.high.argmax())
    highest_s = float(expected.clock_s[at])
    begun = [pour for pour in recipe.pours if pour.start_s <= highest_s]
    return max(len(begun), 1)


def _strip(
    name: str,
    unit: str,
    bands: Bands,
    taken: slice,
    *,
    scale: float = 1.0,
    bottom: float | None = None,
) -> Strip:
    low, middle, high = (
        tuple((curve[taken] * scale).tolist()) for curve in (bands.low, bands.middle, bands.high)
    )
    least = min(low) if bottom is None else bottom
    return Strip(
        name=name,
        unit=unit,
        low=low,
        middle=middle,
        high=high,
        bottom=least,
        top=max(*high, least + LEAST_SPAN),
    )


def _with_limit(strip: Strip, limit: float) -> Strip:
    return Strip(
        name=strip.name,
        unit=strip.unit,
        low=strip.low,
        middle=strip.middle,
        high=strip.high,
        bottom=strip.bottom,
        top=max(strip.top, limit * 1.05),
        limit=limit,
    )


def _begun_late(strip: Strip) -> Strip:
    """Return a strip whose first moment is told as its second."""
    return Strip(
        name=strip.name,
        unit=strip.unit,
        low=(strip.low[0], *strip.low),
        middle=(strip.middle[0], *strip.middle),
        high=(strip.high[0], *strip.high),
        bottom=strip.bottom,
        top=strip.top,
    )


def _running(expected: Expected, clock_s: list[float]) -> Strip:
    """Return how strong what runs into the cup is, by the half minute, until nothing runs."""
    told = {round(one.from_s / FRACTION_S): one.strength for one in expected.fractions}
    nothing = (0.0, 0.0, 0.0)
    low, middle, high = zip(
        *(told.get(int(time_s // FRACTION_S), nothing) for time_s in clock_s), strict=True
    )
    return Strip(
        name="running",
        unit="strength",
        low=low,
        middle=middle,
        high=high,
        bottom=0.0,
        top=max(*high, LEAST_STRENGTH),
        ends=sum(time_s // FRACTION_S <= max(told, default=-1) for time_s in clock_s),
    )


def _fractions(fractions: tuple[Fraction, ...]) -> Message:
    """Return the middle strength of each half minute from the first in which something runs."""
    if not fractions:
        return Message("expected.nothing_runs")
    told = {round(one.from_s / FRACTION_S): one.strength[1] for one in fractions}
    each = tuple(
        round(told[place], FRACTION_DIGITS) if place in told else Message("expected.none_runs")
        for place in range(min(told), max(told) + 1)
    )
    return Message(
        "expected.by_half_minute", {"from_time_s": fractions[0].from_s, "each_strength": each}
    )


def _times(band: Band) -> Message:
    low, middle, high = (clock(_stepped(value, TIME_STEP_S)) for value in band)
    return Message("expected.band", {"low": low, "middle": middle, "high": high})


def _values(suffix: str, band: Band) -> Message:
    names = (f"{name}_{suffix}" for name in ("low", "middle", "high"))
    values = dict(zip(names, band, strict=True))
    return Message(f"expected.band_{suffix}", values)


def _whole(band: Band) -> Band:
    low, middle, high = (float(round(value)) for value in band)
    return low, middle, high


def _rounded(band: Band) -> Band:
    low, middle, high = (round(value, FRACTION_DIGITS) for value in band)
    return low, middle, high


def _free(band: Band) -> Message:
    low, middle, high = (round(value * MM_PER_M) for value in band)
    if low < 0:
        over_mm, free_mm = -low, max(high, 0)
        return Message("expected.band_over", {"over_mm": over_mm, "free_mm": free_mm})
    return Message("expected.band_mm", {"low_mm": low, "middle_mm": middle, "high_mm": high})


def _stepped(value: float, step: float) -> float:
    return round(value / step) * step
