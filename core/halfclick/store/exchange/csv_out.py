"""Tables as CSV: numbers stay numbers, and no text is taken for a formula by a spreadsheet."""

import csv
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from io import TextIOWrapper
from pathlib import Path
from typing import Any

import msgspec
import sqlalchemy as sa

from halfclick.store.exchange.lines import KINDS, Line, lines_of
from halfclick.store.exchange.progress import Progress

Row = Mapping[str, object]

# Fractions in the journal, percent in a table.
IN_PERCENT = frozenset(
    {"strength", "strength_sd", "dose_moisture", "extraction", "shares", "strengths"}
)

# What makes a spreadsheet take a cell for a formula (published advice on CSV injection, OWASP).
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True, kw_only=True)
class CsvForm:
    """How the person's spreadsheet wants its tables."""

    decimal_comma: bool = False
    with_bom: bool = False

    @property
    def delimiter(self) -> str:
        """What stands between cells: a comma, where numbers leave it free."""
        return ";" if self.decimal_comma else ","


def write_kinds(
    connection: sa.Connection, folder: Path, form: CsvForm, *, progress: Progress
) -> None:
    """Write one table a kind into a folder.

    Raises:
        Stopped: the person asked to stop.
    """
    for number, (name, kind) in enumerate(KINDS.items()):
        progress.step(number / (len(KINDS) + 1))
        rows = [_flat(line) for line in lines_of(connection, kind)]
        columns = list(dict.fromkeys(column for row in rows for column in row))
        write_table(folder / f"{name}.csv", columns or ["id"], rows, form, progress=progress)


def write_table(
    path: Path, columns: Sequence[str], rows: Iterable[Row], form: CsvForm, *, progress: Progress
) -> None:
    """Write one table; a column that a row lacks is left empty there."""
    with path.open("xb") as stream:
        text = TextIOWrapper(
            stream, encoding="utf-8-sig" if form.with_bom else "utf-8", newline="", errors="replace"
        )
        writer = csv.writer(text, delimiter=form.delimiter)
        writer.writerow(columns)
        for row in rows:
            progress.step(progress.share)
            writer.writerow([cell(row.get(column), form) for column in columns])
        text.flush()
        text.detach()


def cell(value: object, form: CsvForm) -> str:
    """Return a value as it stands in a cell."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        text = f"{value:.10g}" if isinstance(value, float) else str(value)
        return text.replace(".", ",") if form.decimal_comma else text
    if isinstance(value, datetime):
        return value.isoformat(sep=" ", timespec="seconds")
    if isinstance(value, date):
        return value.isoformat()
    return defused(str(value))


def defused(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula: a leading apostrophe says text."""
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def _flat(line: Line[Any]) -> dict[str, object]:
    """Return a line as one row: what nests gets its outer name before its own, lists are JSON."""
    row: dict[str, object] = {}
    fields = msgspec.to_builtins(line.record, builtin_types=(datetime, date), enc_hook=dict)
    _flatten(row, "", fields)
    _flatten(row, "", msgspec.to_builtins(line.stamps, builtin_types=(datetime, date)))
    return row


def _flatten(row: dict[str, object], outer: str, fields: Mapping[str, Any]) -> None:
    for name, value in fields.items():
        if isinstance(value, dict):
            _flatten(row, f"{outer}{name}_", value)
        elif name in IN_PERCENT and value is not None:
            row[f"{outer}{name}_percent"] = _plain(_percent(value))
        else:
            row[f"{outer}{name}"] = _plain(value)


def _plain(value: Any) -> Any:
    if isinstance(value, list | tuple):
        return msgspec.json.encode(value).decode() if value else None
    return value


def _percent(value: Any) -> Any:
    if isinstance(value, list | tuple):
        return [_percent(one) for one in value]
    # Rounded where only the binary writing of a number would show.
    return round(float(value) * 100.0, 10)
