"""What a verdict may say: by how it was looked at, how blind it was and how many were tried."""

from dataclasses import replace
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from halfclick.errors import BadInput
from halfclick.model.trial_kinds import (
    Blinding,
    Finding,
    Liked,
    Looked,
    Question,
    Sureness,
    TrialKind,
)
from halfclick.trials import planning, strength_check, verdict
from halfclick.trials.claims import Conditions
from halfclick.trials.named_pair import PairAnswer
from halfclick.trials.psychometric import Protocol
from halfclick.wording import open_wording

SAY = open_wording()
SERVED = Conditions(
    question=Question.THE_HABIT,
    blinding=Blinding.SERVED,
    fresh_brews=True,
    logs_match=True,
)
ANSWERS = st.lists(
    st.builds(PairAnswer, right=st.booleans(), sureness=st.sampled_from(Sureness)), max_size=14
)
BLINDED = st.builds(
    Conditions,
    question=st.sampled_from(Question),
    blinding=st.sampled_from(Blinding),
    fresh_brews=st.booleans(),
    logs_match=st.booleans(),
    habits_tried=st.integers(1, 6),
    tasters=st.integers(1, 3),
)


def sure(right: int, wrong: int = 0) -> list[PairAnswer]:
    said = {"sureness": Sureness.SURE}
    return [PairAnswer(right=True, **said)] * right + [PairAnswer(right=False, **said)] * wrong


def read(found: verdict.Verdict) -> str:
    return " ".join(SAY.sentence(one) for one in (*found.sentences, *found.cautions))


def codes(found: verdict.Verdict) -> set[str]:
    return {one.code for one in (*found.sentences, *found.cautions)}


def test_six_sure_and_right_show_the_habit():
    """Hand-worked: 1.8^6 = 34.0 and 1.7^6 = 24.1, on average 29.1; five are 16.5."""
    found = verdict.of_named_pair(sure(6), SERVED)
    assert (found.finding, found.about_habit) == (Finding.SHOWN, True)
    # Half of all who are right in 0.891 of pairs are so six times of six: 0.891^6 = 1/2.
    assert found.right_share == pytest.approx(0.5 ** (1 / 6))
    assert "about 9 times in 10" in read(found)
    assert found.evidence == pytest.approx((1.8**6 + 1.7**6) / 2)
    assert "Shown: the habit" in read(found)
    five = verdict.of_named_pair(sure(5), SERVED)
    assert five.finding is Finding.NOT_SETTLED
    assert "verdict.leaning" in codes(five)


def test_what_was_shown_stays_shown_however_it_goes_on():
    assert verdict.of_named_pair(sure(6, 4), SERVED).finding is Finding.SHOWN


def test_guessing_for_a_dozen_pairs_is_smaller_than_one_and_a_half():
    answers = [PairAnswer(right=at % 2 == 0, sureness=Sureness.GUESS) for at in range(12)]
    found = verdict.of_named_pair(answers, SERVED)
    assert (found.finding, found.smaller_than) == (Finding.SMALLER, 1.5)
    # The interval at any time of 6 of 12: sqrt 2 times the normal quantile of 0.851.
    assert found.dprime_within is not None
    assert found.dprime_within.high == pytest.approx(1.47, abs=0.005)
    assert "1.47" in read(found)


@given(ANSWERS, BLINDED)
def test_no_verdict_ever_says_that_there_is_no_difference(answers, conditions):
    found = verdict.of_named_pair(answers, conditions)
    said = read(found).lower()
    assert "no difference" not in said
    assert "the same" not in said
    assert "d′" in said or not answers
    if found.about_habit:
        assert conditions.fresh_brews
        assert conditions.blinding in {Blinding.SERVED, Blinding.SHUFFLED}
    if conditions.blinding is Blinding.OPEN:
        assert found.finding is Finding.NOT_SETTLED
    if found.finding is Finding.SHOWN:
        assert ("the habit" in SAY.sentence(found.sentences[0])) == found.about_habit


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"fresh_brews": False}, "verdict.split_brews"),
        ({"blinding": Blinding.ALONE}, "verdict.weak_blinding"),
        ({"blinding": Blinding.SHUFFLED, "logs_match": False}, "verdict.logs_apart"),
    ],
)
def test_split_brews_and_weak_blinding_keep_a_finding_to_these_brews(changed, code):
    found = verdict.of_named_pair(sure(6), replace(SERVED, **changed))
    assert (found.finding, found.about_habit) == (Finding.SHOWN, False)
    assert code in codes(found)
    assert "these two brews" in SAY.sentence(found.sentences[0])


