"""The whole journal as one JSON document: written, read back, and described by a schema."""

import re
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import IO, Any

import msgspec
import sqlalchemy as sa

from halfclick.errors import BadInput, CoreError
from halfclick.store.exchange.aside import file_aside
from halfclick.store.exchange.lines import KINDS, Line, Moment, Stamps, lines_of, row_of
from halfclick.store.exchange.not_read import not_json, why_not
from halfclick.store.exchange.progress import Progress
from halfclick.wording import Message

FORMAT = "halfclick-journal"
VERSION = 1
SCHEMA_ID = "journal-1.json"

# Years of several brews a day lie far below these: our own bounds, so that no file can fill
# the memory. A record is about 2 kB.
MOST_BYTES = 50_000_000
MOST_THINGS = 1_500_000
MOST_IN_A_RECORD = 200_000
# The deepest value of a record lies at 9; reasons hold messages in messages.
DEEPEST = 40
# What a database's whole number holds.
MOST_WHOLE = 2**63 - 1

Lines = dict[str, list[Line[Any]]]

_STAMPS = msgspec.json.Decoder(Stamps)
PIECE = 4_000_000  # bytes looked through at a time (our own)
_NOT_ESCAPING = re.compile(rb"[^\\]")
_NO_MARKS = bytes(set(range(256)) - set(b'"[]{}'))


class _Parts(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A line before its record and its stamps are looked into."""

    record: msgspec.Raw
    stamps: msgspec.Raw


# The lists are read one by one: a reader lets no other thread go on before it is through.
_Document: Any = msgspec.defstruct(
    "_Document",
    [
        ("format", str, ""),
        ("version", int, 0),
        *((name, msgspec.Raw, msgspec.Raw(b"[]")) for name in KINDS),
    ],
)


def write_journal(
    connection: sa.Connection, path: Path, *, now: datetime, progress: Progress
) -> int:
    """Write every record of every kind to a file, aside and then in place; return how many.

    Raises:
        StoreUnwritable: the file cannot be written; what was there stays.
        Stopped: the person asked to stop; what was there stays.
    """
    with file_aside(path) as stream:
        head = {"format": FORMAT, "version": VERSION, "exported_at": now}
        stream.write(msgspec.json.encode(head)[:-1])
        count = 0
        for number, (name, kind) in enumerate(KINDS.items()):
            progress.step(number / len(KINDS))
            stream.write(f',\n"{name}": ['.encode())
            count += _write_lines(stream, lines_of(connection, kind), progress)
            stream.write(b"]")
        stream.write(b"}\n")
    return count


def _write_lines(stream: IO[bytes], lines: Iterable[Line[Any]], progress: Progress) -> int:
    count = 0
    for line in lines:
        progress.step(progress.share)
        stream.write(b"\n" if count == 0 else b",\n")
        stream.write(msgspec.json.encode(line, enc_hook=dict))
        count += 1
    return count


def read_journal(path: Path, *, progress: Progress) -> Lines:
    """Return what a file holds by kind; nothing in it is trusted.

    Raises:
        BadInput: it is too large, no JSON, no journal, of a newer form, or a record cannot be.
        Stopped: the person asked to stop.
    """
    data = _bytes_of(path)
    _require_flat(data)
    try:
        found = msgspec.json.decode(data, type=_Document)
    except msgspec.ValidationError as error:
        raise BadInput("journal_file.not_a_journal") from error
    except msgspec.MsgspecError as error:
        raise not_json(error) from error
    except UnicodeDecodeError as error:
        raise BadInput("journal_file.not_utf8") from error
    if found.format != FORMAT:
        raise BadInput("journal_file.not_a_journal")
    if found.version != VERSION:
        raise BadInput("journal_file.bad_version", given=str(found.version), known=str(VERSION))
    return _lines_in(found, progress)


def schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of the document."""
    kinds: list[Any] = [
        (name, list[Line[kind]], msgspec.field(default_factory=list))  # type: ignore[valid-type]
        for name, kind in KINDS.items()
    ]
    document = msgspec.defstruct(
        "Journal",
        [("format", str), ("version", int), ("exported_at", Moment), *kinds],
        namespace={"__doc__": "A whole journal; photos are listed, their files lie beside it."},
    )
    made = msgspec.json.schema(document, schema_hook=_anything)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": SCHEMA_ID,
        "$comment": _UNITS,
        **made,
    }


