"""From a person's own words of a cup to the marks, complaints and clock words they stand for."""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace

from halfclick.model.tasting import CLEARLY_THERE
from halfclick.taste.lexicon import Lexicon, Meaning, Question, Target

# A word that says "not very" leaves a little (our own reading).
NOT_VERY = 2.0
# A line of words is read so far and no further, so that a pasted page does not hold up the keys.
MOST_WORDS = 300
_TOKEN = re.compile(r"[^\W\d_]+(?:['-][^\W\d_]+)*|[,;:.!?()/\n]|\S")
_BREAKS = frozenset(",;:.!?()/\n")


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """A word that was understood.

    `word` is the lexicon's own word, under which a correction is remembered; `said` is as typed.
    `targets` is empty where `question` must be answered first.
    """

    word: str
    said: str
    targets: tuple[Target, ...]
    intensity: float
    question: Question | None = None


def match_words(
    text: str, lexicon: Lexicon, own: Mapping[str, Target] | None = None
) -> tuple[Match, ...]:
    """Return what is understood of a text, in its order, each word once.

    Args:
        text: a person's own words.
        lexicon: the words known.
        own: what this person said a word means; it stands before the lexicon.
    """
    found: dict[str, Match] = {}
    for match in _Reader(tokens_of(text), lexicon, own or {}).read():
        before = found.get(match.word)
        if before is None or before.intensity < match.intensity:
            found[match.word] = replace(match, said=before.said if before else match.said)
    return tuple(found.values())


def tokens_of(text: str) -> list[str]:
    """Return a text's words in small letters, and its stops, up to the most that are read."""
    head = unicodedata.normalize("NFKC", text[: MOST_WORDS * 12])
    plain = head.replace("\N{RIGHT SINGLE QUOTATION MARK}", "'").lower()
    return _TOKEN.findall(plain)[:MOST_WORDS]


class _Reader:
    """Goes over the words once, minding what was denied and how much was said before a word."""

    def __init__(self, tokens: list[str], lexicon: Lexicon, own: Mapping[str, Target]) -> None:
        self._tokens = tokens
        self._lexicon = lexicon
        self._own = own
        self._at = 0
        self._denied = False
        self._denied_before = False
        self._much: float | None = None
        self._found: list[Match] = []

    def read(self) -> list[Match]:
        """Return every match in order."""
        while self._at < len(self._tokens):
            if not (self._how_much() or self._term() or self._denial()):
                self._pass_over(self._tokens[self._at])
                self._at += 1
        return self._found

    def _phrase(self, count: int, at: int | None = None) -> str:
        start = self._at if at is None else at
        return " ".join(self._tokens[start : start + count])

    def _how_much(self) -> bool:
        """Take a word of quantity, where a word that it can belong to follows."""
        if self._tokens[self._at] not in self._lexicon.first_words:
            return False
        for count in range(self._lexicon.longest, 0, -1):
            phrase = self._phrase(count)
            if phrase not in self._lexicon.intensity or len(phrase.split()) != count:
                continue
            after = self._at + count
            longer = self._longest_term(self._at)
            if longer is not None and longer[1] > count:
                return False
            if longer is not None and not self._is_mark(after):
                return False
            self._much = self._lexicon.intensity[phrase]
            self._at = after
            return True
        return False

    def _is_mark(self, at: int) -> bool:
        found = self._longest_term(at)
        if found is None:
            return False
        return any(one.mark for one in self._meaning(found[0]).means)

    def _term(self) -> bool:
        found = self._longest_term(self._at)
        if found is None:
            return False
        word, count = found
        said = self._phrase(count)
        self._at += count
        intensity = self._much if self._much is not None else self._much_after()
        match = self._matched(word, said, intensity)
        if match is not None:
            self._found.append(match)
        self._denied_before, self._denied, self._much = self._denied, False, None
        return True

    def _matched(self, word: str, said: str, much: float | None) -> Match | None:
        """Return a match; None where the word was denied and its absence says nothing."""
        intensity = CLEARLY_THERE if much is None else much
        meaning = self._meaning(word)
        if not self._denied:
            return Match(
                word=word,
                said=said,
                targets=meaning.means,
                intensity=intensity,
                question=meaning.ask,
            )
        targets = meaning.means
        left = NOT_VERY if much is not None and much >= CLEARLY_THERE else 0.0
        if f"not {word}" in self._own:
            targets, left = (self._own[f"not {word}"],), CLEARLY_THERE
        elif Target.SWEET in targets:
            targets, left = (Target.NOT_SWEET,), CLEARLY_THERE
        elif not any(one.mark for one in targets):
            return None
        return Match(word=f"not {word}", said=f"not {said}", targets=targets, intensity=left)

    def _much_after(self) -> float | None:
        """Take a quantity said after its word: "sour a bit"; it ends what it belongs to."""
        for count in range(self._lexicon.longest, 0, -1):
            phrase = self._phrase(count)
            after = self._at + count
            ends = after >= len(self._tokens) or self._tokens[after] in _BREAKS
            if ends and phrase in self._lexicon.intensity and phrase not in self._lexicon.terms:
                self._at = after
                return self._lexicon.intensity[phrase]
        return None

    def _longest_term(self, at: int) -> tuple[str, int] | None:
        if at >= len(self._tokens):
            return None
        token = self._tokens[at]
        most = self._lexicon.longest if token in self._lexicon.first_words else 1
        for count in range(min(most, len(self._tokens) - at), 1, -1):
            phrase = self._phrase(count, at)
            if phrase in self._lexicon.terms:
                return phrase, count
        if token in self._lexicon.negation or token in self._lexicon.passed_over:
            return None
        word = self._lexicon.term(token)
        return None if word is None else (word, 1)

    def _meaning(self, word: str) -> Meaning:
        if word in self._own:
            return Meaning(means=(self._own[word],), source="")
        return self._lexicon.terms[word]

    def _denial(self) -> bool:
        for count in (2, 1):
            phrase = self._phrase(count)
            if phrase in self._lexicon.negation and len(phrase.split()) == count:
                self._at += count
                self._denied = self._phrase(1) not in self._lexicon.undone_by
                return True
        return False

    def _pass_over(self, token: str) -> None:
        if token in {"or", "nor"}:
            self._denied = self._denied or self._denied_before
        elif token not in self._lexicon.passed_over or token in _BREAKS:
            self._denied, self._much = False, None
            self._denied_before = False
