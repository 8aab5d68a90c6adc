"""What advice makes of trials: in proportion to what was found, and of nothing else."""

from dataclasses import replace
from uuid import uuid4

import pytest
from some_trials import SWIRL, begun

from halfclick.model.advice import Act, Evidence
from halfclick.model.recipe import Lever
from halfclick.model.trial import Habit
from halfclick.model.trial_finding import TrialFinding
from halfclick.model.trial_kinds import Finding, TrialKind
from halfclick.service.rule_book import built_in
from halfclick.service.trial_findings import (
    HabitsTried,
    effect_of,
    habits_found,
    levers_shown,
    weighed,
)
from halfclick.service.trial_views import trial_view
from halfclick.taste.rules import Way


@pytest.fixture
def filed(store, clock, kit):
    """Return what keeps a trial of a habit with its finding, on the kit in use."""

    def made(
        habit: Habit,
        finding: Finding,
        *,
        about_habit: bool = True,
        kind: TrialKind = TrialKind.NAMED_PAIR,
        **numbers: float,
    ):
        names = (habit.value, "without it")
        view = begun(store, clock, replace(SWIRL, habit=habit, names=names, kind=kind)).view
        with store.writing(clock.advance(60)) as w:
            w.add(
                TrialFinding(
                    id=uuid4(),
                    trial_id=view.trial.id,
                    filed_at=clock(),
                    finding=finding,
                    about_habit=about_habit,
                    numbers={"asked": 12.0, **numbers},
                )
            )
        return trial_view(store, view.trial.id)

    return made


def acts(rules) -> set[Act]:
    return {rule.act for rule in rules if rule.act is not None}


def moves(rules, lever: Lever) -> set[Way]:
    return {rule.moves[0].way for rule in rules if rule.levers == {lever} and len(rule.moves) == 1}


def test_a_habit_shown_smaller_than_a_small_difference_is_no_longer_proposed(store, filed, words):
    view = filed(Habit.SWIRL, Finding.SMALLER, dprime_high=0.6, smaller_than=1.5)
    found = habits_found(store)
    assert found == HabitsTried(small=frozenset({Habit.SWIRL}))
    kept = weighed(built_in(), found)
    assert Act.GENTLE_SWIRL in acts(built_in())
    assert Act.GENTLE_SWIRL not in acts(kept)
    # Nothing else is dropped.
    gone = [rule for rule in built_in() if rule not in kept]
    assert {rule.act for rule in gone} == {Act.GENTLE_SWIRL}
    assert "does not propose this habit" in words.sentence(effect_of(view))


@pytest.mark.parametrize(
    ("finding", "numbers"),
    [
        (Finding.SMALLER, {"smaller_than": 1.5, "dprime_high": 0.9}),
        (Finding.SMALLER, {"smaller_than": 1.0}),
        (Finding.NOT_SETTLED, {"dprime_high": 1.6}),
        (Finding.NOT_SETTLED, {}),
    ],
)
def test_what_may_still_be_noticed_or_was_not_settled_changes_nothing(
    store, filed, finding, numbers
):
    view = filed(Habit.SWIRL, finding, **numbers)
    found = habits_found(store)
    assert found == HabitsTried()
    assert weighed(built_in(), found) == built_in()
    assert effect_of(view).code == f"trial_effect.{finding.value}"


def test_a_bound_of_seven_tenths_that_was_reached_is_small(store, filed):
    filed(Habit.RINSE, Finding.SMALLER, smaller_than=0.7)
    assert habits_found(store).small == {Habit.RINSE}


def test_a_habit_shown_to_matter_becomes_a_lever_measured_here(store, filed):
    filed(Habit.FINER, Finding.SHOWN, dprime_low=0.8)
    kept = weighed(built_in(), habits_found(store))
    assert len(kept) == len(built_in())
    grinds = [rule for rule in kept if rule.levers == {Lever.GRIND}]
    assert {rule.evidence for rule in grinds} == {Evidence.MEASURED_HERE}
    others = [rule for rule in kept if not rule.levers & {Lever.GRIND}]
    assert all(rule in built_in() for rule in others)