_UNITS = (
    "Units stand at the end of names: _g gram, _c degree Celsius, _s second, _m metre, "
    "_um micrometre, _pa pascal, _mg_l milligram a litre (hardness and alkalinity as CaCO3, ions "
    "as themselves), _g_s gram a second. Shares, strength among them, are fractions from 0 to 1. "
    "Marks run from 0 to 10, liking from 1 to 9."
)


def _anything(kind: type) -> dict[str, Any]:
    if kind is object:
        return {"description": "a text, a number, a message, or a list of them"}
    raise NotImplementedError(kind)


def _bytes_of(path: Path) -> bytes:
    try:
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except OSError as error:
        raise BadInput("exchange.cannot_read", path=str(path)) from error
    if len(data) > MOST_BYTES:
        raise BadInput("exchange.too_large", count=MOST_BYTES // 1_000_000)
    return data.removeprefix(b"\xef\xbb\xbf")


def _require_flat(data: bytes) -> None:
    """Refuse nesting and numbers of things that no journal has, before anything is built.

    In few passes over all bytes, each at the speed of memory: texts are taken away, then the
    innermost pairs of brackets, level by level.
    """
    marks = b"".join(map(_marks_in, _pieces(data)))
    parts = marks.replace(b'""', b"").split(b'"')
    if len(parts) % 2 == 0:
        raise BadInput("journal_file.cut_short")
    brackets = b"".join(parts[::2])
    if brackets.count(b"{") > MOST_THINGS:
        raise BadInput("journal_file.too_many", count=MOST_THINGS)
    for _ in range(DEEPEST):
        before = len(brackets)
        brackets = brackets.replace(b"[]", b"").replace(b"{}", b"")
        if len(brackets) == before:
            break  # nothing left, or nothing that has a partner
    # What is left without its partner is no JSON, and is told so; too much is not even looked at.
    if len(brackets) > DEEPEST:
        raise BadInput("journal_file.too_deep", count=DEEPEST)


def _pieces(data: bytes) -> Iterable[bytes]:
    """Yield some MB at a time, so that other threads go on; no escaped sign is parted."""
    start = 0
    while start < len(data):
        end = start + PIECE
        if data[end - 1 : end] == b"\\":
            whole = _NOT_ESCAPING.search(data, end)
            end = whole.end() if whole else len(data)
        yield data[start:end]
        start = end


def _marks_in(piece: bytes) -> bytes:
    return piece.replace(b"\\\\", b"").replace(b'\\"', b"").translate(None, _NO_MARKS)


def _lines_in(found: Any, progress: Progress) -> Lines:
    listed = {name: _listed(name, getattr(found, name)) for name in KINDS}
    lines: Lines = {}
    for number, (name, kind) in enumerate(KINDS.items()):
        decoder = msgspec.json.Decoder(kind)
        lines[name] = []
        for place, parts in enumerate(listed[name], start=1):
            progress.step(number / len(KINDS))
            lines[name].append(_line(decoder, parts, name, place))
    return lines


def _listed(name: str, text: msgspec.Raw) -> list[_Parts]:
    try:
        return msgspec.json.decode(text, type=list[_Parts])
    except msgspec.ValidationError as error:
        raise BadInput("journal_file.bad_shape", why=why_not(error, name)) from error
    except UnicodeDecodeError as error:
        raise BadInput("journal_file.not_utf8") from error


def _line(decoder: Any, parts: _Parts, name: str, place: int) -> Line[Any]:
    where = {"kind": Message(f"exchange.kind_{name}"), "place": str(place)}
    if len(memoryview(parts.record)) > MOST_IN_A_RECORD:
        raise _bad(where, Message("journal_file.record_too_large", {"count": MOST_IN_A_RECORD}))
    try:
        line: Line[Any] = Line(
            record=decoder.decode(parts.record), stamps=_STAMPS.decode(parts.stamps)
        )
        _require_writable(row_of(line))
    except CoreError as error:
        told = Message(error.code, error.values)
        raise BadInput("journal_file.bad_record_said", **where, said=told) from error
    except (msgspec.MsgspecError, ValueError, OverflowError) as error:
        raise _bad(where, why_not(error)) from error
    return line


def _require_writable(row: dict[str, Any]) -> None:
    """Raise ValueError where a row holds a number that no database keeps."""
    for name, value in row.items():
        if isinstance(value, int) and not -MOST_WHOLE <= value <= MOST_WHOLE:
            raise ValueError(f"{name} is too large")


def _bad(where: dict[str, object], why: Message) -> BadInput:
    return BadInput("journal_file.bad_record", **where, why=why)
