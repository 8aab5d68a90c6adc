"""How a grinder's dial is written, and how its text becomes steps and back.

Readings are whole numbers of the dial's smallest step, counted from the dial's own 0.
"""

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from halfclick.errors import BadInput

# More steps than any dial has, our own default: a slip of the finger, not a setting.
MOST_STEPS = 99_999
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


class Scheme(StrEnum):
    """The ways of writing a setting that grinders use."""

    PLAIN = "plain"  # "18", "7.5"
    CLICKS = "clicks"  # clicks from zero: "22"
    ROTATIONS = "rotations"  # rotations.clicks or rotations.numbers.ticks: "2.3", "2.3.1"
    LETTERED = "lettered"  # number-letter: "8-E"
    STEPLESS = "stepless"  # a mark, read to a part of it: "5 1/4"


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbering:
    """A dial as written on it.

    Args:
        scheme: how it is written.
        step: PLAIN only: the smallest step as a fraction of a number, e.g. "1", "1/2".
        bases: ROTATIONS only: numbers in a rotation, then ticks in a number if it has them.
        letters: LETTERED only: how many letters a number has.
        parts: STEPLESS only: parts of a mark that a person can tell apart (2 or 4).
        highest: the last reading the dial reaches, as written; empty where not known.
    """

    scheme: Scheme
    step: str = "1"
    bases: tuple[int, ...] = ()
    letters: int = 0
    parts: int = 4
    highest: str = ""

    def __post_init__(self) -> None:
        _check_step(self.step)
        if self.scheme is Scheme.ROTATIONS and not (
            len(self.bases) in (1, 2) and all(2 <= base <= 400 for base in self.bases)
        ):
            raise BadInput("numbering.bad_base")
        if self.scheme is Scheme.LETTERED and not 2 <= self.letters <= len(LETTERS):
            raise BadInput("numbering.bad_letters")
        if self.scheme is Scheme.STEPLESS and not 1 <= self.parts <= 20:
            raise BadInput("numbering.bad_parts")
        if self.highest:
            _parse(self, self.highest)

    @property
    def highest_reading(self) -> int | None:
        """The reading at the dial's end, in smallest steps; None where not known."""
        return _parse(self, self.highest) if self.highest else None


def parse_reading(numbering: Numbering, text: str) -> int:
    """Return the reading, in smallest steps from the dial's 0, that a text names.

    Raises:
        BadInput: the text is not written as this dial writes, or the dial cannot be set there.
    """
    reading = _parse(numbering, text)
    if reading > MOST_STEPS:
        raise _not_written_so(numbering, text)
    if numbering.highest_reading is not None and reading > numbering.highest_reading:
        raise BadInput("setting.past_the_end", text=text.strip(), highest=numbering.highest)
    return reading


def print_reading(numbering: Numbering, reading: int) -> str:
    """Return the text of a reading, as the dial writes it.

    Raises:
        BadInput: the dial has no such reading.
    """
    if reading < 0:
        raise BadInput("setting.below_the_dial")
    text = _PRINTERS[numbering.scheme](numbering, reading)
    if numbering.highest_reading is not None and reading > numbering.highest_reading:
        raise BadInput("setting.past_the_end", text=text, highest=numbering.highest)
    return text


def example_of(numbering: Numbering) -> str:
    """Return a text written as this dial writes, to show in a refusal."""
    reading = {Scheme.ROTATIONS: 15, Scheme.LETTERED: 12, Scheme.STEPLESS: 21}.get(
        numbering.scheme, 18
    )
    return _PRINTERS[numbering.scheme](numbering, reading)


def _parse(numbering: Numbering, text: str) -> int:
    cleaned = text.strip().replace(",", ".")
    if not cleaned or len(cleaned) > 20 or not cleaned.isascii():
        raise _not_written_so(numbering, text)
    return _PARSERS[numbering.scheme](numbering, cleaned)


def _not_written_so(numbering: Numbering, text: str) -> BadInput:
    return BadInput(
        "setting.not_written_so",
        text=text.strip()[:20],
        example=example_of(numbering),
    )