def test_the_size_that_was_found_goes_with_a_shown_habit(store, filed):
    filed(Habit.HOTTER, Finding.SHOWN, dprime=1.4, dprime_low=0.3, dprime_high=3.0)
    filed(Habit.SLOW_POUR, Finding.SHOWN, dprime_low=0.9)  # its estimate has no end
    found = habits_found(store)
    assert found.shown == {Habit.HOTTER: 1.4, Habit.SLOW_POUR: 0.9}
    # That it matters speaks for both ways of its lever.
    assert levers_shown(found) == {"water_c": (1.4, 1.4), "pour_g_s": (0.9, 0.9)}


def test_only_the_way_that_was_tried_is_left_out(store, filed):
    filed(Habit.HOTTER, Finding.SMALLER, smaller_than=0.7)
    kept = weighed(built_in(), habits_found(store))
    assert Way.MORE not in moves(kept, Lever.TEMPERATURE)
    assert moves(kept, Lever.TEMPERATURE) == moves(built_in(), Lever.TEMPERATURE) - {Way.MORE}


def test_what_speaks_of_two_brews_only_is_not_taken_for_the_habit(store, filed):
    view = filed(Habit.SWIRL, Finding.SHOWN, about_habit=False)
    assert habits_found(store) == HabitsTried()
    assert effect_of(view).code == "trial_effect.brews_only"


def test_the_last_finding_of_a_habit_holds(store, filed):
    filed(Habit.SWIRL, Finding.SMALLER, smaller_than=0.7)
    filed(Habit.SWIRL, Finding.SHOWN)
    assert habits_found(store) == HabitsTried(shown={Habit.SWIRL: 0.7})


def test_a_finding_counts_on_the_dripper_it_was_made_with(store, filed, kit):
    filed(Habit.SWIRL, Finding.SHOWN)
    assert set(habits_found(store, kit().dripper.id).shown) == {Habit.SWIRL}
    assert habits_found(store, uuid4()) == HabitsTried()


@pytest.mark.parametrize(
    "numbers",
    [
        {"dprime_low": -2.1, "dprime_high": 0.1},
        {"dprime_low": -0.9, "dprime_high": 0.6},
        {"dprime_high": 0.5},  # below, nothing bounds it
    ],
)
def test_a_liking_that_points_the_other_way_is_not_small(store, filed, numbers):
    filed(Habit.SWIRL, Finding.NOT_SETTLED, kind=TrialKind.PREFERENCE, **numbers)
    assert habits_found(store) == HabitsTried()


def test_a_liking_within_a_small_one_both_ways_is_small(store, filed):
    within = {"dprime_low": -0.6, "dprime_high": 0.5}
    filed(Habit.SWIRL, Finding.NOT_SETTLED, kind=TrialKind.PREFERENCE, **within)
    assert habits_found(store).small == {Habit.SWIRL}


@pytest.mark.parametrize(
    "numbers", [{"dprime": -1.6, "dprime_low": -3.0, "dprime_high": -0.4}, {"dprime_high": -0.4}]
)
def test_a_habit_shown_to_be_liked_less_is_measured_but_no_reason_to_do_it(
    store, filed, words, numbers
):
    view = filed(Habit.HOTTER, Finding.SHOWN, kind=TrialKind.PREFERENCE, **numbers)
    found = habits_found(store)
    assert found.shown[Habit.HOTTER] < 0
    assert levers_shown(found) == {"water_c": (-found.shown[Habit.HOTTER], 0.0)}
    kept = {rule.id: rule for rule in weighed(built_in(), found)}
    for rule in built_in():
        if rule.levers != {Lever.TEMPERATURE} or len(rule.moves) != 1:
            continue
        measured = kept[rule.id].evidence is Evidence.MEASURED_HERE
        assert measured == (rule.moves[0].way is not Way.MORE)
    assert "liked better" in words.sentence(effect_of(view))


def test_a_persons_own_rule_stays(store, filed):
    filed(Habit.SWIRL, Finding.SMALLER, smaller_than=0.7)
    own = next(rule for rule in built_in() if rule.act is Act.GENTLE_SWIRL)
    own = replace(own, own=True)
    assert weighed((own,), habits_found(store)) == (own,)
