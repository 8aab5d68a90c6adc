"""Files that nobody should bring in: the ending, what is in it, and a word of what is said.

The large ones are made when they are asked for; each is tried by the command line and in the
window.
"""

import tracemalloc
from collections.abc import Callable, Iterator
from contextlib import contextmanager

MOST_HELD = 250_000_000  # bytes; five times the largest file that is read (our own bound)

_HEAD = b'{"format": "halfclick-journal", "version": 1, '

FILES: dict[str, tuple[str, Callable[[], bytes], str]] = {
    "a table of a million columns": ("csv", lambda: b",".join([b"x"] * 1_000_000), "longer than"),
    "a table of a million commas": ("csv", lambda: b"a,b\n" + b"," * 1_000_000, "longer than"),
    "a table of many columns": ("csv", lambda: b",".join([b"x"] * 900), "more than 200 columns"),
    "a table of over 50 MB": ("csv", lambda: b"a,b\n" * 12_500_001, "50 MB"),
    "a quote without an end": ("csv", lambda: b'coffee,date\n"' + b"a\n" * 400_000, "row"),
    "a table of no text": ("csv", lambda: bytes(range(256)) * 40, "CSV"),
    "a journal of over 50 MB": ("json", lambda: b" " * 50_000_001, "50 MB"),
    "50 MB of brackets": ("json", lambda: b"[" * 50_000_000, "deep"),
    "50 MB of braces": ("json", lambda: b'{"a":' * 10_000_000, "more than 1500000 things"),
    "50 MB of one text": ("json", lambda: b'{"a": "' + b"x" * 49_999_980 + b'"}', "journal"),
    "50 MB of empty records": (
        "json",
        lambda: _HEAD + b'"coffees": [' + b"{}," * 16_000_000 + b"{}]}",
        "more than 1500000 things",
    ),
    "a journal nested deep": ("json", lambda: b'{"a":' * 200_000, "deep"),
    "lists of another type": ("json", lambda: _HEAD + b'"coffees": "many"}', "lists"),
    "a record that is a number": ("json", lambda: _HEAD + b'"coffees": [7]}', "coffees"),
    "a record of nothing": ("json", lambda: _HEAD + b'"coffees": [null]}', "coffees"),
    "not a number": ("json", lambda: _HEAD + b'"coffees": NaN}', "byte 57"),
    "an endless number": ("json", lambda: _HEAD + b'"coffees": 1e999}', "lists"),
    "a version of words": (
        "json",
        lambda: b'{"format": "halfclick-journal", "version": "x"}',
        "not a journal",
    ),
    "a version to come": (
        "json",
        lambda: b'{"format": "halfclick-journal", "version": 999}',
        "newer Halfclick",
    ),
}


@contextmanager
def bounded_memory() -> Iterator[None]:
    """Hold what runs inside to the bound."""
    tracemalloc.start()
    try:
        yield
        held = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert held < MOST_HELD, f"{held / 1e6:.0f} MB"
