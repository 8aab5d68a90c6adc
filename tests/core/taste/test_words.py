"""What people say of a cup, and what is understood of it."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfclick.errors import BadInput
from halfclick.model.tasting import Complaint, Mark, StrengthFelt
from halfclick.taste.lexicon import Question, Target, load_lexicon, read_lexicon
from halfclick.taste.word_choices import WordChoices, read_words
from halfclick.taste.words import match_words

LEXICON = load_lexicon()
NO_CHOICES = WordChoices()


def understood(text: str, **own: Target) -> list[tuple[str, float]]:
    """Return what a text was taken for: targets with their intensity, and questions with "?"."""
    found = []
    for match in match_words(text, LEXICON, own):
        if match.question:
            found.append((f"{match.question.value}?", match.intensity))
        found += [(target.value, match.intensity) for target in match.targets]
    return found


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # Marks, plain and bent.
        ("sour", [("sour", 5)]),
        ("Sharp", [("sour", 5)]),
        ("sourness", [("sour", 5)]),
        ("sourish", [("sour", 5)]),
        ("sharper than yesterday", [("sour", 5)]),
        ("like vinegar", [("sour", 5)]),
        ("unripe", [("sour", 5)]),
        ("bitter", [("bitter", 5)]),
        ("bitterness at the end", [("bitter", 5)]),
        ("thin", [("thin", 5)]),
        ("thinner", [("thin", 5)]),
        ("watery", [("thin", 5)]),
        ("no body", [("thin", 5)]),
        ("goes away fast", [("thin", 5)]),
        ("short finish", [("thin", 5)]),
        ("dry", [("harsh", 5)]),
        ("dries the mouth", [("harsh", 5)]),
        ("astringent", [("harsh", 5)]),
        ("harsh", [("harsh", 5)]),
        ("chalky", [("harsh", 5)]),
        ("sweet", [("sweet", 5)]),
        ("caramel", [("sweet", 5)]),
        # Complaints.
        ("flat", [("flat", 5)]),
        ("dull and lifeless", [("flat", 5), ("flat", 5)]),
        ("stale", [("flat", 5)]),
        ("muddy", [("muddy", 5)]),
        ("muddiness", [("muddy", 5)]),
        ("not clean", [("muddy", 5)]),
        ("hollow", [("hollow", 5)]),
        ("no middle", [("hollow", 5)]),
        ("salty", [("salty", 5)]),
        ("saltiness", [("salty", 5)]),
        ("papery", [("papery", 5)]),
        ("cardboard", [("papery", 5)]),
        ("tastes like paper", [("papery", 5)]),
        ("grassy", [("grassy", 5)]),
        ("hay", [("grassy", 5)]),
        ("smoky", [("smoky", 5)]),
        ("ashy and burnt", [("smoky", 5), ("smoky", 5)]),
        ("not sweet", [("not_sweet", 5)]),
        ("lacks sweetness", [("not_sweet", 5)]),
        ("not at all sweet", [("not_sweet", 5)]),
        # The clock, and strength without doubt.
        ("drained fast", [("fast", 5)]),
        ("slow drawdown", [("slow", 5)]),
        ("it stalled", [("stalled", 5)]),
        ("too much water", [("weak", 5)]),
        ("needs more water", [("strong", 5)]),
        # Denied.
        ("not sour", [("sour", 0)]),
        ("no bitterness", [("bitter", 0)]),
        ("isn’t sour", [("sour", 0)]),
        ("sour, not bitter", [("sour", 5), ("bitter", 0)]),
        ("not sour or bitter", [("sour", 0), ("bitter", 0)]),
        ("neither sour nor bitter", [("sour", 0), ("bitter", 0)]),
        ("not only sour", [("sour", 5)]),
        ("not very sour", [("sour", 2)]),
        ("I don't find it sour", [("sour", 0)]),
        ("not papery", []),
        ("not great. sour", [("sour", 5)]),
        # How much.
        ("a bit sour", [("sour", 3)]),
        ("sour a bit", [("sour", 3)]),
        ("very bitter", [("bitter", 8)]),
        ("way too bitter", [("bitter", 9)]),
        ("quite thin, slightly dry", [("thin", 6), ("harsh", 3)]),
        ("strong bitterness", [("bitter", 8)]),
        ("sour, very sour", [("sour", 8)]),
        # Misspelt by a letter, and words that only look so.
        ("bittr", [("bitter", 5)]),
        ("bitetr", [("bitter", 5)]),
        ("astringant", [("harsh", 5)]),
        ("paperry", [("papery", 5)]),
        ("better", []),
        ("I think it was right", []),
        ("a cup shared at night", []),
        # No fault.
        ("fruity", [("no_fault", 5)]),
        ("balanced", [("no_fault", 5)]),
        ("malty", [("no_fault", 5)]),
        ("sour cherry", [("no_fault", 5)]),
        ("flat bed", [("no_fault", 5)]),
        # What means two things is asked.
        ("acidic", [("sour_or_bright?", 5)]),
        ("bright", [("sour_or_bright?", 5)]),
        ("rough", [("bitter_or_dry?", 5)]),
        ("over-extracted", [("bitter_or_dry?", 5)]),
        ("weak", [("weak_or_underdone?", 5)]),
        ("underdone", [("weak_or_underdone?", 5)]),
        ("drains forever", [("slow_or_stalled?", 5)]),
        ("clogged", [("slow_or_stalled?", 5)]),
        ("too strong", [("strong_or_bitter?", 5)]),
        ("heavy", [("strong_or_bitter?", 5)]),
        # A whole line.
        (
            "sharp, goes away fast, papery, drains forever",
            [("sour", 5), ("thin", 5), ("papery", 5), ("slow_or_stalled?", 5)],
        ),
    ],
)
def test_a_phrase_is_taken_for_what_it_says(text, expected):
    assert understood(text) == expected


@pytest.mark.parametrize(
    "text", ["", "   ", "\n", "...", "🙂☕", "123 456", "the cup", "قهوة", "כוס"]
)
def test_nothing_is_made_of_words_that_say_nothing(text):
    assert understood(text) == []


@given(st.text(max_size=400))
def test_any_text_is_read_without_fault(text):
    for match in match_words(text, LEXICON):
        assert 0.0 <= match.intensity <= 10.0
        assert bool(match.targets) != bool(match.question)


@given(
    st.lists(
        st.sampled_from([*LEXICON.terms, *LEXICON.intensity, "not", "or", ",", "🙂", "מר", "cup"]),
        max_size=30,
    )
)
def test_words_of_the_trade_in_any_order_are_read_without_fault(words):
    read = read_words(" ".join(words), LEXICON, NO_CHOICES)
    assert all(0.0 <= value <= 10.0 for value in read.marks.values())
    assert len({row.match.word for row in read.rows}) == len(read.rows)


@pytest.mark.parametrize("one", ["🙂", "sour ", "not ", "قهوة مرة ", "q", "a bit very ", "’", "-"])
def test_ten_thousand_letters_are_read(one):
    text = (one * 10_000)[:10_000]
    assert set(understood(text)) <= {("sour", 5.0)}


def test_a_line_is_read_in_two_thousandths_of_a_second():
    text = "sharp, goes away fast, papry, drains forever; a bit astringant and not very sweet"
    match_words(text, LEXICON)
    spent = []
    for _ in range(20):
        begun = time.perf_counter()
        match_words(text, LEXICON)
        spent.append(time.perf_counter() - begun)
    assert min(spent) < 0.002


@pytest.mark.parametrize(
    ("text", "question", "first", "second"),
    [
        ("acidic", Question.SOUR_OR_BRIGHT, {Mark.SOUR: 5.0}, {}),
        ("rough", Question.BITTER_OR_DRY, {Mark.BITTER: 5.0}, {Mark.HARSH: 5.0}),
        ("weak", Question.WEAK_OR_UNDERDONE, {}, {Mark.SOUR: 5.0, Mark.THIN: 5.0}),
        ("took forever", Question.SLOW_OR_STALLED, {}, {}),
        ("strong", Question.STRONG_OR_BITTER, {}, {Mark.BITTER: 5.0}),
    ],
)
def test_a_question_adds_nothing_until_it_is_answered(text, question, first, second):
    def marks(choices):
        read = read_words(text, LEXICON, choices)
        (row,) = read.rows
        assert row.match.question is question
        return read.marks

    assert marks(NO_CHOICES) == {}
    assert marks(NO_CHOICES.answered(question, 0)) == first
    assert marks(NO_CHOICES.answered(question, 1)) == second
    assert marks(NO_CHOICES.answered(question, 1).answered(question, 1)) == {}


def test_weak_and_strong_and_the_clock_are_told_by_their_answers():
    def read(text, question, answer):
        return read_words(text, LEXICON, NO_CHOICES.answered(question, answer))

    assert read("weak", Question.WEAK_OR_UNDERDONE, 0).felt is StrengthFelt.WEAK
    assert read("strong", Question.STRONG_OR_BITTER, 0).felt is StrengthFelt.STRONG
    assert read("clogged", Question.SLOW_OR_STALLED, 0).clock == {Target.SLOW}
    assert read("clogged", Question.SLOW_OR_STALLED, 1).clock == {Target.STALLED}


def test_two_words_of_one_question_are_asked_once():
    read = read_words("bright, acidic and tangy", LEXICON, NO_CHOICES)
    assert len(read.rows) == 1


def test_a_word_turned_off_says_nothing_and_can_be_turned_on_again():
    off = NO_CHOICES.turned("sharp").turned("papery")
    read = read_words("sharp, papery", LEXICON, off)
    assert (read.marks, read.complaints) == ({}, frozenset())
    again = read_words("sharp, papery", LEXICON, off.turned("sharp"))
    assert again.marks == {Mark.SOUR: 5.0}


def test_a_word_moved_stands_for_what_the_person_said():
    moved = NO_CHOICES.moved_to("sharp", Target.BITTER).moved_to("weak", Target.THIN)
    read = read_words("very sharp, weak", LEXICON, moved)
    assert read.marks == {Mark.BITTER: 8.0, Mark.THIN: 5.0}
    assert all(row.match.question is None for row in read.rows)


def test_a_denied_word_can_be_moved_too():
    moved = NO_CHOICES.moved_to("not sour", Target.FLAT)
    assert read_words("not sour", LEXICON, moved).complaints == {Complaint.FLAT}
    assert read_words("sour", LEXICON, moved).marks == {Mark.SOUR: 5.0}


def test_what_is_remembered_is_known_in_a_misspelt_word_too():
    remembered = {"bitter": Target.HARSH}
    read = read_words("bittr", LEXICON, NO_CHOICES, remembered)
    assert read.marks == {Mark.HARSH: 5.0}


def test_every_word_is_found_by_itself_and_names_its_source():
    for word, meaning in LEXICON.terms.items():
        assert meaning.source
        found = match_words(word, LEXICON)
        assert [one.word for one in found] == [word], word


@pytest.mark.parametrize("word", sorted(LEXICON.other))
def test_a_word_that_only_looks_like_one_of_the_trade_is_left_alone(word):
    assert match_words(word, LEXICON) == ()


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("[[", "lexicon.not_toml"),
        ("", "lexicon.no_words"),
        ('[[meaning]]\nmeans = ["sour"]\nwords = ["a"]', "lexicon.no_source"),
        ('[[meaning]]\nmeans = ["sor"]\nsource = "x"\nwords = ["a"]', "lexicon.bad_value"),
        ('[[meaning]]\nask = "what"\nsource = "x"\nwords = ["a"]', "lexicon.bad_value"),
        ('[[meaning]]\nmeans = ["sour"]\nsource = "x"\nwords = []', "lexicon.bad_value"),
        ('[[meaning]]\nmeans = ["sour"]\nsource = "x"\nwords = ["a", "a"]', "lexicon.twice"),
    ],
)
def test_a_lexicon_that_cannot_be_is_refused_with_its_place(text, code, words):
    with pytest.raises(BadInput) as refused:
        read_lexicon(text)
    assert refused.value.code == code
    assert words.sentence(refused.value)
