"""Trials from begun to opened: turns, locks, rounds set aside, and keys that fit or do not."""

from collections import Counter
from dataclasses import replace
from uuid import uuid4

import pytest
from some_trials import SWIRL, answered, begun, in_a_row, said, same_bytes

from halfclick.errors import BadInput
from halfclick.model.trial_kinds import Sureness, TrialKind
from halfclick.model.trial_round import TrialAnswer, TrialRound, VoidReason
from halfclick.service.trial_keys import drop_key, find_key, key_file
from halfclick.service.trial_seal import brews_in, checked_key, new_key
from halfclick.service.trial_views import all_trials, trial_view
from halfclick.service.trials import (
    begin_trial,
    bury_trial,
    end_early,
    go_on,
    lock,
    open_due,
    serve,
    unbury_trial,
    void,
)

TWO = replace(SWIRL, tasters=("Ada", "Bo"), rounds_planned=4)
SEALED = replace(SWIRL, kind=TrialKind.GRADED_PAIRS, rounds_planned=3)
GROUPS = replace(SWIRL, kind=TrialKind.GROUPING, rounds_planned=2)


def test_a_trial_begins_with_its_rounds_codes_that_differ_and_a_key_beside_the_journal(
    store, clock
):
    made = begun(store, clock)
    view = trial_view(store, made.view.trial.id)
    assert [one.round.number for one in view.rounds] == list(range(1, 13))
    codes = [code for one in view.rounds for code in one.round.codes]
    assert len(set(codes)) == 24
    assert find_key(store, view.trial) == made.key
    assert key_file(store, view.trial.id).parent == store.path.parent / "helper-keys"
    assert all_trials(store) == (view,)


def test_an_answer_is_locked_and_then_opened_with_what_was_measured(store, clock):
    made = begun(store, clock)
    first = made.view.next
    brews = brews_in(made.view.trial, made.key, first.round)
    serve(
        store,
        made.view,
        made.key,
        clock=clock,
        temperature_c=58.0,
        weights_g=(218.0, 219.5),
        strengths=(0.0131, None),
    )
    view = answered(store, clock, made.view, made.key, right=True)
    opened = view.rounds[0].opening
    assert opened.brews == brews
    assert opened.weights_g == (218.0, 219.5)
    assert opened.strengths == (0.0131, None)
    assert view.rounds[0].serving.temperature_c == 58.0
    assert view.next.round.number == 2


def test_a_locked_answer_cannot_be_changed(store, clock, words):
    made = begun(store, clock)
    view = answered(store, clock, made.view, made.key)
    again = TrialAnswer(
        id=uuid4(), round_id=view.rounds[0].round.id, locked_at=clock(), chosen=(0,)
    )
    with pytest.raises(BadInput) as refused:
        lock(store, view, again, clock=clock)
    assert "answered already" in words.sentence(refused.value)


def test_an_answer_that_names_no_cup_is_refused(store, clock):
    view = begun(store, clock).view
    wrong = TrialAnswer(id=uuid4(), round_id=view.next.round.id, locked_at=clock(), chosen=(2,))
    with pytest.raises(BadInput):
        lock(store, view, wrong, clock=clock)


def test_two_tasters_take_turns_and_see_nothing_until_both_have_answered(store, clock):
    made = begun(store, clock, TWO)
    assert [(one.round.sitting, one.round.taster) for one in made.view.rounds] == [
        (1, 0),
        (1, 1),
        (2, 0),
        (2, 1),
    ]
    view = answered(store, clock, made.view, made.key)
    assert view.opened == ()
    assert view.is_sealed
    view = answered(store, clock, view, made.key)
    assert len(view.opened) == 2


def test_sealed_kinds_open_nothing_before_the_last_planned_round(store, clock):
    made = begun(store, clock, SEALED)
    view = made.view
    for _ in range(2):
        view = said(store, clock, view, made.key, grade=2)
        assert view.opened == ()
    view = said(store, clock, view, made.key, grade=-1)
    assert len(view.opened) == 3


