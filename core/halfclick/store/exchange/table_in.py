"""A table that somebody else wrote: its letters, its delimiter, its rows one at a time."""

import codecs
import csv
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from io import TextIOWrapper
from pathlib import Path
from typing import BinaryIO

from halfclick.errors import BadInput
from halfclick.store.exchange.progress import Progress

# A spreadsheet of cups lies far below these: our own bounds, so that no file fills the memory.
MOST_BYTES = 50_000_000
MOST_ROWS = 100_000
MOST_COLUMNS = 200
MOST_IN_A_ROW = 200_000
MOST_IN_A_CELL = 20_000
SAMPLE_ROWS = 200
CHUNK = 1 << 20

DELIMITERS = (",", ";", "\t", "|")


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table as it was found: how it is written, its header and its first rows."""

    path: Path
    encoding: str
    guessed_encoding: bool  # neither marked nor UTF-8, so read as a Western one
    delimiter: str
    header: tuple[str, ...]
    sample: tuple[tuple[str, ...], ...]


def look_at_table(path: Path, *, delimiter: str | None = None) -> Table:
    """Look at a table's beginning.

    Args:
        path: the file.
        delimiter: what stands between cells; None to find it.

    Raises:
        BadInput: it cannot be read, is too large, or is no table.
    """
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise BadInput("exchange.too_large", count=MOST_BYTES // 1_000_000)
        encoding = _encoding_of(path)
        found = delimiter or _delimiter_of(path, encoding)
        rows = _rows(path, encoding, found)
        _, header = next(rows, (0, ()))
        sample = tuple(row for (_, row), _n in zip(rows, range(SAMPLE_ROWS), strict=False))
    except OSError as error:
        raise BadInput("exchange.cannot_read", path=str(path)) from error
    if not any(cell.strip() for cell in header):
        raise BadInput("table.empty")
    return Table(
        path=path,
        encoding=encoding,
        guessed_encoding=encoding == "cp1252",
        delimiter=found,
        header=tuple(cell.strip() for cell in header),
        sample=sample,
    )


def rows_of(table: Table, *, progress: Progress) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Return the number of the line and the cells of every row after the header.

    Raises:
        BadInput: the table goes on beyond what is read.
        Stopped: the person asked to stop.
    """
    try:
        size = max(table.path.stat().st_size, 1)
        read = 0
        rows = _rows(table.path, table.encoding, table.delimiter)
        next(rows, None)
        for number, (line, cells) in enumerate(rows, start=1):
            if number > MOST_ROWS:
                raise BadInput("table.too_many_rows", count=MOST_ROWS)
            read += sum(map(len, cells)) + len(cells)
            progress.step(min(read / size, 0.99))
            yield line, cells
    except OSError as error:
        raise BadInput("exchange.cannot_read", path=str(table.path)) from error


def _rows(path: Path, encoding: str, delimiter: str) -> Iterator[tuple[int, tuple[str, ...]]]:
    with path.open("rb") as stream:
        lines = _Lines(stream, encoding)
        # One setting for the whole program; nothing else of ours reads with it.
        csv.field_size_limit(MOST_IN_A_CELL)
        reader = csv.reader(lines, delimiter=delimiter, strict=False)
        while True:
            lines.begin_row()
            began = reader.line_num + 1
            try:
                cells = next(reader, None)
            except csv.Error as error:
                raise BadInput("table.bad_line", line=str(began), count=MOST_IN_A_CELL) from error
            except UnicodeError as error:
                raise BadInput("table.bad_letters", line=str(began)) from error
            if cells is None:
                return
            if len(cells) > MOST_COLUMNS:
                raise BadInput("table.too_many_columns", line=str(began), count=MOST_COLUMNS)
            if any(cell.strip() for cell in cells):
                yield began, tuple(cells)


class _Lines:
    """The lines of a stream, refused where they would fill the memory."""

    def __init__(self, stream: BinaryIO, encoding: str) -> None:
        errors = "replace" if encoding == "cp1252" else "strict"
        self._text = TextIOWrapper(stream, encoding=encoding, errors=errors, newline="")
        self._line = 0
        self._in_row = 0

    def begin_row(self) -> None:
        """Count the letters of a new row from here."""
        self._in_row = 0

    def __iter__(self) -> "_Lines":
        return self

    def __next__(self) -> str:
        line = self._text.readline(MOST_IN_A_ROW + 1)
        self._line += 1
        self._in_row += len(line)
        if self._in_row > MOST_IN_A_ROW:
            raise BadInput("table.row_too_long", line=str(self._line), count=MOST_IN_A_ROW)
        if "\0" in line:
            raise BadInput("table.nul", line=str(self._line))
        if not line:
            raise StopIteration
        return line


def _encoding_of(path: Path) -> str:
    with path.open("rb") as stream:
        start = stream.read(4)
        if start.startswith(codecs.BOM_UTF8):
            return "utf-8-sig"
        if start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            return "utf-16"
        stream.seek(0)
        decoder = codecs.getincrementaldecoder("utf-8")()
        try:
            while chunk := stream.read(CHUNK):
                decoder.decode(chunk)
            decoder.decode(b"", final=True)
        except UnicodeDecodeError:
            return "cp1252"
    return "utf-8"


def _delimiter_of(path: Path, encoding: str) -> str:
    """Return the delimiter that cuts the first rows into the most columns, evenly."""
    scores = {delimiter: _score(path, encoding, delimiter) for delimiter in DELIMITERS}
    return max(DELIMITERS, key=lambda delimiter: scores[delimiter])


def _score(path: Path, encoding: str, delimiter: str) -> tuple[float, int]:
    rows = _rows(path, encoding, delimiter)
    widths = [len(cells) for (_, cells), _n in zip(rows, range(20), strict=False)]
    if not widths or widths[0] < 2:
        return 0.0, 0
    return Counter(widths)[widths[0]] / len(widths), widths[0]
