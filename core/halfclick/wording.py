"""Message codes and values to sentences, from the catalogues in resources."""

import gettext
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import halfclick_resources
from halfclick.errors import CoreError

NO_BREAK = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"


@dataclass(frozen=True, slots=True)
class Message:
    """A sentence before it is worded: a catalogue code and the values it needs.

    The unit suffix of a value's name (`_g`, `_c`, `_s`, ...) says how it is printed, and
    the value called `count` chooses the plural.
    """

    code: str
    values: Mapping[str, object] = field(default_factory=dict)


def own_words(text: str) -> tuple[Message, ...]:
    """Return a person's own words as a reason; nothing where they said nothing."""
    return (Message("reason.own", {"text": text.strip()}),) if text.strip() else ()


class Wording:
    """Words a message in one language."""

    def __init__(self, catalogue: gettext.NullTranslations) -> None:
        self._catalogue = catalogue

    def __call__(self, code: str, **values: object) -> str:
        """Return the sentence of a message code; raise KeyError where no catalogue has it."""
        count = values.get("count")
        pattern = self._catalogue.ngettext(code, code, count) if isinstance(count, int) else code
        if pattern == code:  # no count, or a sentence that is the same for one and for many
            pattern = self._catalogue.gettext(code)
        if pattern == code:
            raise KeyError(code)
        return pattern.format(**{name: self._said(name, value) for name, value in values.items()})

    def sentence(self, message: Message | CoreError) -> str:
        """Return the sentence of a message or of an error that a person can mend."""
        return self(message.code, **message.values)

    def sentences(self, messages: tuple[Message, ...]) -> str:
        """Return several messages as one paragraph."""
        return " ".join(self.sentence(message) for message in messages)

    def _said(self, name: str, value: object) -> str:
        """Return a value in words; a message, or several, inside a message are worded too."""
        if isinstance(value, Message):
            return self.sentence(value)
        if isinstance(value, list | tuple):
            return ", ".join(self._said(name, one) for one in value)
        if isinstance(value, Mapping):
            # A message that has been through the journal.
            return self(str(value["code"]), **value.get("values", {}))
        return quantity(name, value)


def open_wording(language: str = "en") -> Wording:
    """Return the wording of a language whose catalogue lies in resources."""
    place = Path(halfclick_resources.__path__[0]) / "catalogues" / language / "halfclick.mo"
    with place.open("rb") as stream:
        return Wording(gettext.GNUTranslations(stream))


def quantity(name: str, value: object) -> str:
    """Print a value by the unit suffix of its name, e.g. `water_g` 240.0 as "240 g"."""
    if isinstance(value, date):
        return f"{value.day} {value:%b %Y}"
    if isinstance(value, bool) or not isinstance(value, int | float):
        return str(value)
    for suffix, printed in _PRINTERS.items():
        if name == suffix or name.endswith("_" + suffix):
            return printed(value)
    return number(value)


def number(value: float, decimals: int = 1) -> str:
    """Print a number with at most so many decimals, no trailing zeros and a true minus sign."""
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text.replace("-", MINUS)


def clock(seconds: float) -> str:
    """Print seconds as minutes and seconds, e.g. 128.4 as "2:08"."""
    sign = MINUS if round(seconds) < 0 else ""
    minutes, rest = divmod(abs(round(seconds)), 60)
    return f"{sign}{minutes}:{rest:02d}"


def _duration(seconds: float) -> str:
    return f"{number(seconds, 0)}{NO_BREAK}s"


def _with_unit(unit: str, decimals: int = 1, scale: float = 1.0) -> Callable[[float], str]:
    def printed(value: float) -> str:
        return f"{number(value * scale, decimals)}{NO_BREAK}{unit}"

    return printed


# The longest suffix first: a pour's rate ends in "_s" too.
_PRINTERS: dict[str, Callable[[float], str]] = {
    "g_s": _with_unit("g/s"),
    "time_s": clock,
    "g": _with_unit("g"),
    "c": _with_unit("°C"),
    "s": _duration,
    "um": _with_unit("µm", 0),
    "m": _with_unit("m", 0),
    "share": _with_unit("%", 0, 100.0),
    "strength": _with_unit("%", 2, 100.0),
    "ratio": lambda value: f"1:{number(value)}",
}