def test_a_sealed_trial_may_be_ended_early_and_counts_what_was_answered(store, clock, words):
    made = begun(store, clock, SEALED)
    with pytest.raises(BadInput):
        end_early(store, made.view, clock=clock)
    view = said(store, clock, made.view, made.key, grade=2)
    view = end_early(store, view, clock=clock).value
    assert view.next is None
    assert view.voided == 0
    assert len(open_due(store, view, made.key, clock=clock).value.opened) == 1


def test_a_round_set_aside_does_not_count_and_is_made_up_for(store, clock):
    made = begun(store, clock, SEALED)
    view = said(store, clock, made.view, made.key, grade=2)
    aside = view.rounds[0].round
    codes = in_a_row()
    void(store, view, aside.id, VoidReason.TOLD, clock=clock, codes=lambda n, taken: ("901", "902"))
    view = trial_view(store, view.trial.id)
    assert len(view.rounds) == 4
    assert view.rounds[-1].round.taster == aside.taster
    assert view.answered == 0
    for _ in range(3):
        view = said(store, clock, view, made.key, grade=1)
    assert len(view.opened) == 3
    assert codes


def test_what_was_opened_cannot_be_set_aside(store, clock, words):
    made = begun(store, clock)
    view = answered(store, clock, made.view, made.key)
    with pytest.raises(BadInput) as refused:
        void(store, view, view.rounds[0].round.id, VoidReason.OTHER, clock=clock, codes=in_a_row())
    assert "opened or set aside already" in words.sentence(refused.value)


def test_an_open_trial_goes_on_beyond_its_plan_and_a_sealed_one_does_not(store, clock):
    made = begun(store, clock, replace(SWIRL, rounds_planned=1))
    view = answered(store, clock, made.view, made.key)
    assert view.next is None
    more = go_on(store, view, clock=clock, codes=lambda n, taken: ("701", "702")).value
    assert more.next.round.number == 2
    sealed = begun(store, clock, SEALED, seed=2)
    with pytest.raises(BadInput):
        go_on(store, sealed.view, clock=clock, codes=in_a_row())


def test_a_key_is_read_as_people_type_it_and_another_is_refused(store, clock, words):
    made = begun(store, clock)
    assert checked_key(made.view.trial, made.key.lower().replace("-", " ")) == made.key
    assert checked_key(made.view.trial, made.key.replace("0", "o").replace("1", "l")) == made.key
    with pytest.raises(BadInput) as refused:
        checked_key(made.view.trial, new_key(same_bytes(9)))
    assert "not the key of this trial" in words.sentence(refused.value)


def test_an_interrupted_trial_is_taken_up_with_the_key_typed_from_the_sheet(store, clock):
    made = begun(store, clock)
    answered(store, clock, made.view, made.key)
    drop_key(store, made.view.trial.id)
    view = trial_view(store, made.view.trial.id)
    assert find_key(store, view.trial) is None
    assert view.next.round.number == 2
    view = answered(store, clock, view, checked_key(view.trial, made.key.lower()))
    assert len(view.opened) == 2


def test_another_key_in_the_file_is_no_key(store, clock):
    made = begun(store, clock)
    key_file(store, made.view.trial.id).write_text("ABCD", "utf-8")
    assert find_key(store, made.view.trial) is None


@pytest.mark.parametrize(
    ("kind", "orders"),
    [
        (TrialKind.NAMED_PAIR, 2),
        (TrialKind.GRADED_PAIRS, 2),
        (TrialKind.GROUPING, 6),
        (TrialKind.TRIANGLE, 6),
    ],
)
def test_every_order_of_cups_comes_alike_often(store, clock, kind, orders):
    made = begun(store, clock, replace(SWIRL, kind=kind, rounds_planned=1))
    trial, one = made.view.trial, made.view.rounds[0].round
    seen = Counter(
        brews_in(trial, made.key, replace(one, number=number)) for number in range(1, 1201)
    )
    assert len(seen) == orders
    # Pearson's chi-square of fair orders, 1200 draws: the 99.99 % point with 5 degrees of freedom
    # is 25.7 and with 1 it is 15.1 (tables of the chi-square law).
    fair = 1200 / orders
    assert sum((count - fair) ** 2 / fair for count in seen.values()) < (15.1, 25.7)[orders > 2]


