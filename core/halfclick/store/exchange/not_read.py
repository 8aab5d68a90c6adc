"""What a reader of JSON found wrong, in our own words and never in the library's."""

import re

import msgspec

from halfclick.errors import BadInput
from halfclick.wording import Message

# The library tells what it found by text alone; what a later release words otherwise is told
# without its place.
_BYTE = re.compile(r"\(byte (\d+)\)")
_PLACE = re.compile(r"at `\$\.?([\w.\[\]]+)`")
_MISSING = re.compile(r"required field `(\w+)`")
_UNKNOWN = re.compile(r"unknown field `([^`]{1,60})`")
_CUT_SHORT = "truncated"


def not_json(error: msgspec.MsgspecError) -> BadInput:
    """Return what is said of a text that is no JSON, by the byte where it stops being it."""
    text = str(error)
    if found := _BYTE.search(text):
        return BadInput("journal_file.not_json_at", at_byte=found[1])
    return BadInput("journal_file.cut_short" if _CUT_SHORT in text else "journal_file.not_json")


def why_not(error: Exception, within: str = "") -> Message:
    """Return why a value is not what a journal holds there, by its name where that is told.

    Args:
        error: what the library said.
        within: the name of the list that was read by itself, if one was.
    """
    text = str(error)
    for code, pattern in (("missing", _MISSING), ("unknown", _UNKNOWN), ("value", _PLACE)):
        if found := pattern.search(text):
            place = within if code == "value" else ""
            return Message(f"journal_file.why_{code}", {"name": place + found[1]})
    if within:
        return Message("journal_file.why_value", {"name": within})
    return Message("journal_file.why_not")
