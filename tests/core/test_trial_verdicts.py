"""A trial's verdict from the journal: strengths, panels, habits tried since, and paper."""

from collections import Counter
from dataclasses import replace
from itertools import combinations
from uuid import uuid4

import pytest
from some_trials import SWIRL, answered, begun, said
from test_next_brew import Home

from halfclick.errors import BadInput
from halfclick.model.trial import Habit, brews_each_round
from halfclick.model.trial_kinds import Finding, Question, TrialKind
from halfclick.model.trial_round import TrialAnswer
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.trial_paper import Counted, file_paper
from halfclick.service.trial_seal import brews_in
from halfclick.service.trial_subjects import SideRecord, records_of
from halfclick.service.trial_verdict import file_finding, habits_tried, strength_check, tell
from halfclick.service.trial_views import all_trials, trial_view, trials_ever
from halfclick.service.trials import bury_trial, lock, serve

DOSED = (SideRecord(dose_g=15.0), SideRecord(dose_g=15.0))


def codes(told) -> set[str]:
    return {one.code for one in (*told.main.sentences, *told.main.cautions)}


def served(store, clock, view, key, **measured) -> None:
    """Serve the next round with what was measured, given for the brew with the habit first."""
    brews = brews_in(view.trial, key, view.next.round)
    by_cup = {name: tuple(both[brew] for brew in brews) for name, both in measured.items()}
    serve(store, view, key, clock=clock, **by_cup)


def test_strengths_that_were_read_come_before_weights(store, clock):
    made = begun(store, clock)
    read = {"weights_g": (150.0, 250.0), "strengths": (0.0130, 0.0131)}
    served(store, clock, made.view, made.key, **read)
    view = answered(store, clock, made.view, made.key)
    check = strength_check(view, DOSED)
    assert (check.read, check.noticeable) == (True, False)
    assert check.gap_strength == pytest.approx(-0.0001)


def test_weights_alone_tell_of_strength_at_the_same_extraction(store, clock, words):
    """By hand: 0.2 x 15 / 200 less 0.2 x 15 / 250 is 0.3 % points."""
    made = begun(store, clock)
    served(store, clock, made.view, made.key, weights_g=(200.0, 250.0))
    view = answered(store, clock, made.view, made.key)
    check = strength_check(view, DOSED)
    assert (check.read, check.noticeable) == (False, True)
    assert check.gap_strength == pytest.approx(0.003)
    told = tell(view, (view,), DOSED)
    assert "verdict.strength_reckoned" in codes(told)
    assert "equal strength" in words.sentences(told.main.cautions)
    assert strength_check(view) is None


def test_two_brews_of_the_history_bring_what_was_kept_of_them(store, clock):
    home = Home(store, clock)
    bag = home.bag("Tarn Hollow")
    brews = [home.cup(bag, text, strength=read) for text, read in (("18", 0.0145), ("20", 0.012))]
    plan = replace(
        SWIRL, habit=None, names=("finer", "coarser"), brew_ids=tuple(one.id for one in brews)
    )
    view = begun(store, clock, plan).view
    records = records_of(store, view.trial)
    assert [one.strength for one in records] == [0.0145, 0.012]
    check = strength_check(view, records)
    assert (check.read, check.noticeable) == (True, True)
    weighed = tuple(replace(one, strength=None) for one in records)
    assert strength_check(view, weighed) is None
    heavier = (replace(weighed[0], beverage_g=200.0), replace(weighed[1], beverage_g=202.0))
    assert strength_check(view, heavier).noticeable is False


def test_what_is_tried_later_takes_nothing_back(store, clock):
    first = begun(store, clock)
    view = first.view
    for _ in range(6):
        view = answered(store, clock, view, first.key)
    told = tell(view, all_trials(store))
    assert (told.main.finding, told.main.bar) == (Finding.SHOWN, 20.0)
    file_finding(store, view, told, clock=clock)
    other = replace(SWIRL, habit=Habit.RINSE, names=("rinsed", "dry"))
    second = begun(store, clock, other, seed=2)
    later = answered(store, clock, second.view, second.key)
    assert habits_tried(later, all_trials(store)) == 2
    again = tell(trial_view(store, view.trial.id), all_trials(store))
    assert (again.main.finding, again.main.bar) == (Finding.SHOWN, 20.0)


def test_a_trial_taken_off_the_list_was_tried_all_the_same(store, clock):
    first = begun(store, clock)
    answered(store, clock, first.view, first.key)
    bury_trial(store, first.view.trial.id, clock=clock)
    other = replace(SWIRL, habit=Habit.RINSE, names=("rinsed", "dry"))
    second = begun(store, clock, other, seed=2)
    view = answered(store, clock, second.view, second.key)
    told = tell(view, trials_ever(store))
    assert told.main.bar == 40.0  # twice that of one habit


