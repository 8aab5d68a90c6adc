"""Message codes and values to sentences, from the catalogues in resources."""

import gettext
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from pathlib import Path

import halfclick_resources
from halfclick.errors import CoreError
from halfclick.units import Units

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
    """Words a message in one language, and prints values in the units a person reads.

    `units` may be set at any time; what was printed before keeps the units of then.
    """

    def __init__(self, catalogue: gettext.NullTranslations, units: Units | None = None) -> None:
        self._catalogue = catalogue
        self.units = units or Units()

    def __call__(self, code: str, **values: object) -> str:
        """Return the sentence of a message code; raise KeyError where no catalogue has it."""
        count = values.get("count")
        pattern = self._catalogue.ngettext(code, code, count) if isinstance(count, int) else code
        if pattern == code:  # no count, or a sentence that is the same for one and for many
            pattern = self._catalogue.gettext(code)
        if pattern == code:
            raise KeyError(code)
        said = {name: self._said(name, value) for name, value in values.items()}
        return pattern.format_map(_Placeholders(said, self.units))

    def quantity(self, name: str, value: object) -> str:
        """Print a value by the unit suffix of its name, in the units a person reads."""
        return quantity(name, value, self.units)

    def day(self, value: date) -> str:
        """Print a day, e.g. "25 Nov 2026"."""
        month = self(f"date.month_{value.month}")
        return self("date.day", day=str(value.day), month=month, year=str(value.year))

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
        if isinstance(value, date):
            return self.day(value)
        return quantity(name, value, self.units)


class _Placeholders(dict[str, str]):
    """What stands for the placeholders of a sentence.

    A sentence may name a value itself: `{500_g}` is 500 g in the units a person reads.
    """

    def __init__(self, said: Mapping[str, str], units: Units) -> None:
        super().__init__(said)
        self._units = units

    def __missing__(self, name: str) -> str:
        value, _, suffix = name.partition("_")
        try:
            return quantity(suffix, float(value), self._units)
        except ValueError:
            raise KeyError(name) from None


CATALOGUES = Path(halfclick_resources.__path__[0]) / "catalogues"
FILE_NAME = "halfclick.mo"
ENGLISH = "en"


def open_wording(language: str = ENGLISH) -> Wording:
    """Return the wording of a language whose catalogue lies in resources."""
    with (CATALOGUES / language / FILE_NAME).open("rb") as stream:
        return Wording(gettext.GNUTranslations(stream))


def languages() -> tuple[tuple[str, str], ...]:
    """Return the languages whose catalogues lie in resources: each code and its own name."""
    codes = sorted(place.parent.name for place in CATALOGUES.glob(f"*/{FILE_NAME}"))
    return tuple((code, open_wording(code)("language.name")) for code in codes)


def quantity(name: str, value: object, units: Units) -> str:
    """Print a value by the unit suffix of its name, e.g. `water_g` 240.0 as "240 g"."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return str(value)
    chosen = _suffix_of(name, _CHOSEN)
    unit = units.of(chosen) if chosen else None
    if unit is not None:
        return f"{number(unit.shown(value), unit.decimals)}{NO_BREAK}{unit.sign}"
    printed = _suffix_of(name, tuple(_PRINTERS))
    return _PRINTERS[printed](value) if printed else number(value)


@lru_cache(1024)
def _suffix_of(name: str, suffixes: tuple[str, ...]) -> str:
    """Return the first of some suffixes that a value's name ends in; empty where there is none."""
    return next((one for one in suffixes if name == one or name.endswith("_" + one)), "")


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


# Those a person has a choice of; the longest suffix first: a pour's rate ends in "_s" too.
_CHOSEN = ("size_c", "g_s", "g", "c")
_PRINTERS: dict[str, Callable[[float], str]] = {
    "time_s": clock,
    "s": _duration,
    "um": _with_unit("µm", 0),
    "m": _with_unit("m", 0),
    "share": _with_unit("%", 0, 100.0),
    "mg_l": _with_unit("mg/L"),
    "us_cm": _with_unit("µS/cm", 0),
    "ml": _with_unit("mL"),
    "fine": _with_unit("g", 2),
    "strength": _with_unit("%", 2, 100.0),
    "ratio": lambda value: f"1:{number(value)}",
}