def test_many_habits_raise_the_bar_and_it_is_said():
    found = verdict.of_named_pair(sure(6), replace(SERVED, habits_tried=3))
    assert (found.finding, found.bar) == (Finding.NOT_SETTLED, 60.0)
    assert "risen to 60" in read(found)
    counted = verdict.of_counted(Protocol.TRIANGLE, 7, 10, replace(SERVED, habits_tried=3))
    assert counted.finding is Finding.NOT_SETTLED
    assert counted.alpha == pytest.approx(0.05 / 3)


def test_two_roast_profiles():
    """Hand-worked: 7 of 10 at chance 1/3 is p = 0.0197, 5 of 10 is 0.213; 6 to 4 is p = 0.754."""
    brews = replace(SERVED, question=Question.THESE_BREWS, tasters=3)
    shown = verdict.of_counted(Protocol.TRIANGLE, 7, 10, brews)
    assert (shown.finding, round(shown.p or 0, 3)) == (Finding.SHOWN, 0.020)
    open_still = verdict.of_counted(Protocol.TRIANGLE, 5, 10, brews)
    assert (open_still.finding, round(open_still.p or 0, 2)) == (Finding.NOT_SETTLED, 0.21)
    liked = verdict.of_preference([Liked.WITH] * 6 + [Liked.WITHOUT] * 4, brews)
    assert (liked.finding, round(liked.p or 0, 2)) == (Finding.NOT_SETTLED, 0.75)


def test_counts_that_were_looked_at_any_time_need_more():
    once = verdict.of_counted(Protocol.GROUPING, 8, 12, SERVED)
    any_time = verdict.of_counted(Protocol.GROUPING, 8, 12, SERVED, Looked.ANY_TIME)
    assert once.finding is Finding.SHOWN
    assert any_time.finding is Finding.NOT_SETTLED
    assert once.dprime_within is not None
    assert any_time.dprime_within is not None
    assert any_time.dprime_within.high > once.dprime_within.high
    assert "however often" in read(any_time)


def test_a_bound_is_found_of_counts():
    """The table of the exact test: 12 pairs with 6 right are below 0.975, one-sided 95 %."""
    bound = {"bound_dprime": 0.98}
    assert verdict.of_counted(Protocol.PAIR, 6, 12, SERVED, **bound).smaller_than == 0.98
    assert verdict.of_counted(Protocol.PAIR, 7, 12, SERVED, **bound).smaller_than is None


def test_sealed_graded_pairs():
    """Hand-worked: six towards the habit are 1 of 64 flips."""
    found = verdict.of_graded_pairs([3, 1, 2, 1, 1, 2], SERVED)
    assert (found.finding, found.p) == (Finding.SHOWN, 1 / 64)
    assert found.dprime == float("inf")
    assert "or more" in read(found)
    nothing = verdict.of_graded_pairs([0, 0, 0], SERVED, 1.5)
    assert (nothing.finding, nothing.dprime) == (Finding.NOT_SETTLED, None)
    assert verdict.of_graded_pairs([], SERVED).finding is Finding.NOT_SETTLED


def test_a_liking_names_its_side_and_its_hidden_pairs():
    better = replace(SERVED, question=Question.BETTER)
    chosen = [Liked.WITHOUT] * 9 + [Liked.NEITHER] * 2 + [Liked.WITH]
    found = verdict.of_preference(chosen, better, identical=[Liked.WITH, Liked.NEITHER])
    assert found.finding is Finding.SHOWN
    assert found.dprime is not None
    assert found.dprime < 0
    said = read(found)
    assert "without the habit are liked better" in said
    assert "neither 2 times" in said
    assert "one of them was liked better 1 times" in said


