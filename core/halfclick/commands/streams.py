"""Text that any terminal takes: other encodings get the nearest plain sign, none is steered."""

import codecs
import sys
import unicodedata
from io import TextIOWrapper

PLAIN_SIGNS = "halfclick.plain"
_NEAREST = {
    "\N{NO-BREAK SPACE}": " ",
    "\N{MINUS SIGN}": "-",
    "\N{EN DASH}": "-",
    "\N{EM DASH}": "-",
    "\N{LEFT DOUBLE QUOTATION MARK}": '"',
    "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{MULTIPLICATION SIGN}": "x",
    "\N{PLUS-MINUS SIGN}": "+-",
    "\N{MICRO SIGN}": "u",
    "\N{DEGREE SIGN}": "",
}
# What turns the reading direction of all that follows on a line (Unicode annex 9, section 2).
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def plain_streams() -> None:
    """Let output in any encoding go through; line ends are the system's."""
    codecs.register_error(PLAIN_SIGNS, _nearest)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors=PLAIN_SIGNS)


def seen(text: str) -> str:
    """Return a text without what a terminal obeys instead of showing: a name is only a name."""
    return "".join(
        sign
        if sign in "\n\t" or (unicodedata.category(sign) != "Cc" and sign not in _TURNING)
        else "\N{REPLACEMENT CHARACTER}"
        for sign in text
    )


def _nearest(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    signs = error.object[error.start : error.end]
    return "".join(_NEAREST.get(sign, "?") for sign in signs), error.end
