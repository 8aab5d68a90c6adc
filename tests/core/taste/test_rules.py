"""The rule set as data: what it holds, and what is said of a damaged one."""

import pytest

from halfclick.errors import BadInput
from halfclick.model.advice import Act, Outcome
from halfclick.model.changes import DECLARED_PAIRS
from halfclick.model.coffee import Process, Roast
from halfclick.model.kit import DripperShape, PaperKind
from halfclick.model.tasting import Bed, Complaint
from halfclick.taste.diagnosis import LAWS
from halfclick.taste.rule_words import causes_of, title_of
from halfclick.taste.rules import ClockPlace, Felt, load_rules, read_rules
from halfclick.taste.suspects import Cause, Note, Others, Reason, WaterTrait

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
        ('["sour"]', '["sour"]\nown = true', "rules.unknown_field", ("mine", "own")),
        ('["sour"]', '["sour"]\noutcome = "hold"', "rules.bad_value", ("mine", "outcome")),
        ('["sour"]', '["sour"]\noutcome = "stop"', "rules.two_things", ("mine",)),
        ('["sour"]', '["sour"]\nact = "rinse_paper"', "rules.two_things", ("mine",)),
        ('["sour"]', '["sour"]\nact = "dance"', "rules.bad_value", ("mine", "act", "dance")),
        ('["sour"]', '["sour"]\nage_min = -1', "rules.bad_value", ("mine", "age_min", "-1")),
        ('["sour"]', '["sour"]\nage_max = 2.5', "rules.bad_value", ("mine", "age_max")),
        ('["sour"]', '["sour"]\nage_min = 9\nage_max = 8', "rules.empty_age", ("mine",)),
        ('["sour"]', '["sour"]\nnote = "hum"', "rules.bad_value", ("mine", "note", "hum")),
        ('["sour"]', '["sour"]\nbed = ["made"]', "rules.bad_value", ("mine", "bed", "made")),
        (
            'moves = [{ lever = "grind", way = "less" }]',
            "",
            "rules.missing_field",
            ("mine", "moves"),
        ),
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


def test_every_rule_does_one_thing():
    for rule in load_rules():
        moves = len(rule.moves) == 1 or rule.levers in DECLARED_PAIRS
        ends = rule.outcome in {Outcome.IMMERSION, Outcome.STOP}
        assert [moves, rule.act is not None, ends].count(True) == 1, rule.id


def test_every_rule_has_words(words):
    for rule in load_rules():
        assert words(f"why.{rule.id}")
        assert words(f"evidence.{rule.evidence.value}")
        assert not rule.contested or words(f"contested.{rule.contested}")
        assert all(words(f"note.{note.value}") for note in rule.notes)
        assert rule.exception is None or words(f"exception.{rule.exception.value}")
        assert words.sentence(title_of(rule))
        assert words.sentences(causes_of(rule))
        assert rule.act is None or words(f"act.do_{rule.act.value}")


@pytest.mark.parametrize(
    ("topic", "kind"),
    [
        ("act.", Act),
        ("act.do_", Act),
        ("cause.", Cause),
        ("exception.", Reason),
        ("heard.", Complaint),
        ("note.", Note),
        ("rule.bed_", Bed),
        ("rule.clock_", ClockPlace),
        ("rule.felt_", Felt),
        ("rule.others_", Others),
        ("rule.paper_", PaperKind),
        ("rule.process_", Process),
        ("rule.roast_", Roast),
        ("rule.shape_", DripperShape),
        ("rule.water_", WaterTrait),
    ],
)
def test_every_condition_a_rule_may_name_has_plain_words(words, topic, kind):
    for one in kind:
        assert words(f"{topic}{one.value}")


def test_the_title_of_a_rule_says_what_it_is_about_and_what_it_does(words):
    titles = {rule.id: words.sentence(title_of(rule)) for rule in load_rules()}
    assert titles["sour_slow"] == "sour, drained slowly: hotter water"
    assert (
        titles["papery_rinse"]
        == "papery: rinse the paper with 200\N{NO-BREAK SPACE}g to 300\N{NO-BREAK SPACE}g"
    )
    assert titles["sour_equal_strength"].endswith(
        "grind finer, with the water that keeps the strength"
    )
    assert titles["grassy_lot"] == "grassy, every cup of the lot is so: stop dialling in"
    assert "42 days off roast or more" in titles["flat_old"]


def test_no_rule_has_the_name_of_a_law(words):
    assert not {rule.id for rule in load_rules()} & set(LAWS)
    for law in LAWS:
        assert words(f"law.{law}")
        assert words(f"why.{law}")


def test_every_condition_of_a_rule_is_read():
    (rule,) = read_rules(
        GOOD.replace(
            'marks = ["sour"]',
            """complaints = ["flat", "salty"]
            roast = ["light"]
            process = ["natural"]
            bed = ["crater"]
            papers = ["cloth"]
            waters = ["soft"]
            others = ["bad"]
            age_min = 7
            age_max = 40
            age_known = true
            clean_before = true
            water_changed = false
            at_boil = true
            stalled_before = false
            persists = true
            steeped = false
            note = "fresh"
            words = "because I say so"
            """,
        )
    )
    assert (rule.complaints, rule.roast, rule.bed) == ({"flat", "salty"}, {"light"}, {"crater"})
    assert (rule.age_min, rule.age_max, rule.words) == (7, 40, "because I say so")
    assert (rule.water_changed, rule.at_boil, rule.notes) == (False, True, ("fresh",))


def test_an_act_stands_in_place_of_a_move():
    moves = 'moves = [{ lever = "grind", way = "less" }]'
    (rule,) = read_rules(GOOD.replace(moves, 'act = "rinse_paper"'))
    assert (rule.act, rule.outcome, rule.moves) == ("rinse_paper", "act", ())


def test_no_sentence_of_the_advice_shouts(words):
    for rule in load_rules():
        assert "!" not in words(f"why.{rule.id}")


def test_folklore_and_lab_are_told_apart_by_source():
    for rule in load_rules():
        practice = all("Common practice" in source for source in rule.sources)
        assert practice is False or rule.evidence not in {"peer_reviewed", "standard"}, rule.id
