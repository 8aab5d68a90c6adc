"""Which column of a table is taken for what: guessed, then as options or a small file say."""

import argparse
import json
from dataclasses import dataclass, replace
from pathlib import Path

from halfclick.commands.typed import shortened
from halfclick.errors import BadInput
from halfclick.service.table_fields import UNITS, Column, Matching, Unit, matched
from halfclick.store.exchange.table_in import Table

_LONGEST_FILE = 100_000  # bytes; a mapping of every field comes nowhere near (our own)
_NAMED = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a person said of a table; columns and units by field, as texts."""

    columns: dict[str, str]
    units: dict[str, str]
    decimal_comma: bool | None = None


def matching_meant(table: Table, options: argparse.Namespace) -> Matching:
    """Return the matching: the guess, then the mapping file, then the options over it.

    Raises:
        BadInput: a field, column or unit is none, or the mapping file cannot be read.
    """
    guess = matched(table)
    said = _from_file(options.mapping) if options.mapping is not None else _NOTHING
    texts = said.columns | _pairs("--match", options.match)
    columns = _columns(table, dict(guess.columns), texts)
    # A column's guessed unit belongs to the column it was guessed from.
    moved = {one for one in guess.columns if columns.get(one) != guess.columns[one]}
    units = {one: unit for one, unit in guess.units.items() if one not in moved}
    for name, text in (said.units | _pairs("--unit", options.unit)).items():
        field = _field(name)
        units[field] = _unit(field, text)
    comma = guess.decimal_comma if said.decimal_comma is None else said.decimal_comma
    return replace(guess, columns=columns, units=units, decimal_comma=comma)


_NOTHING = Said(columns={}, units={})


def _columns(table: Table, guessed: dict[Column, int], texts: dict[str, str]) -> dict[Column, int]:
    asked = {_field(name): text.strip() for name, text in texts.items()}
    places = {field: _place(table, text) for field, text in asked.items() if text}
    by_place: dict[int, Column] = {}
    for field, place in places.items():
        if place in by_place:
            one = by_place[place].value
            raise BadInput("commands.same_column", one=one, other=field.value)
        by_place[place] = field
    # What is said takes its column from what was only guessed.
    left = {
        field: place
        for field, place in guessed.items()
        if field not in asked and place not in by_place
    }
    return left | places


def _place(table: Table, text: str) -> int:
    wanted = text.casefold()
    found = [n for n, header in enumerate(table.header) if header.strip().casefold() == wanted]
    if len(found) > 1:
        raise BadInput("commands.column_twice", text=shortened(text))
    if found:
        return found[0]
    if text.isascii() and text.isdigit() and len(text) < 6 and 0 < int(text) <= len(table.header):
        return int(text) - 1
    names = ", ".join(shortened(header) for header in table.header[:_NAMED])
    raise BadInput("commands.no_such_column", text=shortened(text), names=names)


def _field(name: str) -> Column:
    wanted = name.strip().casefold()
    for column in Column:
        if column.value == wanted:
            return column
    names = ", ".join(column.value for column in Column)
    raise BadInput("commands.no_such_field", text=shortened(name), names=names)


def _unit(field: Column, text: str) -> Unit:
    wanted = text.strip().casefold()
    known = UNITS.get(field, ())
    for unit in known:
        if unit.value == wanted:
            return unit
    names = ", ".join(unit.value for unit in known) or "-"
    raise BadInput("commands.no_such_unit", field=field.value, text=shortened(text), names=names)


def _pairs(option: str, texts: list[str]) -> dict[str, str]:
    pairs = {}
    for text in texts:
        name, sign, value = text.partition("=")
        if not sign or not name.strip():
            raise BadInput("commands.not_a_pair", option=option, text=shortened(text))
        pairs[name.strip().casefold()] = value
    return pairs


def _from_file(text: str) -> Said:
    path = Path(text).expanduser().absolute()
    try:
        with path.open("rb") as stream:
            raw = stream.read(_LONGEST_FILE + 1)
    except OSError as error:
        raise BadInput("commands.mapping_unread", path=str(path)) from error
    if len(raw) > _LONGEST_FILE:
        raise BadInput("commands.mapping_unread", path=str(path))
    try:
        told = json.loads(raw.decode("utf-8-sig"))
    except (ValueError, RecursionError) as error:
        raise BadInput("commands.mapping_bad", path=str(path)) from error
    if not isinstance(told, dict) or told.keys() - {"columns", "units", "decimal_comma"}:
        raise BadInput("commands.mapping_bad", path=str(path))
    columns, units = told.get("columns", {}), told.get("units", {})
    comma = told.get("decimal_comma")
    if not (_is_texts(columns) and _is_texts(units) and (comma is None or isinstance(comma, bool))):
        raise BadInput("commands.mapping_bad", path=str(path))
    return Said(columns=columns, units=units, decimal_comma=comma)


def _is_texts(told: object) -> bool:
    return isinstance(told, dict) and all(isinstance(one, str) for one in told.values())
