"""Numbers to words in widgets: a value with its unit, or nothing where it is not known."""

from datetime import date

from halfclick.wording import NO_BREAK, clock, number, quantity

UNKNOWN = "\N{EN DASH}"


def grams(value_g: float | None, unknown: str = UNKNOWN) -> str:
    """Return e.g. "240 g"."""
    return unknown if value_g is None else quantity("g", float(value_g))


def degrees(value_c: float | None, unknown: str = UNKNOWN) -> str:
    """Return e.g. "95 °C"."""
    return unknown if value_c is None else quantity("c", float(value_c))


def minutes(value_s: float | None, unknown: str = UNKNOWN) -> str:
    """Return e.g. "2:08"."""
    return unknown if value_s is None else clock(value_s)


def percent(share: float | None, decimals: int = 0, unknown: str = UNKNOWN) -> str:
    """Return e.g. "20 %" of a share between 0 and 1."""
    return unknown if share is None else f"{number(share * 100, decimals)}{NO_BREAK}%"


def ratio(value: float | None, unknown: str = UNKNOWN) -> str:
    """Return e.g. "1:16"."""
    return unknown if value is None else quantity("ratio", float(value))


def day(value: date | None, unknown: str = UNKNOWN) -> str:
    """Return e.g. "25 Nov 2026"."""
    return unknown if value is None else quantity("on", value)


def typed(value: float | None, decimals: int = 1) -> str:
    """Return a number as a person would type it into a field."""
    return "" if value is None else number(value, decimals).replace("\N{MINUS SIGN}", "-")
