"""A lever that a blind trial showed to matter comes before what nobody tried."""

from dataclasses import replace

import pytest

from halfclick.model.advice import Evidence
from halfclick.model.recipe import Lever
from halfclick.model.tasting import Mark
from halfclick.model.trial import Habit
from halfclick.service.trial_findings import HabitsTried, weighed
from halfclick.taste.diagnosis import diagnose
from halfclick.taste.rules import ClockPlace, Felt, read_rules


@pytest.fixture
def advice(bench):
    """Return what advises on a cup that is wrong in one way, after trials that showed habits."""

    def given(fault: Mark, shown: dict[Habit, float], rules=None, **cup):
        case = bench.case(fault.value, clock=ClockPlace.FAST, **cup)
        found = HabitsTried(shown=shown)
        return diagnose(case, bench.limits(), weighed(rules or bench.rules, found))

    return given


def lever(advice) -> Lever:
    (change,) = advice.changes
    return change.lever


def test_what_was_shown_comes_first_and_says_so(advice, words):
    untried = advice(Mark.SOUR, {})
    assert lever(untried) is Lever.GRIND
    tried = advice(Mark.SOUR, {Habit.HOTTER: 1.2})
    assert lever(tried) is Lever.TEMPERATURE
    assert tried.evidence is Evidence.MEASURED_HERE
    assert tried.runner_up.rule == untried.rule
    assert any("blind trial" in words.sentence(one) for one in tried.why)


def test_the_larger_difference_comes_first(advice):
    both = {Habit.HOTTER: 1.2, Habit.FINER: 1.6}
    assert lever(advice(Mark.SOUR, both)) is Lever.GRIND
    assert lever(advice(Mark.SOUR, {**both, Habit.HOTTER: 2.0})) is Lever.TEMPERATURE


def test_what_was_liked_less_comes_last(advice):
    assert lever(advice(Mark.SOUR, {Habit.FINER: -1.2})) is not Lever.GRIND


def test_an_exception_that_comes_first_for_a_reason_keeps_its_place(advice):
    strong = advice(Mark.SOUR, {Habit.HOTTER: 2.0}, felt=Felt.STRONG)
    assert lever(strong) is Lever.RATIO


OWN = """
[[rule]]
id = "mine"
marks = ["sour"]
moves = [{ lever = "grind", way = "less" }]
causes = ["low_extraction"]
evidence = "measured_here"
sources = ["My own cups"]
"""


def test_a_persons_own_rule_keeps_its_place(bench, advice):
    own = replace(read_rules(OWN)[0], own=True, words="It was so last winter.")
    told = advice(Mark.SOUR, {Habit.HOTTER: 2.0}, (own, *bench.rules))
    assert told.rule == "mine"
