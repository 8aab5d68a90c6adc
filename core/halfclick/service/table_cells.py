"""One cell of a table to a value: numbers, times, days, in the unit its column is in."""

import re
from datetime import date, time

from halfclick.errors import BadInput
from halfclick.model.tasting import Verdict
from halfclick.service.table_fields import Column, Unit
from halfclick.units import G_PER_OZ, c_from_f

_SHOWN = 30
# Liking runs from 1 to 9; other scales are laid over it, their worst on 1 and their best on 9.
_SCALES: dict[Unit, tuple[float, float]] = {
    Unit.TO_NINE: (1.0, 9.0),
    Unit.TO_FIVE: (1.0, 5.0),
    Unit.TO_TEN: (0.0, 10.0),
    Unit.TO_HUNDRED: (0.0, 100.0),
}
_KEEP = frozenset({"keep", "kept", "yes", "y", "good", "true", "1", "x"})
_CHANGE = frozenset({"change", "no", "n", "bad", "false", "0"})


def number_in(text: str, column: Column, *, decimal_comma: bool) -> float:
    """Return the number in a cell; a unit after it is passed over.

    Raises:
        BadInput: there is none.
    """
    mark = "," if decimal_comma else r"\."
    match = re.fullmatch(
        rf"([-+]?)(\d{{1,9}})(?:{mark}(\d{{1,9}}))?\s*(?:[^\W\d_]|[°%/.])*", text.strip()[:40]
    )
    if match is None:
        raise _bad(text, column)
    value = float(f"{match[2]}.{match[3] or 0}")
    return -value if match[1] == "-" else value


def mass_g(text: str, column: Column, unit: Unit, *, decimal_comma: bool) -> float:
    """Return a mass, g.

    Raises:
        BadInput: there is none.
    """
    value = number_in(text, column, decimal_comma=decimal_comma)
    return round(value * G_PER_OZ, 2) if unit is Unit.OUNCE else value


def temperature_c(text: str, unit: Unit, *, decimal_comma: bool) -> float:
    """Return a temperature, degrees Celsius.

    Raises:
        BadInput: there is none.
    """
    value = number_in(text, Column.TEMPERATURE, decimal_comma=decimal_comma)
    return round(c_from_f(value), 1) if unit is Unit.FAHRENHEIT else value


def ratio(text: str, *, decimal_comma: bool) -> float:
    """Return water per dose of "1:16", "1/16" or "16".

    Raises:
        BadInput: there is none.
    """
    bare = re.sub(r"^\s*1\s*[:/]\s*", "", text)
    return number_in(bare, Column.RATIO, decimal_comma=decimal_comma)


def duration_s(text: str, unit: Unit, *, decimal_comma: bool) -> float:
    """Return seconds of "2:45", "0:02:45", or of a number in the column's unit.

    Raises:
        BadInput: it is no time.
    """
    parted = re.fullmatch(r"(?:(\d{1,2}):)?(\d{1,3}):(\d{2})(?:[.,]\d+)?", text.strip())
    if parted and int(parted[3]) < 60:
        return int(parted[1] or 0) * 3600.0 + int(parted[2]) * 60.0 + int(parted[3])
    worded = re.fullmatch(
        r"(\d{1,3})\s*(?:m|min|')\s*(\d{1,2})\s*(?:s|sec|\"|'')?", text.strip().casefold()
    )
    if worded and int(worded[2]) < 60:
        return int(worded[1]) * 60.0 + int(worded[2])
    value = number_in(text, Column.DRAINED, decimal_comma=decimal_comma)
    return round(value * 60.0, 1) if unit is Unit.MINUTES else value


def strength(text: str, unit: Unit, *, decimal_comma: bool) -> float:
    """Return a strength as a fraction.

    Raises:
        BadInput: there is none.
    """
    value = number_in(text, Column.STRENGTH, decimal_comma=decimal_comma)
    return round(value / 100.0, 8) if unit is Unit.PERCENT else value


def liking(text: str, unit: Unit, *, decimal_comma: bool) -> float:
    """Return a liking, 1 to 9.

    Raises:
        BadInput: there is none, or it lies off its scale.
    """
    low, high = _SCALES[unit]
    value = number_in(text.split("/")[0], Column.LIKING, decimal_comma=decimal_comma)
    if not low <= value <= high:
        raise _bad(text, Column.LIKING)
    return round(1.0 + 8.0 * (value - low) / (high - low), 2)


def verdict(text: str) -> Verdict | None:
    """Return the verdict of a word; None for other words."""
    said = text.strip().casefold()
    if said in _KEEP:
        return Verdict.KEEP
    return Verdict.CHANGE if said in _CHANGE else None


def day_in(text: str, column: Column, unit: Unit) -> date:
    """Return the day in a cell; what follows it, a time say, is passed over.

    Raises:
        BadInput: there is none.
    """
    match = re.match(r"\s*(\d{1,4})\s?[-./ ]\s?(\d{1,2})\s?[-./ ]\s?(\d{1,4})(?!\d)", text)
    if match is None:
        raise _bad(text, column)
    one, two, three = (int(part) for part in match.groups())
    if len(match[1]) == 4:
        year, month, day = one, two, three
    elif unit is Unit.MONTH_FIRST:
        month, day, year = one, two, three
    else:
        day, month, year = one, two, three
    try:
        found = date(year + 2000 if year < 100 else year, month, day)
    except ValueError:
        raise _bad(text, column) from None
    if not 1970 <= found.year <= 2200:
        raise _bad(text, column)
    return found


def time_in(text: str) -> time | None:
    """Return the first time of day in a cell; None where there is none."""
    match = re.search(r"(?<!\d)(\d{1,2}):(\d{2})(?::(\d{2}))?(?:\s*([ap])\.?m)?", text.casefold())
    if match is None:
        return None
    hour, minute, second = int(match[1]), int(match[2]), int(match[3] or 0)
    if match[4]:
        hour = hour % 12 + (12 if match[4] == "p" else 0)
    if hour > 23 or minute > 59 or second > 59:
        return None
    return time(hour, minute, second)


def text_in(text: str) -> str:
    """Return a text, freed of the apostrophe that keeps a spreadsheet from taking it as formula."""
    bare = text.strip()
    return bare[1:] if bare.startswith("'") and bare[1:2] in {"=", "+", "-", "@"} else bare


def _bad(text: str, column: Column) -> BadInput:
    return BadInput(f"table.bad_{column.value}", text=text.strip()[:_SHOWN])