def test_a_liking_of_two_brews_is_not_of_a_habit():
    better = replace(SERVED, question=Question.BETTER, of_a_habit=False)
    found = verdict.of_preference([Liked.WITH] * 8, better)
    assert "of these two brews, the first" in read(found)


def test_rankings_are_judged_by_their_exact_law():
    """Hand-worked: three who agree on three brews are 1 of 36."""
    found = verdict.of_ranking([(1, 2, 3)] * 3, SERVED)
    assert found.p == pytest.approx(1 / 36)
    assert (found.finding, found.dprime) == (Finding.SHOWN, float("inf"))
    predicted = verdict.of_ranking([(1, 2, 3)] * 2, SERVED, (1, 2, 3))
    assert predicted.p == pytest.approx(1 / 36)
    assert "verdict.by_page" in codes(predicted)
    assert verdict.of_ranking([(1, 2, 3)], SERVED).finding is Finding.NOT_SETTLED


def test_a_ranking_tells_how_far_its_ends_lie_apart():
    """Hand-worked: 7 of 8 put the first above the last; limits by scipy at 1 - 0.05 / 3."""
    ranks = [(1, 2, 3)] * 7 + [(3, 2, 1)]
    found = verdict.of_ranking(ranks, replace(SERVED, names=("fine", "middle", "coarse")))
    assert found.dprime == pytest.approx(sqrt(2) * stats.norm.ppf(7 / 8))
    shares = stats.binomtest(7, 8).proportion_ci(1 - 0.05 / 3, "exact")
    assert found.dprime_within is not None
    ends = (found.dprime_within.low, found.dprime_within.high)
    assert ends == pytest.approx([sqrt(2) * stats.norm.ppf(one) for one in shares])
    assert "“fine” stands best and “coarse” last; it was put higher 7 times in 8" in read(found)


@pytest.mark.parametrize("protocol", [Protocol.GROUPING, Protocol.TRIANGLE, Protocol.DUO_TRIO])
def test_where_cups_of_a_round_share_a_brew_the_finding_is_of_the_brews(protocol):
    """Two brews made alike are never quite alike: the same brew twice is told from another."""
    found = verdict.of_counted(protocol, 12, 12, SERVED)
    assert (found.finding, found.about_habit) == (Finding.SHOWN, False)
    assert "verdict.shared_cups" in codes(found)
    assert verdict.of_counted(Protocol.THREE_CHOICE, 12, 12, SERVED).about_habit


def test_brews_named_the_wrong_way_round_are_not_called_alike():
    """By hand: none of 8 is worth 2^8 / 9 = 28 against guessing, and 2^7 / 8 = 16 of 7."""
    found = verdict.of_named_pair(sure(0, 8), SERVED)
    assert (found.finding, found.smaller_than, found.turned) == (Finding.NOT_SETTLED, None, True)
    assert found.dprime == float("-inf")
    assert found.dprime_within is not None
    assert found.dprime_within.high < 0
    assert "taken for one another" in read(found)
    assert not verdict.of_named_pair(sure(0, 7), SERVED).turned
    graded_pairs = verdict.of_graded_pairs([-2, -1, -3, -2, -1, -2, -3, -1], SERVED, 1.5)
    assert (graded_pairs.finding, graded_pairs.turned) == (Finding.NOT_SETTLED, True)
    counted = verdict.of_counted(Protocol.PAIR, 1, 12, SERVED, bound_dprime=1.5)
    assert (counted.smaller_than, counted.turned) == (None, True)
    # One of 12 triangles is as seldom by chance, but an odd cup cannot be named the wrong way.
    assert not verdict.of_counted(Protocol.TRIANGLE, 0, 12, SERVED).turned


def test_votes_are_told_by_name_where_names_are_known():
    better = replace(SERVED, question=Question.BETTER, of_a_habit=False, names=("A", "B"))
    found = verdict.of_preference([Liked.WITHOUT] * 8 + [Liked.WITH], better)
    assert "“B” is liked better" in read(found)
    assert "“A” 1 times, “B” 8 times, neither 0 times" in read(found)


