"""Blind trials as they stand: each with its rounds, what is due, and what was found."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, TypeVar
from uuid import UUID

from halfclick.model.trial import Trial
from halfclick.model.trial_finding import TrialFinding
from halfclick.model.trial_round import (
    TrialAnswer,
    TrialOpening,
    TrialRound,
    TrialServing,
    TrialVoid,
    VoidReason,
)
from halfclick.store.journal import Reader, Store

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundView:
    """A round with all that happened to it."""

    round: TrialRound
    serving: TrialServing | None = None
    answer: TrialAnswer | None = None
    void: TrialVoid | None = None
    opening: TrialOpening | None = None

    @property
    def open_to_answer(self) -> bool:
        """Whether it waits for its answer."""
        return self.answer is None and self.void is None

    @property
    def counts(self) -> bool:
        """Whether its answer stands."""
        return self.answer is not None and self.void is None


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialView:
    """A trial with its rounds in order and its finding, where it has one."""

    trial: Trial
    rounds: tuple[RoundView, ...] = ()
    finding: TrialFinding | None = None

    @property
    def next(self) -> RoundView | None:
        """The round whose turn it is; None where all are answered, or the trial is over."""
        if self.finding is not None:
            return None
        return next((one for one in self.rounds if one.open_to_answer), None)

    @property
    def answered(self) -> int:
        """How many answers stand."""
        return sum(one.counts for one in self.rounds)

    @property
    def opened(self) -> tuple[RoundView, ...]:
        """The rounds that count and were opened, in their order."""
        return tuple(one for one in self.rounds if one.counts and one.opening is not None)

    @property
    def voided(self) -> int:
        """How many rounds were set aside after they were served."""
        return sum(
            one.void is not None and one.void.reason is not VoidReason.ENDED for one in self.rounds
        )

    @property
    def due(self) -> tuple[RoundView, ...]:
        """The answered rounds that may be opened now.

        Where trials show as they go, those of a sitting that all its tasters are through with;
        else all of them, once none is left to answer.
        """
        unopened = [one for one in self.rounds if one.counts and one.opening is None]
        if not self.trial.shows_as_it_goes:
            return () if any(one.open_to_answer for one in self.rounds) else tuple(unopened)
        waiting = {one.round.sitting for one in self.rounds if one.open_to_answer}
        return tuple(one for one in unopened if one.round.sitting not in waiting)

    @property
    def is_sealed(self) -> bool:
        """Whether answers were given that are not to be looked at yet."""
        return any(one.counts and one.opening is None for one in self.rounds)


def trial_view(store: Store, trial_id: UUID) -> TrialView:
    """Return a trial with its rounds.

    Raises:
        NotFound: the journal has no such trial.
    """
    with store.reading() as r:
        return view_in(r, r.get(Trial, trial_id))


def all_trials(store: Store) -> tuple[TrialView, ...]:
    """Return every trial, the newest first."""
    with store.reading() as r:
        return views_in(r, reversed(r.all(Trial)))


def trials_ever(store: Store) -> tuple[TrialView, ...]:
    """Return every trial, those taken off the list too: a habit that was tried stays tried."""
    with store.reading() as r:
        gone = r.buried(Trial, datetime.max.replace(tzinfo=UTC))
        return views_in(r, [*reversed(r.all(Trial)), *gone])


def view_in(r: Reader, trial: Trial) -> TrialView:
    """Return a trial with its rounds, inside a block."""
    return views_in(r, (trial,))[0]


def views_in(r: Reader, trials: Iterable[Trial]) -> tuple[TrialView, ...]:
    """Return trials with their rounds, inside a block; each kind of fact is read once."""
    findings = {one.trial_id: one for one in r.all(TrialFinding)}
    rounds: dict[UUID, list[RoundView]] = defaultdict(list)
    servings = _first_by_round(reversed(r.all(TrialServing)))
    # The first holds: an answer is locked, and two journals that met may hold two.
    answers = _first_by_round(r.all(TrialAnswer))
    voids = _first_by_round(r.all(TrialVoid))
    openings = _first_by_round(r.all(TrialOpening))
    for one in sorted(r.all(TrialRound), key=lambda one: one.number):
        told = RoundView(
            round=one,
            serving=servings.get(one.id),
            answer=answers.get(one.id),
            void=voids.get(one.id),
            opening=openings.get(one.id),
        )
        rounds[one.trial_id].append(told)
    return tuple(
        TrialView(trial=one, rounds=tuple(rounds[one.id]), finding=findings.get(one.id))
        for one in trials
    )


def _first_by_round(facts: Iterable[T]) -> dict[UUID, T]:
    found: dict[UUID, T] = {}
    for fact in facts:
        named: Any = fact
        found.setdefault(named.round_id, fact)
    return found