def _check_step(step: str) -> None:
    try:
        value = Fraction(step)
    except (ValueError, ZeroDivisionError):
        raise BadInput("numbering.bad_step", text=step) from None
    if not 0 < value <= 10 or 1000 % value.denominator != 0:
        raise BadInput("numbering.bad_step", text=step)


def _parse_plain(numbering: Numbering, text: str) -> int:
    if not re.fullmatch(r"\d+(\.\d+)?", text):
        raise _not_written_so(numbering, text)
    steps = Fraction(text) / Fraction(numbering.step)
    if steps.denominator != 1:
        raise BadInput("setting.between_steps", text=text, step=numbering.step)
    return int(steps)


def _print_plain(numbering: Numbering, reading: int) -> str:
    value = Fraction(numbering.step) * reading
    if value.denominator == 1:
        return str(int(value))
    # `_check_step` admits only steps that end as decimals, so nothing is lost here.
    return f"{float(value):.4f}".rstrip("0")


def _parse_clicks(numbering: Numbering, text: str) -> int:
    if not re.fullmatch(r"\d+", text):
        raise _not_written_so(numbering, text)
    return int(text)


def _print_clicks(numbering: Numbering, reading: int) -> str:
    return str(reading)


def _parse_rotations(numbering: Numbering, text: str) -> int:
    places = text.split(".")
    if len(places) != len(numbering.bases) + 1 or not all(re.fullmatch(r"\d+", p) for p in places):
        raise _not_written_so(numbering, text)
    reading = int(places[0])
    for place, base in zip(places[1:], numbering.bases, strict=True):
        if int(place) >= base:
            raise BadInput("setting.past_the_base", text=text, place=place, base=base)
        reading = reading * base + int(place)
    return reading


def _print_rotations(numbering: Numbering, reading: int) -> str:
    places: list[str] = []
    for base in reversed(numbering.bases):
        reading, place = divmod(reading, base)
        places.append(str(place))
    return ".".join([str(reading), *reversed(places)])


def _parse_lettered(numbering: Numbering, text: str) -> int:
    match = re.fullmatch(r"(\d+)[- ]?([A-Za-z])", text)
    if match is None:
        raise _not_written_so(numbering, text)
    letter = LETTERS.index(match[2].upper())
    if letter >= numbering.letters:
        last = LETTERS[numbering.letters - 1]
        raise BadInput("setting.past_the_letter", text=text, last=last)
    return int(match[1]) * numbering.letters + letter


def _print_lettered(numbering: Numbering, reading: int) -> str:
    number, letter = divmod(reading, numbering.letters)
    return f"{number}-{LETTERS[letter]}"


def _parse_stepless(numbering: Numbering, text: str) -> int:
    match = re.fullmatch(r"(\d+)(?: (\d+)/(\d+))?|(\d+\.\d+)", text)
    if match is None:
        raise _not_written_so(numbering, text)
    if match[4] is not None:
        value = Fraction(match[4])
    else:
        if match[3] is not None and int(match[3]) == 0:
            raise _not_written_so(numbering, text)
        part = Fraction(int(match[2]), int(match[3])) if match[2] else Fraction(0)
        value = int(match[1]) + part
    steps = value * numbering.parts
    if steps.denominator != 1:
        raise BadInput("setting.between_parts", text=text, parts=numbering.parts)
    return int(steps)


def _print_stepless(numbering: Numbering, reading: int) -> str:
    mark, part = divmod(reading, numbering.parts)
    if part == 0:
        return str(mark)
    fraction = Fraction(part, numbering.parts)
    return f"{mark} {fraction.numerator}/{fraction.denominator}"


_PARSERS = {
    Scheme.PLAIN: _parse_plain,
    Scheme.CLICKS: _parse_clicks,
    Scheme.ROTATIONS: _parse_rotations,
    Scheme.LETTERED: _parse_lettered,
    Scheme.STEPLESS: _parse_stepless,
}
_PRINTERS = {
    Scheme.PLAIN: _print_plain,
    Scheme.CLICKS: _print_clicks,
    Scheme.ROTATIONS: _print_rotations,
    Scheme.LETTERED: _print_lettered,
    Scheme.STEPLESS: _print_stepless,
}
