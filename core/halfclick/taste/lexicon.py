"""The words people use of a cup as data: read, checked, and found again however they are bent."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from enum import StrEnum
from functools import lru_cache
from importlib import resources
from typing import Any, TypeVar

from halfclick.errors import BadInput
from halfclick.model.tasting import Complaint, Mark, StrengthFelt

E = TypeVar("E", bound=StrEnum)

# A word of fewer letters has too many neighbours to be taken for misspelt (our own choice).
SHORTEST_MISSPELT = 5
# The endings that make one word of another; "sharper" and "sharpness" are sharp.
ENDINGS = ("nesses", "ness", "iest", "ish", "ier", "est", "ly", "er", "ed", "s", "y")

MISSPELT_ENDINGS = ("ness", "ish")  # after a misspelt word: "bittrness"


class Target(StrEnum):
    """What a word can stand for: a mark, a complaint, a strength, the clock, or no fault."""

    SOUR = "sour"
    BITTER = "bitter"
    THIN = "thin"
    HARSH = "harsh"
    SWEET = "sweet"
    FLAT = "flat"
    MUDDY = "muddy"
    HOLLOW = "hollow"
    SALTY = "salty"
    PAPERY = "papery"
    GRASSY = "grassy"
    SMOKY = "smoky"
    NOT_SWEET = "not_sweet"
    WEAK = "weak"
    STRONG = "strong"
    SLOW = "slow"
    STALLED = "stalled"
    FAST = "fast"
    NO_FAULT = "no_fault"

    @property
    def mark(self) -> Mark | None:
        """The mark it is, if it is one."""
        return Mark(self.value) if self.value in set(Mark) else None

    @property
    def complaint(self) -> Complaint | None:
        """The complaint it is, if it is one."""
        return Complaint(self.value) if self.value in set(Complaint) else None

    @property
    def felt(self) -> StrengthFelt | None:
        """The felt strength it is, if it is one."""
        return StrengthFelt(self.value) if self.value in set(StrengthFelt) else None


class Question(StrEnum):
    """What is asked of a word that means two things."""

    SOUR_OR_BRIGHT = "sour_or_bright"
    BITTER_OR_DRY = "bitter_or_dry"
    WEAK_OR_UNDERDONE = "weak_or_underdone"
    SLOW_OR_STALLED = "slow_or_stalled"
    STRONG_OR_BITTER = "strong_or_bitter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What a group of words stands for; with `ask`, `answers` holds its two meanings."""

    means: tuple[Target, ...]
    source: str
    ask: Question | None = None
    answers: tuple[tuple[Target, ...], tuple[Target, ...]] = ((), ())


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lexicon:
    """All words by what they stand for, and those that say how much, or that it is not so."""

    terms: Mapping[str, Meaning]
    intensity: Mapping[str, float]
    negation: frozenset[str]
    passed_over: frozenset[str]
    undone_by: frozenset[str]
    other: frozenset[str]
    longest: int  # words in the longest phrase
    first_words: frozenset[str]  # of everything that may have several words
    shortened: Mapping[str, tuple[str, ...]]  # terms by what is left when a letter is taken out

    def answers(self, question: Question) -> tuple[tuple[Target, ...], tuple[Target, ...]]:
        """Return the two meanings that a question chooses between."""
        return next(one.answers for one in self.terms.values() if one.ask is question)

    @lru_cache(maxsize=4096)  # noqa: B019 - few lexicons, and they live as long as the program
    def term(self, word: str) -> str | None:
        """Return the term that a typed word is, bent or misspelt by a letter; None for others."""
        if word in self.terms:
            return word
        if word in self.other:
            return None
        for root in _roots(word):
            if root in self.terms:
                return root
        if len(word) < SHORTEST_MISSPELT:
            return None
        return next(
            (
                found
                for one in (word, *(word.removesuffix(end) for end in MISSPELT_ENDINGS))
                if one not in self.other and (found := self._nearest(one))
            ),
            None,
        )

    def _nearest(self, word: str) -> str | None:
        if not SHORTEST_MISSPELT <= len(word) <= 30:
            return None
        found = {
            term
            for short in (word, *_shortened(word))
            for term in self.shortened.get(short, ())
            if term[0] == word[0] and _one_letter_off(term, word)
        }
        # The nearest first; of two as near, always the same one.
        return max(
            sorted(found), key=lambda term: SequenceMatcher(None, term, word).ratio(), default=None
        )


