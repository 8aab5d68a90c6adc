"""What a column of a table may hold, the words it goes by, and the units it may be in."""

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from halfclick.store.exchange.table_in import Table


class Column(StrEnum):
    """What a column is taken for."""

    COFFEE = "coffee"
    ROASTER = "roaster"
    ROASTED_ON = "roasted_on"
    BREWED_ON = "brewed_on"
    BREWED_AT = "brewed_at"
    DOSE = "dose"
    WATER = "water"
    RATIO = "ratio"
    TEMPERATURE = "temperature"
    SETTING = "setting"
    DRAINED = "drained"
    BEVERAGE = "beverage"
    STRENGTH = "strength"
    SOUR = "sour"
    BITTER = "bitter"
    THIN = "thin"
    HARSH = "harsh"
    SWEET = "sweet"
    LIKING = "liking"
    VERDICT = "verdict"
    WORDS = "words"
    NOTE = "note"


class Unit(StrEnum):
    """What the numbers of a column may be in, where people differ."""

    GRAM = "gram"
    OUNCE = "ounce"
    CELSIUS = "celsius"
    FAHRENHEIT = "fahrenheit"
    SECONDS = "seconds"
    MINUTES = "minutes"
    PERCENT = "percent"
    FRACTION = "fraction"
    YEAR_FIRST = "year_first"
    DAY_FIRST = "day_first"
    MONTH_FIRST = "month_first"
    TO_NINE = "to_nine"
    TO_TEN = "to_ten"
    TO_FIVE = "to_five"
    TO_HUNDRED = "to_hundred"


_MASS = (Unit.GRAM, Unit.OUNCE)
_DAY = (Unit.YEAR_FIRST, Unit.DAY_FIRST, Unit.MONTH_FIRST)
# The units a column may be in, the usual one first.
UNITS: Mapping[Column, tuple[Unit, ...]] = {
    Column.ROASTED_ON: _DAY,
    Column.BREWED_ON: _DAY,
    Column.DOSE: _MASS,
    Column.WATER: _MASS,
    Column.BEVERAGE: _MASS,
    Column.TEMPERATURE: (Unit.CELSIUS, Unit.FAHRENHEIT),
    Column.DRAINED: (Unit.SECONDS, Unit.MINUTES),
    Column.STRENGTH: (Unit.PERCENT, Unit.FRACTION),
    Column.LIKING: (Unit.TO_NINE, Unit.TO_FIVE, Unit.TO_TEN, Unit.TO_HUNDRED),
}

# Words that headers of such columns hold, ours first; a header is compared by its letters alone.
_WORDS: Mapping[Column, tuple[str, ...]] = {
    Column.COFFEE: ("coffee", "coffee name", "bean", "beans", "name", "bag"),
    Column.ROASTER: ("roaster", "roastery", "roasted by"),
    Column.ROASTED_ON: ("roasted on", "roast date", "roasted", "date roasted"),
    Column.BREWED_ON: ("brewed on", "date", "brew date", "day", "when", "datetime", "brewed"),
    Column.BREWED_AT: ("brewed at", "time of day", "hour", "clock"),
    Column.DOSE: ("dose", "coffee weight", "coffee in", "coffee mass", "grounds", "coffee amount"),
    Column.WATER: ("water", "water weight", "water in", "water mass", "poured", "total water"),
    Column.RATIO: ("ratio", "ratio per", "brew ratio", "water ratio"),
    Column.TEMPERATURE: ("water temperature", "temperature", "temp", "water temp", "brew temp"),
    Column.SETTING: (
        "setting",
        "grind",
        "grind setting",
        "grinder setting",
        "clicks",
        "grind size",
    ),
    Column.DRAINED: (
        "drained",
        "drawdown",
        "brew time",
        "total time",
        "time",
        "drain time",
        "end time",
    ),
    Column.BEVERAGE: (
        "beverage",
        "beverage weight",
        "yield",
        "out",
        "drink",
        "output",
        "cup weight",
    ),
    Column.STRENGTH: ("strength", "tds", "dissolved solids"),
    Column.SOUR: ("sour", "acid", "sourness", "sharp"),
    Column.BITTER: ("bitter", "bitterness"),
    Column.THIN: ("thin", "watery"),
    Column.HARSH: ("harsh", "dry", "astringent", "astringency"),
    Column.SWEET: ("sweet", "sweetness"),
    Column.LIKING: ("liking", "rating", "score", "stars", "overall"),
    Column.VERDICT: ("verdict", "keep", "decision"),
    Column.WORDS: ("words", "taste", "tasting notes", "flavour", "flavor", "taste notes"),
    Column.NOTE: ("note", "notes", "comment", "comments", "remarks"),
}
# What a header says of units or scales, beside the word itself.
_UNIT_WORDS: Mapping[str, Unit] = {
    "oz": Unit.OUNCE,
    "ounces": Unit.OUNCE,
    "f": Unit.FAHRENHEIT,
    "fahrenheit": Unit.FAHRENHEIT,
    "min": Unit.MINUTES,
    "minutes": Unit.MINUTES,
}
_ASIDE = frozenset({"g", "gram", "grams", "c", "celsius", "s", "sec", "seconds", "percent", "per"})
_FAHRENHEIT_FROM = 110.0  # no water is so hot in Celsius


