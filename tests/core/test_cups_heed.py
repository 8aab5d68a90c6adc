"""What the cups propose where a trial found a habit to be small: anything but that habit."""

from dataclasses import replace
from uuid import uuid4

import pytest
from some_trials import SWIRL, begun
from test_next_brew import TODAY, Home

from halfclick.dialling.propose import Action, Proposal
from halfclick.dialling.request import Settings
from halfclick.dialling.stopping import Status
from halfclick.model.tasting import Marks
from halfclick.model.trial import Habit
from halfclick.model.trial_finding import TrialFinding
from halfclick.model.trial_kinds import Finding
from halfclick.service import cups_heed
from halfclick.service.next_brew import Side, advise_by_cups

HERE = Settings(setting=18.0)


@pytest.mark.parametrize(
    ("after", "habit"),
    [
        (replace(HERE, water_c=95.0), Habit.HOTTER),
        (replace(HERE, water_c=91.0), None),
        (replace(HERE, setting=16.0), Habit.FINER),
        (replace(HERE, setting=20.0), None),
        (replace(HERE, pour_g_s=4.0), Habit.SLOW_POUR),
        (replace(HERE, bloom_s=60.0), Habit.LONG_BLOOM),
        (replace(HERE, swirl=1.0), Habit.STIR_BLOOM),
        (replace(HERE, swirl=1.0, ratio=15.0), None),
        (HERE, None),
    ],
)
def test_a_habit_is_a_lever_moved_its_way_and_nothing_else(after, habit):
    assert cups_heed.habit_of(HERE, after) is habit


def test_a_small_habit_holds_its_lever_back_that_way_and_leaves_the_other_open(store, clock):
    home = Home(store, clock)
    bag = home.bag("Tarn Hollow")
    last = home.cup(bag, marks=Marks(sour=6.0, bitter=3.0, thin=5.0, harsh=2.0, sweet=3.0))
    asked, _ = home.asked(last)
    levers = asked.request.context.levers
    hotter = cups_heed._held_back(asked, Habit.HOTTER, HERE).request.context.levers
    slower = cups_heed._held_back(asked, Habit.SLOW_POUR, HERE).request.context.levers
    assert hotter["water_c"] == (levers["water_c"][0], 93.0, levers["water_c"][2])
    assert slower["pour_g_s"] == (5.0, *levers["pour_g_s"][1:])
    assert {name for name in levers if hotter[name] != levers[name]} == {"water_c"}


def found_small(store, clock, habit: Habit) -> None:
    names = (habit.value, "without it")
    view = begun(store, clock, replace(SWIRL, habit=habit, names=names), seed=ord(habit[0])).view
    finding = TrialFinding(
        id=uuid4(),
        trial_id=view.trial.id,
        filed_at=clock.advance(60),
        finding=Finding.SMALLER,
        about_habit=True,
        numbers={"asked": 24.0, "dprime_low": 0.0, "dprime_high": 0.6},
    )
    with store.writing(clock()) as w:
        w.add(finding)


def test_the_cups_propose_no_habit_that_a_trial_found_small(store, clock):
    """Each habit the cups propose is found small in turn, until they propose none of those."""
    home = Home(store, clock)
    bag = home.bag("Tarn Hollow")
    taste = Marks(sour=6.0, bitter=3.0, thin=5.0, harsh=2.0, sweet=3.0)
    home.cup(bag, text="18", marks=taste, liking=5)
    last = home.cup(bag, text="16", drained_s=165.0, marks=taste, liking=5)
    small: set[Habit] = set()
    for _ in cups_heed.MOVES:
        voices = advise_by_cups(store, last.id, today=TODAY)
        if voices.cups is None or voices.proposal.action is not Action.CHANGE:
            break
        asked, _ = home.asked(last)
        before = asked.request.history[voices.proposal.from_cup].settings
        habit = cups_heed.habit_of(before, voices.proposal.settings)
        assert habit not in small
        if habit is None:
            break
        found_small(store, clock, habit)
        small.add(habit)
    assert voices.cups is not None or voices.side is Side.RULES


class Eager:
    """A learner that always wants one habit, as far as its lever reaches."""

    def __init__(self, habit: Habit) -> None:
        self.lever, self.way = cups_heed.MOVES[habit]
        self.asked = 0

    def __call__(self, request):
        self.asked += 1
        before = request.history[-1].settings
        low, high, _ = request.context.levers.get(self.lever, (0.0, 100.0, 1.0))
        after = replace(before, **{self.lever: high if self.way > 0 else low})
        proposal = Proposal(
            action=Action.CHANGE,
            settings=after,
            from_cup=len(request.history) - 1,
            best=after,
            status=Status.SEARCHING,
            confidence=0.5,
            why=(),
            expected={},
            marks={},
        )
        return proposal, "who decided"


@pytest.mark.parametrize("habit", cups_heed.MOVES)
def test_whoever_wants_a_small_habit_is_asked_once_more_without_it(
    store, clock, monkeypatch, habit
):
    home = Home(store, clock)
    last = home.cup(home.bag("Tarn Hollow"), marks=Marks(sour=6.0), liking=5)
    asked, _ = home.asked(last)
    eager = Eager(habit)
    monkeypatch.setattr(cups_heed, "consider", eager)
    _, proposal, decider = cups_heed.heeding(asked, ())
    before = asked.request.history[-1].settings
    assert (cups_heed.habit_of(before, proposal.settings), eager.asked) == (habit, 1)
    assert decider == "who decided"
    _, proposal, decider = cups_heed.heeding(asked, {habit})
    if habit is Habit.FINER:
        assert decider is None  # the rules speak alone
    else:
        assert cups_heed.habit_of(before, proposal.settings) is None
        assert eager.asked == 3