def test_a_habit_shown_without_a_strength_check_says_so():
    assert "verdict.strength_unknown" in codes(verdict.of_named_pair(sure(6), SERVED))
    alike = strength_check.compare_strengths([0.0130], [0.0131])
    checked = verdict.of_named_pair(sure(6), replace(SERVED, strength=alike))
    assert not codes(checked) & {"verdict.strength_unknown", "verdict.strength_read"}


def test_a_preference_counts_the_pairs_that_tell():
    """Of 16 pairs 4 hold the same brew: 10 of the 12 are needed, binomial tails by scipy."""
    share = stats.norm.cdf(1.5 / sqrt(2))
    power = stats.binom.sf(9, 12, share) + stats.binom.sf(9, 12, 1 - share)
    assert planning.cost_of(TrialKind.PREFERENCE, 1.5, 16).power == pytest.approx(power)


def test_a_gap_in_strength_is_named():
    """0.24 % points are noticed: Frost, Ristenpart and Guinard 2019."""
    apart = strength_check.compare_strengths([0.0140, 0.0142], [0.0115, 0.0117])
    assert apart.noticeable
    found = verdict.of_named_pair(sure(6), replace(SERVED, strength=apart))
    assert "0.25" in read(found)
    assert not strength_check.compare_strengths([0.0140], [0.0117]).noticeable
    weighed = strength_check.compare_weights([(15.0, 200.0)], [(15.0, 250.0)])
    assert (weighed.noticeable, weighed.read) == (True, False)
    assert weighed.gap_strength == pytest.approx(0.2 * 15 / 200 - 0.2 * 15 / 250)
    assert strength_check.compare_strengths([], [0.01]).gap_strength is None
    with pytest.raises(ValueError, match="beverage"):
        strength_check.compare_weights([(15.0, 0.0)], [(15.0, 200.0)])


@pytest.mark.parametrize(
    ("wish", "kind"),
    [
        ({}, TrialKind.NAMED_PAIR),
        ({"will_wait": True}, TrialKind.GRADED_PAIRS),
        ({"tasters": 4}, TrialKind.GROUPING),
        ({"known_how": False}, TrialKind.GROUPING),
        ({"question": Question.BETTER}, TrialKind.PREFERENCE),
        ({"question": Question.BETTER, "brews": 4}, TrialKind.RANKING),
    ],
)
def test_a_wish_becomes_a_trial_with_its_reason(wish, kind):
    found = planning.propose(planning.Wishes(**{"question": Question.THE_HABIT, **wish}))
    assert found.kind is kind
    assert all(SAY.sentence(one) for one in found.reasons)


def test_what_cannot_be_compared_is_refused():
    for wish in ({"brews": 6}, {"brews": 1}, {"tasters": 0}):
        with pytest.raises(BadInput) as refused:
            planning.propose(planning.Wishes(question=Question.BETTER, **wish))
        assert SAY.sentence(refused.value)


@pytest.mark.parametrize(
    "kind", [one for one in TrialKind if one not in {TrialKind.SAME_DIFFERENT}]
)
def test_a_plan_tells_what_it_costs_and_can_show(kind):
    found = planning.cost_of(kind, 1.5, 12, tasters=2, brews=3)
    assert found.false_alarm <= 0.05
    assert found.power > found.false_alarm
    assert found.likely_answers <= 12
    pairs = {TrialKind.NAMED_PAIR, TrialKind.GRADED_PAIRS, TrialKind.PREFERENCE}
    assert found.days == (3 if kind in pairs else 6)


def test_twelve_named_pairs_settle_a_difference_of_one_and_a_half_four_times_in_five():
    """0.78 of 12 pairs, 8.7 of them used on average (simulated for the method's table)."""
    found = planning.cost_of(TrialKind.NAMED_PAIR, 1.5, 12)
    assert found.power == pytest.approx(0.78, abs=0.02)
    assert found.likely_answers == pytest.approx(8.7, abs=0.1)
    assert (found.cups, found.brews, found.days) == (24, 24, 6)
    assert planning.answers_for(TrialKind.TRIANGLE, 2.0) == 23
    assert planning.answers_for(TrialKind.TRIANGLE, 0.5) is None