@dataclass(frozen=True, slots=True, kw_only=True)
class Matching:
    """Which column of a table is taken for what, in which unit, and how numbers are written."""

    columns: Mapping[Column, int]
    units: Mapping[Column, Unit] = field(default_factory=dict)
    decimal_comma: bool = False

    def unit(self, column: Column) -> Unit:
        """Return the unit a column is in."""
        return self.units.get(column, UNITS[column][0])


def matched(table: Table) -> Matching:
    """Return what the columns of a table are by their headers, as a first guess."""
    columns: dict[Column, int] = {}
    for rank in range(max(map(len, _WORDS.values()))):
        for column, words in _WORDS.items():
            if column in columns or rank >= len(words):
                continue
            for place, header in enumerate(table.header):
                if place not in columns.values() and _plain(header) == words[rank]:
                    columns[column] = place
                    break
    comma = _has_decimal_comma(table)
    units = {
        column: _unit_of(column, table.header[place], _cells(table, place), decimal_comma=comma)
        for column, place in columns.items()
        if column in UNITS
    }
    return Matching(columns=columns, units=units, decimal_comma=comma)


def _plain(header: str) -> str:
    """Return a header by its letters: units and signs aside."""
    words = _letters(header)
    return " ".join(word for word in words if word not in _ASIDE and word not in _UNIT_WORDS)


def _letters(header: str) -> list[str]:
    plain = unicodedata.normalize("NFKD", header).casefold()
    without_scale = re.sub(r"\d+[^a-z\d]*(?:to)?[^a-z\d]*\d+", " ", plain)
    return re.findall(r"[a-z]+", without_scale)


def _cells(table: Table, place: int) -> list[str]:
    return [row[place].strip() for row in table.sample if place < len(row) and row[place].strip()]


def _has_decimal_comma(table: Table) -> bool:
    """Return whether more numbers of the sample are written with a comma than with a point."""
    cells = [cell.strip() for row in table.sample for cell in row]
    comma = sum(bool(re.fullmatch(r"-?\d+,\d+", cell)) for cell in cells)
    point = sum(bool(re.fullmatch(r"-?\d+\.\d+", cell)) for cell in cells)
    return comma > point


def _unit_of(column: Column, header: str, cells: Sequence[str], *, decimal_comma: bool) -> Unit:
    known = UNITS[column]
    for word in _letters(header):
        unit = _UNIT_WORDS.get(word)
        if unit in known and unit is not None:
            return unit
    if known == _DAY:
        return _day_order(cells)
    numbers = [float(cell.replace(",", ".")) for cell in cells if _is_number(cell, decimal_comma)]
    highest = max(numbers, default=0.0)
    if column is Column.TEMPERATURE and highest > _FAHRENHEIT_FROM:
        return Unit.FAHRENHEIT
    if column is Column.STRENGTH and 0 < highest < 0.2:
        return Unit.FRACTION
    if column is Column.DRAINED and 0 < highest < 15:
        return Unit.MINUTES
    if column is Column.LIKING:
        return _scale(highest, header)
    return known[0]


def _is_number(cell: str, decimal_comma: bool) -> bool:
    mark = "," if decimal_comma else r"\."
    return bool(re.fullmatch(rf"\d+({mark}\d+)?", cell))


def _scale(highest: float, header: str) -> Unit:
    if "9" in header:
        return Unit.TO_NINE
    if "5" in header or "star" in header.casefold():
        return Unit.TO_FIVE
    if highest > 10:
        return Unit.TO_HUNDRED
    return Unit.TO_TEN if "10" in header or highest > 9 else Unit.TO_NINE


def _day_order(cells: Sequence[str]) -> Unit:
    """Return the order of day and month: what the sample's numbers leave possible."""
    parts = [re.findall(r"\d+", cell)[:3] for cell in cells]
    firsts = [part for part in parts if len(part) == 3]
    if firsts and all(len(part[0]) == 4 for part in firsts):
        return Unit.YEAR_FIRST
    if any(int(part[1]) > 12 for part in firsts if len(part[1]) < 4):
        return Unit.MONTH_FIRST
    return Unit.DAY_FIRST if firsts else Unit.YEAR_FIRST
