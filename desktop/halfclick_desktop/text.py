"""Numbers to words in widgets: a value with its unit, or nothing where it is not known."""

from datetime import date

from halfclick.wording import NO_BREAK, Wording, clock, number

UNKNOWN = "\N{EN DASH}"


def weight(words: Wording, value_g: float | None, unknown: str = UNKNOWN) -> str:
    """Return e.g. "240 g", or as ounces for who reads those."""
    return unknown if value_g is None else words.quantity("g", float(value_g))


def degrees(words: Wording, value_c: float | None, unknown: str = UNKNOWN) -> str:
    """Return e.g. "95 °C", or as degrees Fahrenheit for who reads those."""
    return unknown if value_c is None else words.quantity("c", float(value_c))


def minutes(value_s: float | None, unknown: str = UNKNOWN) -> str:
    """Return e.g. "2:08"."""
    return unknown if value_s is None else clock(value_s)


def percent(share: float | None, decimals: int = 0, unknown: str = UNKNOWN) -> str:
    """Return e.g. "20 %" of a share between 0 and 1."""
    return unknown if share is None else f"{number(share * 100, decimals)}{NO_BREAK}%"


def ratio(value: float | None, unknown: str = UNKNOWN) -> str:
    """Return e.g. "1:16"."""
    return unknown if value is None else f"1:{number(value)}"


def day(words: Wording, value: date | None, unknown: str = UNKNOWN) -> str:
    """Return e.g. "25 Nov 2026"."""
    return unknown if value is None else words.day(value)


def typed_measure(words: Wording, suffix: str, value: float | None) -> str:
    """Return a value as a person would type it in the unit they read, e.g. `c` for degrees."""
    unit = words.units.of(suffix)
    if value is None or unit is None:
        return typed(value)
    return typed(unit.shown(value), unit.decimals)


def typed(value: float | None, decimals: int = 1) -> str:
    """Return a number as a person would type it into a field."""
    return "" if value is None else number(value, decimals).replace("\N{MINUS SIGN}", "-")