@pytest.mark.parametrize(
    ("kind", "habit", "tasters", "split", "each"),
    [
        (TrialKind.NAMED_PAIR, Habit.SWIRL, 2, False, True),
        (TrialKind.NAMED_PAIR, None, 2, False, False),
        (TrialKind.NAMED_PAIR, Habit.SWIRL, 1, True, False),
        (TrialKind.GROUPING, Habit.SWIRL, 4, False, False),
        (TrialKind.GROUPING, None, 1, False, True),
    ],
)
def test_tasters_share_brews_where_no_habit_is_judged_by_them(kind, habit, tasters, split, each):
    assert brews_each_round(kind, habit, tasters, split=split) is each


def test_a_habit_tried_by_two_is_about_the_habit_and_a_split_one_is_not(store, clock):
    two = begun(store, clock, replace(SWIRL, tasters=("Ada", "Bo"), rounds_planned=6))
    view = two.view
    for _ in range(6):
        view = answered(store, clock, view, two.key)
    assert tell(view, (view,)).main.about_habit
    split = replace(view, trial=replace(view.trial, split=True))
    assert not tell(split, (split,)).main.about_habit


def test_a_small_panel_hears_why_its_spread_cannot_be_told(store, clock, words):
    plan = replace(SWIRL, kind=TrialKind.GROUPING, tasters=("Ada", "Bo"), rounds_planned=2)
    made = begun(store, clock, plan)
    view = said(store, clock, made.view, made.key, chosen=(0, 1))
    view = said(store, clock, view, made.key, chosen=(0, 1))
    told = words.sentences(tell(view, (view,)).main.sentences)
    assert "It takes 6 tasters with 4 answers each" in told


def test_a_panel_of_six_hears_how_unlike_they_are(store, clock, words):
    """Three always right and three never: nobody is alike, and chance seldom does that."""
    tasters = ("Ada", "Bo", "Cy", "Di", "Ed", "Flo")
    plan = replace(SWIRL, kind=TrialKind.TRIANGLE, tasters=tasters, rounds_planned=24)
    made = begun(store, clock, plan)
    view = made.view
    for _ in range(24):
        following = view.next.round
        brews = brews_in(view.trial, made.key, following)
        odd = next(at for at, brew in enumerate(brews) if brews.count(brew) == 1)
        named = odd if following.taster < 3 else (odd + 1) % 3
        view = said(store, clock, view, made.key, chosen=(named,))
    main = tell(view, (view,)).main
    spread = next(one for one in main.sentences if one.code == "verdict.panel_spread")
    assert spread.values["spread"] == "1"
    assert words.sentence(spread)


def test_counts_from_paper_that_were_looked_at_on_the_way_need_more(store, clock):
    add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock)
    plan = replace(
        SWIRL, kind=TrialKind.DUO_TRIO, habit=None, question=Question.THESE_BREWS, names=("A", "B")
    )
    looked = []
    for any_time in (False, True):
        counted = Counted(right=15, asked=20, any_time=any_time)
        view = file_paper(store, plan, counted, clock=clock).value
        looked.append(tell(trial_view(store, view.trial.id), all_trials(store)).main)
    once, always = looked
    # 2^20 / (21 C(20, 15)): the mixture of all shares against one half.
    assert always.evidence == pytest.approx(2**20 / (21 * 15504))
    assert (once.finding, always.finding) == (Finding.SHOWN, Finding.NOT_SETTLED)
    assert always.dprime_within.low <= once.dprime_within.low


def test_five_brews_are_ranked_three_at_a_time(store, clock, words):
    """Each two meet alike often in ten rounds; who always ranks alike shows it."""
    names = ("a", "b", "c", "d", "e")
    plan = replace(
        SWIRL, kind=TrialKind.RANKING, habit=None, names=names, rounds_planned=10, cups=3
    )
    made = begun(store, clock, plan)
    view = made.view
    assert {len(one.round.codes) for one in view.rounds} == {3}
    met = Counter()
    for _ in range(10):
        brews = brews_in(view.trial, made.key, view.next.round)
        met.update(combinations(sorted(brews), 2))
        chosen = tuple(sorted(range(3), key=lambda place: brews[place]))
        view = said(store, clock, view, made.key, chosen=chosen)
    assert set(met.values()) == {3}
    main = tell(view, (view,)).main
    assert main.finding is Finding.SHOWN
    told = words.sentences(main.sentences)
    assert "“a” stands best and “e” last; it was put higher 3 times in 3" in told
    assert "over 20,000 drawn orders" in told
    assert main.p == pytest.approx(1 / 20_001, abs=2e-4)


def test_rounds_of_two_cups_cannot_be_ranked(store, clock, words):
    plan = replace(SWIRL, kind=TrialKind.RANKING, habit=None, names=("a", "b", "c", "d"), cups=2)
    with pytest.raises(BadInput) as refused:
        begun(store, clock, plan)
    assert "2 cups cannot be ranked" in words.sentence(refused.value)
    view = begun(store, clock, replace(plan, cups=3)).view
    beyond = TrialAnswer(id=uuid4(), round_id=view.next.round.id, locked_at=clock(), chosen=(3,))
    with pytest.raises(BadInput):
        lock(store, view, beyond, clock=clock)
