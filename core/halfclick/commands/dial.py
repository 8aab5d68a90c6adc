"""The door for outsiders: one JSON request a line in, one JSON line out, until the input ends."""

import json
import sys
from collections.abc import Iterable
from math import isfinite
from typing import Any, BinaryIO

from halfclick.wording import Wording

# A line longer than any history of cups is answered without being read as JSON (our own bound).
LONGEST_LINE = 16_000_000


def serve(lines: BinaryIO, out: BinaryIO, words: Wording) -> None:
    """Answer each line as it comes; nothing is kept between two."""
    for line in _lines(lines):
        if line.strip():
            out.write(_written(reply_to(line, words), words).encode("ascii") + b"\n")
            out.flush()


def _written(reply: dict[str, Any], words: Wording) -> str:
    """Return a reply as JSON; one that is none is told, and the next line is served."""
    try:
        return json.dumps(reply, allow_nan=False)
    except ValueError as error:
        print(f"a reply that is no JSON: {error}", file=sys.stderr)
        return json.dumps({"id": reply.get("id"), "error": words("commands.our_mistake")})


def reply_to(line: bytes, words: Wording) -> dict[str, Any]:
    """Return the reply to one line; a line that cannot be answered gets its reason."""
    if len(line) > LONGEST_LINE:
        return {"id": None, "error": words("dial.too_long", count=LONGEST_LINE)}
    try:
        request = json.loads(line, parse_constant=_no_number, parse_float=_finite)
    except (ValueError, RecursionError) as error:
        return {"id": None, "error": words("dial.not_json", detail=str(error))}
    if not isinstance(request, dict):
        return {"id": None, "error": words("dial.not_an_object")}
    return _answered(request, words)


def _answered(request: dict[str, Any], words: Wording) -> dict[str, Any]:
    # Imported late: numpy is not needed to say that a line is no JSON.
    from halfclick.dialling.door import answer
    from halfclick.dialling.request import BadRequest

    try:
        return answer(request, words.sentence)
    except BadRequest as error:
        return {"id": request.get("id"), "error": words("dial.bad_request", detail=str(error))}
    except Exception as error:  # noqa: BLE001 - the last door: told, traced, and the next is served
        import traceback

        traceback.print_exception(error, file=sys.stderr)
        return {"id": request.get("id"), "error": words("commands.our_mistake")}


def _lines(stream: BinaryIO) -> Iterable[bytes]:
    """Yield lines; of a line without an end no more is held than can be answered."""
    while line := stream.readline(LONGEST_LINE + 1):
        yield line
        while len(line) > LONGEST_LINE and not line.endswith(b"\n"):
            line = stream.readline(LONGEST_LINE + 1)
            if not line:
                return


def _no_number(name: str) -> float:
    raise ValueError(f"{name} is no number in JSON")


def _finite(text: str) -> float:
    number = float(text)
    return number if isfinite(number) else _no_number(text)