def load_lexicon(language: str = "en") -> Lexicon:
    """Return the words that come with the program."""
    place = resources.files("halfclick_resources") / "lexicon" / f"{language}.toml"
    return read_lexicon(place.read_text("utf-8"))


def read_lexicon(text: str) -> Lexicon:
    """Return the words of a TOML text.

    Raises:
        BadInput: the text is no lexicon; the sentence names the group and the field.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput("lexicon.not_toml", detail=str(error)) from error
    groups = data.get("meaning")
    if not isinstance(groups, list) or not groups:
        raise BadInput("lexicon.no_words")
    terms: dict[str, Meaning] = {}
    for number, group in enumerate(groups, start=1):
        meaning = _meaning(group, number)
        for word in _words(group, number):
            if word in terms:
                raise BadInput("lexicon.twice", word=word)
            terms[word] = meaning
    intensity = data.get("intensity", {})
    negation = data.get("negation", {})
    phrases = (*terms, *intensity, *negation.get("words", ()))
    return Lexicon(
        terms=terms,
        intensity={word: float(value) for word, value in intensity.items()},
        negation=frozenset(negation.get("words", ())),
        passed_over=frozenset(negation.get("passed_over", ())),
        undone_by=frozenset(negation.get("undone_by", ())),
        other=frozenset(data.get("other", {}).get("words", ())),
        longest=max(len(word.split()) for word in phrases),
        first_words=frozenset(word.split()[0] for word in phrases),
        shortened=_by_shortened(terms),
    )


def _meaning(group: Any, number: int) -> Meaning:
    if not isinstance(group, dict) or not group.get("source"):
        raise BadInput("lexicon.no_source", number=number)
    if "ask" not in group:
        return Meaning(means=_targets(group, "means", number), source=group["source"])
    return Meaning(
        means=(),
        source=group["source"],
        ask=_one(group["ask"], Question, "ask", number),
        answers=(_targets(group, "first", number), _targets(group, "second", number)),
    )


def _targets(group: Mapping[str, Any], field: str, number: int) -> tuple[Target, ...]:
    given = group.get(field)
    if not isinstance(given, list) or not given:
        raise BadInput("lexicon.bad_value", number=number, field=field, given=str(given))
    return tuple(_one(one, Target, field, number) for one in given)


def _words(group: Mapping[str, Any], number: int) -> list[str]:
    words = group.get("words")
    if not isinstance(words, list) or not words or not all(isinstance(one, str) for one in words):
        raise BadInput("lexicon.bad_value", number=number, field="words", given=str(words))
    return words


def _one(given: object, kind: type[E], field: str, number: int) -> E:
    try:
        return kind(str(given))
    except ValueError:
        raise BadInput("lexicon.bad_value", number=number, field=field, given=str(given)) from None


def _roots(word: str) -> Iterator[str]:
    """Yield what a word may have been before its ending: "muddiness" was "muddy"."""
    for ending in ENDINGS:
        root = word.removesuffix(ending)
        if root == word or len(root) < 3:
            continue
        yield root
        if root.endswith("i") or ending in {"iest", "ier"}:
            yield root.removesuffix("i") + "y"
        if root[-1] == root[-2]:  # "flatter", "thinner"
            yield root[:-1]
        yield root + "e"


def _by_shortened(terms: Mapping[str, Meaning]) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for term, meaning in terms.items():
        # Praise is not guessed at: it changes nothing.
        praise = meaning.means == (Target.NO_FAULT,)
        if len(term) >= SHORTEST_MISSPELT and term.isalpha() and not praise:
            for short in {term, *_shortened(term)}:
                found.setdefault(short, []).append(term)
    return {short: tuple(words) for short, words in found.items()}


def _shortened(word: str) -> Iterator[str]:
    for place in range(len(word)):
        yield word[:place] + word[place + 1 :]


def _one_letter_off(term: str, word: str) -> bool:
    """Return whether one letter too many, too few, wrong, or two swapped tells them apart."""
    start = 0
    while start < min(len(term), len(word)) and term[start] == word[start]:
        start += 1
    a, b = term[start:], word[start:]
    if not a or not b:
        return len(a) + len(b) <= 1
    swapped = a[0] == b[1:2] and b[0] == a[1:2] and a[2:] == b[2:]
    return swapped or a[1:] == b[1:] or a[1:] == b or a == b[1:]
