"""Trials for tests: a plan, codes in a row, and bytes that are the same in every run."""

from collections.abc import Callable
from random import Random
from uuid import uuid4

from halfclick.model.trial import Habit
from halfclick.model.trial_kinds import Blinding, Question, Sureness, TrialKind
from halfclick.model.trial_round import TrialAnswer
from halfclick.service.trial_seal import brews_in
from halfclick.service.trial_views import TrialView, trial_view
from halfclick.service.trials import TrialPlan, begin_trial, lock, open_due

SWIRL = TrialPlan(
    kind=TrialKind.NAMED_PAIR,
    question=Question.THE_HABIT,
    names=("with the swirl", "without the swirl"),
    tasters=("Ada",),
    rounds_planned=12,
    smaller_than_d=1.5,
    blinding=Blinding.SERVED,
    habit=Habit.SWIRL,
)


def in_a_row() -> Callable[[int, object], tuple[str, ...]]:
    """Return what gives 101, 102 and so on."""
    numbers = iter(range(101, 1000))
    return lambda count, taken: tuple(str(next(numbers)) for _ in range(count))


def same_bytes(seed: int = 1) -> Callable[[int], bytes]:
    """Return what gives the same bytes in every run."""
    random = Random(seed)
    return random.randbytes


def begun(store, clock, plan: TrialPlan = SWIRL, seed: int = 1):
    """Begin a trial, and return it with its key."""
    done = begin_trial(store, plan, clock=clock, codes=in_a_row(), entropy=same_bytes(seed))
    return done.value


def answered(
    store,
    clock,
    view: TrialView,
    key: str,
    *,
    right: bool = True,
    sureness: Sureness = Sureness.SURE,
    opens: bool = True,
) -> TrialView:
    """Answer the next round of a named pair rightly or wrongly, and open what is due."""
    following = view.next
    place = brews_in(view.trial, key, following.round).index(0 if right else 1)
    return said(store, clock, view, key, opens=opens, chosen=(place,), sureness=sureness)


def said(store, clock, view: TrialView, key: str, *, opens: bool = True, **answer) -> TrialView:
    """Answer the next round, and open what is due."""
    told = TrialAnswer(id=uuid4(), round_id=view.next.round.id, locked_at=clock(), **answer)
    lock(store, view, told, clock=clock)
    clock.advance(60)
    view = trial_view(store, view.trial.id)
    return open_due(store, view, key, clock=clock).value if opens else view
