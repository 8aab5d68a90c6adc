"""Understand a person's own words of a cup, and remember what a word means to them."""

from collections.abc import Callable, Mapping
from datetime import datetime
from functools import cache
from uuid import uuid4

from halfclick.model.preference import Preference
from halfclick.model.tasting import Tasting
from halfclick.service.done import Done, Touched
from halfclick.store.journal import Store
from halfclick.taste.lexicon import Lexicon, Target, load_lexicon
from halfclick.taste.word_choices import WordChoices, WordsRead, choices_of_kept, read_words

WORD = "word."


@cache
def lexicon() -> Lexicon:
    """Return the words that come with the program, read once."""
    return load_lexicon()


def understand(
    text: str, choices: WordChoices, remembered: Mapping[str, Target] | None = None
) -> WordsRead:
    """Return what a text says of a cup after the person's choices."""
    return read_words(text, lexicon(), choices, remembered)


def choices_kept(tasting: Tasting, remembered: Mapping[str, Target]) -> WordChoices:
    """Return the choices under which a kept taste stays as it was kept."""
    return choices_of_kept(tasting, lexicon(), remembered)


def remembered_words(store: Store) -> dict[str, Target]:
    """Return what this person said that words mean; the newest of a word holds."""
    with store.reading() as r:
        found: dict[str, Target] = {}
        for one in r.all(Preference):
            word = one.key.removeprefix(WORD)
            if word == one.key or one.value not in set(Target):
                continue  # another choice, or a meaning of a later release
            if r.stamp(Preference, one.id).person_id == store.person.id:
                found[word] = Target(one.value)
        return found


def remember_words(
    store: Store, meant: Mapping[str, Target], *, clock: Callable[[], datetime]
) -> Done[Mapping[str, Target]]:
    """Keep what words mean to this person; what is known already adds nothing."""
    known = remembered_words(store)
    new = {word: target for word, target in meant.items() if known.get(word) is not target}
    if not new:
        return Done({}, Touched.NOTHING)
    with store.writing(clock()) as w:
        for word, target in new.items():
            w.add(Preference(id=uuid4(), key=f"{WORD}{word}", value=target.value))
    return Done(new, Touched.SETTINGS)
