"""Text that any terminal takes: other encodings get the nearest plain sign, none is steered."""

import codecs
import sys
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
# What terminals obey: the control characters, whose category Unicode never changes.
_OBEYED = frozenset(map(chr, (*range(0x20), *range(0x7F, 0xA0)))) - {"\n", "\t"}
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
        "\N{REPLACEMENT CHARACTER}" if sign in _OBEYED or sign in _TURNING else sign
        for sign in text
    )


def _nearest(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    signs = error.object[error.start : error.end]
    return "".join(_NEAREST.get(sign, "?") for sign in signs), error.end
