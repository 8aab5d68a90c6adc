"""Results of trials that were done on paper: counted there, entered and judged here."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from uuid import uuid4

from halfclick.errors import BadInput
from halfclick.model.trial_finding import TrialFinding
from halfclick.model.trial_kinds import TrialKind
from halfclick.service.done import Done, Touched
from halfclick.service.trial_views import TrialView, trials_ever
from halfclick.service.trials import TrialPlan, trial_on_paper
from halfclick.store.journal import Store

# Kinds whose answers are right or wrong, and so can be counted on paper.
ON_PAPER = (
    TrialKind.TRIANGLE,
    TrialKind.GROUPING,
    TrialKind.DUO_TRIO,
    TrialKind.THREE_CHOICE,
    TrialKind.NAMED_PAIR,
)
MOST_ANSWERS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What stands on the paper: right answers of those asked, and who liked which, if asked.

    `any_time`: it was looked at on the way, and could have been stopped.
    """

    right: int | None
    asked: int | None
    liked_first: int = 0
    liked_second: int = 0
    liked_neither: int = 0
    any_time: bool = False


def file_paper(
    store: Store, plan: TrialPlan, counted: Counted, *, clock: Callable[[], datetime]
) -> Done[TrialView]:
    """Keep a trial from paper with its verdict.

    Raises:
        BadInput: the kind cannot be counted, or the counts cannot be.
    """
    from halfclick.service.trial_verdict import (  # loads scipy
        habits_tried,
        numbers_of,
        paper_conditions,
        told_of_counts,
    )

    right, asked = _require(plan.kind, counted)
    now = clock()
    trial = trial_on_paper(store, plan, now)
    given = {
        "right": float(right),
        "asked": float(asked),
        "liked_first": float(counted.liked_first),
        "liked_second": float(counted.liked_second),
        "liked_neither": float(counted.liked_neither),
        "any_time": float(counted.any_time),
    }
    tried = habits_tried(TrialView(trial=trial), trials_ever(store))
    told = told_of_counts(trial, given, paper_conditions(trial, tried))
    finding = TrialFinding(
        id=uuid4(),
        trial_id=trial.id,
        filed_at=now,
        finding=told.main.finding,
        about_habit=told.main.about_habit,
        numbers={**given, **numbers_of(told.main)},
    )
    with store.writing(now) as w:
        w.add(trial)
        w.add(finding)
    return Done(TrialView(trial=trial, finding=finding), Touched.TRIALS | Touched.BREWS)


def _require(kind: TrialKind, counted: Counted) -> tuple[int, int]:
    if kind not in ON_PAPER:
        raise BadInput("trial_paper.bad_kind")
    if counted.asked is None or not 1 <= counted.asked <= MOST_ANSWERS:
        raise BadInput("trial_paper.bad_asked", most=MOST_ANSWERS)
    if counted.right is None or not 0 <= counted.right <= counted.asked:
        raise BadInput("trial_paper.bad_right", asked=counted.asked)
    liked = (counted.liked_first, counted.liked_second, counted.liked_neither)
    if min(liked) < 0 or sum(liked) > counted.asked:
        raise BadInput("trial_paper.bad_liked", asked=counted.asked)
    return counted.right, counted.asked
