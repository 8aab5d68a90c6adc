"""The rule set as data: what it holds, and what is said of a damaged one."""

import pytest

from halfclick.errors import BadInput
from halfclick.model.changes import DECLARED_PAIRS
from halfclick.taste.rules import load_rules, read_rules

GOOD = """
[[rule]]
id = "mine"
marks = ["sour"]
moves = [{ lever = "grind", way = "less" }]
causes = ["too_coarse"]
evidence = "consensus"
sources = ["Common practice, no source"]
"""


def refused(text, words):
    with pytest.raises(BadInput) as error:
        read_rules(text)
    return error.value.code, words.sentence(error.value)


def test_a_rule_is_read_as_it_is_written():
    (rule,) = read_rules(GOOD)
    assert (rule.id, rule.causes, rule.evidence) == ("mine", ("too_coarse",), "consensus")
    assert [(move.lever, move.way) for move in rule.moves] == [("grind", "less")]


@pytest.mark.parametrize(
    ("before", "after", "code", "named"),
    [
        ("marks =", "mark =", "rules.unknown_field", ("mine", "mark")),
        ('lever = "grind"', 'lever = "whistle"', "rules.bad_value", ("mine", "lever", "whistle")),
        ('way = "less"', 'way = "sideways"', "rules.bad_value", ("mine", "way", "sideways")),
        ('way = "less"', 'way = "even"', "rules.bad_value", ("mine", "way", "even")),
        ('way = "less"', 'way = "less", size = 9', "rules.bad_value", ("mine", "moves", "size")),
        ('evidence = "consensus"\n', "", "rules.missing_field", ("mine", "evidence")),
        ('"consensus"', '"everybody"', "rules.bad_value", ("mine", "evidence", "everybody")),
        (
            'sources = ["Common practice, no source"]',
            "",
            "rules.missing_field",
            ("mine", "sources"),
        ),
        ('["Common practice, no source"]', "[]", "rules.missing_field", ("mine", "sources")),
        ('["Common practice, no source"]', "[3]", "rules.bad_value", ("mine", "sources")),
        ('["too_coarse"]', '["moonlight"]', "rules.bad_value", ("mine", "causes", "moonlight")),
        ('["sour"]', '["salty"]', "rules.bad_value", ("mine", "marks", "salty")),
        ('["sour"]', '"sour"', "rules.bad_value", ("mine", "marks", "sour")),
        ('["sour"]', '["sour"]\nclock = ["late"]', "rules.bad_value", ("mine", "clock", "late")),
        ('["sour"]', '["sour"]\nstrength = ["big"]', "rules.bad_value", ("mine", "strength")),
        ('["sour"]', '["sour"]\nshapes = ["sock"]', "rules.bad_value", ("mine", "shapes", "sock")),
        ('["sour"]', '["sour"]\nstalled = 1', "rules.bad_value", ("mine", "stalled", "1")),
        ('["sour"]', '["sour"]\ncontested = 1', "rules.bad_value", ("mine", "contested")),
        ('["sour"]', '["sour"]\nexception = "mood"', "rules.bad_value", ("mine", "exception")),
        ('["sour"]', '["sour"]\noutcome = "panic"', "rules.bad_value", ("mine", "outcome")),
        (
            '"less" }]',
            '"less" }, { lever = "temperature", way = "more" }]',
            "rules.two_levers",
            ("mine",),
        ),
        ('[{ lever = "grind", way = "less" }]', '"grind"', "rules.bad_value", ("mine", "moves")),
        ('id = "mine"', "", "rules.bad_id", ("number 1",)),
    ],
)
def test_a_damaged_rule_is_refused_by_its_name_and_field(before, after, code, named, words):
    assert before in GOOD
    found, sentence = refused(GOOD.replace(before, after), words)
    assert found == code
    for name in named:
        assert name in sentence


def test_a_rule_that_stands_twice_is_refused(words):
    code, sentence = refused(GOOD + GOOD, words)
    assert code == "rules.twice"
    assert "mine" in sentence


@pytest.mark.parametrize("text", ["", "rule = 3", "[[other]]\nid = 'x'"])
def test_a_text_without_rules_is_refused(text, words):
    assert refused(text, words)[0] == "rules.no_rules"


def test_a_text_that_is_not_toml_is_refused(words):
    assert refused("[[rule", words)[0] == "rules.not_toml"


def test_every_rule_moves_one_lever_or_a_declared_pair():
    for rule in load_rules():
        assert len(rule.moves) == 1 or rule.levers in DECLARED_PAIRS, rule.id


def test_every_rule_has_words(words):
    for rule in load_rules():
        assert words(f"why.{rule.id}")
        assert words(f"evidence.{rule.evidence.value}")
        assert not rule.contested or words(f"contested.{rule.contested}")


def test_no_sentence_of_the_advice_shouts(words):
    for rule in load_rules():
        assert "!" not in words(f"why.{rule.id}")


def test_folklore_and_lab_are_told_apart_by_source():
    for rule in load_rules():
        practice = all("Common practice" in source for source in rule.sources)
        assert practice is False or rule.evidence not in {"peer_reviewed", "standard"}, rule.id
