"""A language for tests, made from the English catalogue: longer, and strange in every letter.

What a page shows and no catalogue holds stays plain in it, and what has no room to grow is cut.
"""

import gettext
import math
import re

from halfclick.wording import CATALOGUES, ENGLISH, FILE_NAME, Wording

# How much longer a sentence is apt to become in another language; common practice, no source.
GROWTH = 0.4
# Placeholders, options and names of variables stay as they are.
_KEPT = re.compile(r"(\{[^}]*\}|--[a-z]+|[A-Z]+_[A-Z]+)")
_STRANGE = str.maketrans(
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "áƀćďéƒğĥíĵķĺḿńóþɋŕśťúṽŵẋýžÁƁĆĎÉƑĞĤÍĴĶĹḾŃÓÞɊŔŚŤÚṼŴẊÝŽ",
)
_FILLER = "éá"


class _Pseudo(gettext.GNUTranslations):
    """The English catalogue, every sentence longer and strange."""

    def gettext(self, message: str) -> str:
        said = super().gettext(message)
        return said if said == message else strange(said)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        said = super().ngettext(msgid1, msgid2, n)
        return said if said in {msgid1, msgid2} else strange(said)


def pseudo_wording() -> Wording:
    """Return the wording of the language for tests."""
    with (CATALOGUES / ENGLISH / FILE_NAME).open("rb") as stream:
        return Wording(_Pseudo(stream))


def strange(said: str) -> str:
    """Return a sentence with every letter strange and its words longer; placeholders stay."""
    parts = _KEPT.split(said)
    return "".join(part if number % 2 else _longer(part) for number, part in enumerate(parts))


def _longer(part: str) -> str:
    return re.sub(r"[A-Za-z]+", _longer_word, part)


def _longer_word(found: re.Match[str]) -> str:
    word = found[0]
    more = math.floor(len(word) * GROWTH + 0.5)
    return word.translate(_STRANGE) + (_FILLER * more)[:more]
