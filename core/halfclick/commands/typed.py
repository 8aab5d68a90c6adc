"""What was typed, as numbers and times; either decimal mark is understood."""

import re
from datetime import date

from halfclick.errors import BadInput

_NUMBER = re.compile(r"[+-]?[0-9]{1,9}([.,][0-9]{1,6})?")
_CLOCK = re.compile(r"([0-9]{1,4}):([0-5][0-9])")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_SHOWN = 40


def number_of(option: str, text: str | None) -> float | None:
    """Return a number as typed, None where nothing was.

    Raises:
        BadInput: it is no number.
    """
    if text is None:
        return None
    if not _NUMBER.fullmatch(text.strip()):
        raise BadInput("commands.not_a_number", option=option, text=shortened(text))
    return float(text.strip().replace(",", "."))


def whole_of(option: str, text: str | None) -> int | None:
    """Return a whole number as typed, None where nothing was.

    Raises:
        BadInput: it is none.
    """
    value = number_of(option, text)
    if value is None:
        return None
    if not value.is_integer():
        raise BadInput("commands.not_whole", option=option, text=shortened(text or ""))
    return int(value)


def seconds_of(option: str, text: str | None) -> float | None:
    """Return a time typed as minutes and seconds, or as seconds, in s.

    Raises:
        BadInput: it is no time.
    """
    if text is None:
        return None
    found = _CLOCK.fullmatch(text.strip())
    if found:
        return int(found[1]) * 60.0 + int(found[2])
    if not _NUMBER.fullmatch(text.strip()):
        raise BadInput("commands.not_a_time", option=option, text=shortened(text))
    return number_of(option, text)


def date_of(option: str, text: str | None) -> date | None:
    """Return a day typed year first, None where nothing was.

    Raises:
        BadInput: it is no day.
    """
    if text is None:
        return None
    try:
        if _DAY.fullmatch(text.strip()):
            return date.fromisoformat(text.strip())
    except ValueError:
        pass
    raise BadInput("commands.not_a_day", option=option, text=shortened(text))


def shortened(text: str) -> str:
    """Return a text short enough to stand in a sentence."""
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}…"


def day_of(day: date | None) -> str | None:
    """Return a day as a script reads it."""
    return None if day is None else day.isoformat()