def test_one_pair_in_four_holds_the_same_brew_twice_where_liking_is_asked(store, clock):
    made = begun(store, clock, replace(SWIRL, kind=TrialKind.PREFERENCE, rounds_planned=16))
    twice = [
        len(set(brews_in(made.view.trial, made.key, one.round))) == 1 for one in made.view.rounds
    ]
    assert [sum(twice[at : at + 4]) for at in range(0, 16, 4)] == [1, 1, 1, 1]


def test_another_key_gives_another_assignment(store, clock):
    made = begun(store, clock, replace(SWIRL, rounds_planned=40))
    other = new_key(same_bytes(5))
    rounds = [one.round for one in made.view.rounds]
    mine = [brews_in(made.view.trial, made.key, one) for one in rounds]
    assert mine != [brews_in(made.view.trial, other, one) for one in rounds]


def test_a_trial_taken_off_the_list_comes_back(store, clock):
    made = begun(store, clock)
    bury_trial(store, made.view.trial.id, clock=clock)
    assert all_trials(store) == ()
    unbury_trial(store, made.view.trial.id, clock=clock)
    assert len(all_trials(store)) == 1


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"rounds_planned": 0}, "A trial of 0 answers"),
        ({"names": ("one", "One")}, "the same name"),
        ({"names": ("one",)}, "1 brews cannot be compared"),
        ({"names": ("one", " ")}, "Give each brew a name"),
        ({"tasters": ()}, "0 tasters"),
        ({"tasters": ("Ada", "ada")}, "Two tasters have the same name"),
        ({"tasters": ("Ada", "")}, "Give each taster a name"),
        ({"smaller_than_d": 0.0}, "A bound of 0"),
        ({"kind": TrialKind.DUO_TRIO}, "read from paper only"),
    ],
)
def test_a_trial_that_cannot_be_is_refused_and_nothing_is_kept(store, clock, words, changed, told):
    plan = replace(SWIRL, **changed)
    with pytest.raises(BadInput) as refused:
        begin_trial(store, plan, clock=clock, codes=in_a_row(), entropy=same_bytes())
    assert told in words.sentence(refused.value)
    assert all_trials(store) == ()
    assert not (store.path.parent / "helper-keys").exists()


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"number": 0}, "no round 0"),
        ({"codes": ("101", "101")}, "three digits"),
        ({"codes": ("1", "102")}, "three digits"),
    ],
)
def test_a_round_that_cannot_be_is_refused(words, changed, told):
    good = TrialRound(
        id=uuid4(), trial_id=uuid4(), number=1, sitting=1, taster=0, codes=("101", "102")
    )
    with pytest.raises(BadInput) as refused:
        replace(good, **changed)
    assert told in words.sentence(refused.value)


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"temperature_c": 120.0}, "not served at 120"),
        ({"weights_g": (0.0, 200.0)}, "A drink of 0"),
        ({"strengths": (0.5, None)}, "A strength of 50"),
    ],
)
def test_a_serving_that_cannot_be_is_refused(store, clock, words, given, told):
    made = begun(store, clock)
    with pytest.raises(BadInput) as refused:
        serve(store, made.view, made.key, clock=clock, **given)
    assert told in words.sentence(refused.value)


def test_a_grade_off_the_scale_is_refused(words):
    with pytest.raises(BadInput) as refused:
        TrialAnswer(id=uuid4(), round_id=uuid4(), locked_at=None, grade=4)
    assert "not on the scale" in words.sentence(refused.value)
    assert Sureness.SURE


def test_opening_twice_changes_nothing(store, clock):
    made = begun(store, clock)
    view = answered(store, clock, made.view, made.key)
    assert open_due(store, view, made.key, clock=clock).value == view
