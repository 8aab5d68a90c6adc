"""What a person made of the words understood: turned off, taken otherwise, a question answered."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from halfclick.model.tasting import Complaint, Mark, StrengthFelt, Tasting
from halfclick.taste.lexicon import Lexicon, Question, Target
from halfclick.taste.words import Match, match_words

# A line that says more is cut, so that all that counts is shown (our own choice).
MOST_ROWS = 12
CLOCK = frozenset({Target.SLOW, Target.STALLED, Target.FAST})


@dataclass(frozen=True, slots=True, kw_only=True)
class WordChoices:
    """A person's choices on the words of one cup; `moved` is what is remembered."""

    off: frozenset[str] = frozenset()
    moved: Mapping[str, Target] = field(default_factory=dict)
    answers: Mapping[Question, int] = field(default_factory=dict)

    def turned(self, word: str) -> "WordChoices":
        """Return the choices with a word turned off, or on again."""
        return replace(self, off=self.off ^ {word})

    def moved_to(self, word: str, target: Target) -> "WordChoices":
        """Return the choices with a word standing for something else, and on."""
        return replace(self, off=self.off - {word}, moved={**self.moved, word: target})

    def answered(self, question: Question, answer: int) -> "WordChoices":
        """Return the choices with a question answered; the same answer again takes it back."""
        answers = dict(self.answers)
        if answers.pop(question, None) != answer:
            answers[question] = answer
        return replace(self, answers=answers)


@dataclass(frozen=True, slots=True, kw_only=True)
class WordRow:
    """One word, or all words that ask the same question, with what it stands for now."""

    match: Match
    targets: tuple[Target, ...]
    on: bool
    answer: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WordsRead:
    """Every word understood, and what those that are on suggest together."""

    rows: tuple[WordRow, ...]
    marks: Mapping[Mark, float]
    complaints: frozenset[Complaint]
    felt: StrengthFelt | None
    clock: frozenset[Target]


def read_words(
    text: str,
    lexicon: Lexicon,
    choices: WordChoices,
    remembered: Mapping[str, Target] | None = None,
) -> WordsRead:
    """Return what a text says of a cup after the person's choices, the questions last.

    Args:
        text: the person's own words.
        lexicon: the words known.
        choices: what the person made of the words of this cup.
        remembered: what words mean to this person, from earlier cups.
    """
    own = {**(remembered or {}), **choices.moved}
    rows: list[WordRow] = []
    asked: set[Question] = set()
    for match in match_words(text, lexicon, own):
        if match.question in asked:
            continue
        if match.question is not None:
            asked.add(match.question)
        rows.append(_row(match, lexicon, choices))
    rows = sorted(rows, key=lambda row: row.match.question is not None)[:MOST_ROWS]
    said = [(target, row.match.intensity) for row in rows if row.on for target in row.targets]
    marks: dict[Mark, float] = {}
    for target, intensity in said:
        if target.mark is not None:
            marks[target.mark] = max(intensity, marks.get(target.mark, 0.0))
    felt = {target.felt for target, _ in said} - {None}
    return WordsRead(
        rows=tuple(rows),
        marks=marks,
        complaints=frozenset(one.complaint for one, _ in said if one.complaint is not None),
        felt=felt.pop() if len(felt) == 1 else None,  # both weak and strong says neither
        clock=frozenset(one for one, _ in said if one in CLOCK),
    )


def choices_of_kept(
    tasting: Tasting, lexicon: Lexicon, remembered: Mapping[str, Target] | None = None
) -> WordChoices:
    """Return the choices that leave a kept taste as it is: words that added nothing stay off."""
    rows = read_words(tasting.words, lexicon, WordChoices(), remembered).rows
    return WordChoices(
        off=frozenset(
            row.match.word
            for row in rows
            if row.match.question or not all(_kept(one, tasting) for one in row.targets)
        )
    )


def _kept(target: Target, tasting: Tasting) -> bool:
    if target.mark is not None:
        return tasting.marks.of(target.mark) is not None
    if target.complaint is not None:
        return target.complaint in tasting.complaints
    return target.felt is None or target.felt is tasting.strength_felt


def _row(match: Match, lexicon: Lexicon, choices: WordChoices) -> WordRow:
    on = match.word not in choices.off
    if match.question is None:
        return WordRow(match=match, targets=match.targets, on=on)
    answer = choices.answers.get(match.question)
    targets = () if answer is None else lexicon.answers(match.question)[answer]
    return WordRow(match=match, targets=targets, on=on, answer=answer)
