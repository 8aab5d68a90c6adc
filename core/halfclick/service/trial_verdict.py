"""What a trial says so far or in the end: its opened rounds as the verdicts' mathematics take them.

numpy and scipy come with the mathematics, so this module is loaded when a verdict is asked for.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from math import isfinite
from uuid import uuid4

from halfclick.errors import BadInput
from halfclick.model.trial import Habit, Trial
from halfclick.model.trial_finding import TrialFinding
from halfclick.model.trial_kinds import Liked, Looked, Question, Sureness, TrialKind
from halfclick.model.trial_round import TrialAnswer, TrialOpening
from halfclick.service.done import Done, Touched
from halfclick.service.trial_keys import drop_key
from halfclick.service.trial_subjects import SideRecord
from halfclick.service.trial_views import RoundView, TrialView
from halfclick.store.journal import Store
from halfclick.trials import named_pair, panel, verdict
from halfclick.trials.betting import bar_for
from halfclick.trials.claims import Conditions
from halfclick.trials.psychometric import GUESSED, Protocol
from halfclick.trials.strength_check import (
    NOTICED_STRENGTH,
    StrengthCheck,
    compare_strengths,
    compare_weights,
)
from halfclick.trials.verdict import Verdict
from halfclick.wording import Message, number

PROTOCOLS = {
    TrialKind.NAMED_PAIR: Protocol.PAIR,
    TrialKind.GROUPING: Protocol.GROUPING,
    TrialKind.TRIANGLE: Protocol.TRIANGLE,
    TrialKind.DUO_TRIO: Protocol.DUO_TRIO,
    TrialKind.THREE_CHOICE: Protocol.THREE_CHOICE,
}
# Two brews of a pair agree where their weights lie within so large a share (our own default).
ALIKE_SHARE = 0.03
# A strength check is of two brews.
SIDES = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """The verdict of a trial; `liking` is of the question asked beside the main one."""

    main: Verdict
    liking: Verdict | None = None


def tell(view: TrialView, others: Sequence[TrialView], records: Sequence[SideRecord] = ()) -> Told:
    """Return the verdict of what was opened so far.

    Args:
        view: the trial.
        others: every trial there ever was, for how many habits were tried.
        records: what the journal knows of each side's strength, in the order of the names.
    """
    conditions = _conditions(view, habits_tried(view, others), records)
    if view.trial.seal is None:
        return _told_of_paper(view, conditions)
    main = _MAIN[view.trial.kind](view, conditions)
    return Told(main=main, liking=_liking(view, conditions))


def running(view: TrialView, others: Sequence[TrialView]) -> named_pair.Running:
    """Return the evidence after each opened pair, against the bar that stands today."""
    return named_pair.run(
        pair_answers(view),
        bound_dprime=view.trial.smaller_than_d,
        bar=bar_for(habits_tried(view, others)),
    )


def file_finding(
    store: Store, view: TrialView, told: Told, *, clock: Callable[[], datetime]
) -> Done[TrialFinding]:
    """Close a trial with its verdict, and take the helper's key away where all is opened.

    Raises:
        BadInput: nothing was opened, so there is nothing to file; or it is closed already.
    """
    if view.finding is not None:
        raise BadInput("trial.is_over")
    if told.main.asked == 0:
        raise BadInput("trial.nothing_opened")
    now, main = clock(), told.main
    finding = TrialFinding(
        id=uuid4(),
        trial_id=view.trial.id,
        filed_at=now,
        finding=main.finding,
        about_habit=main.about_habit,
        numbers=numbers_of(main),
    )
    with store.writing(now) as w:
        w.add(finding)
    if not view.is_sealed:
        drop_key(store, view.trial.id)
    return Done(finding, Touched.TRIALS | Touched.BREWS)


def numbers_of(told: Verdict) -> dict[str, float]:
    """Return the numbers of a verdict by name; what is not known or infinite is left out."""
    within = told.dprime_within
    known = {
        "asked": told.asked,
        "right": told.right,
        "evidence": told.evidence,
        "bar": told.bar,
        "p": told.p,
        "alpha": told.alpha,
        "dprime": told.dprime,
        "dprime_low": within.low if within else None,
        "dprime_high": within.high if within else None,
        "smaller_than": told.smaller_than,
        "right_share": told.right_share,
    }
    return {
        name: float(value) for name, value in known.items() if value is not None and isfinite(value)
    }


def habits_tried(view: TrialView, others: Sequence[TrialView]) -> int:
    """Return how many habits were put to trial here, this one included; 1 where it is of none.

    Of a filed trial, until it was filed: what is tried later does not take back what was found.
    """
    if view.trial.habit is None:
        return 1
    until = view.finding.filed_at if view.finding else None
    tried = {_habit_of(one.trial) for one in others if _was_looked_at(one, until)}
    tried.add(_habit_of(view.trial))
    return len(tried - {""})


def pair_answers(view: TrialView) -> tuple[named_pair.PairAnswer, ...]:
    """Return the opened answers of a named pair: right where the first brew's cup was named."""
    return tuple(
        named_pair.PairAnswer(
            right=_cup_chosen(one) == 0, sureness=_answer(one).sureness or Sureness.GUESS
        )
        for one in view.opened
    )


def is_right(kind: TrialKind, one: RoundView) -> bool:
    """Return whether an opened answer was right."""
    brews, chosen = _opening(one).brews, _answer(one).chosen
    if kind is TrialKind.GROUPING:
        return brews[chosen[0]] == brews[chosen[1]]
    if kind is TrialKind.TRIANGLE:
        return brews.count(brews[chosen[0]]) == 1
    return brews[chosen[0]] == 0


def score_of(one: RoundView) -> int:
    """Return a graded answer, positive towards the first brew."""
    grade = _answer(one).grade or 0
    return grade if _opening(one).brews[1] == 0 else -grade


def liked_of(one: RoundView) -> Liked:
    """Return which brew was liked better in an opened round."""
    place = _answer(one).liked
    if place is None:
        return Liked.NEITHER
    return Liked.WITH if _opening(one).brews[place] == 0 else Liked.WITHOUT


def ranks_of(one: RoundView, brews: int) -> tuple[int | None, ...]:
    """Return the rank of each brew in an opened round, from 1, in the order of the names.

    None of a brew that the round did not hold.
    """
    order = [_opening(one).brews[place] for place in _answer(one).chosen]
    return tuple(order.index(brew) + 1 if brew in order else None for brew in range(brews))


def strength_check(view: TrialView, records: Sequence[SideRecord] = ()) -> StrengthCheck | None:
    """Return how far apart the two brews' strengths were; None where nothing tells.

    What the helper read comes first, then what was read of the two brews in the history, then the
    weights the helper kept, then those of the history; weights need a dose to tell of strength.
    """
    if len(view.trial.names) != SIDES:
        return None
    strengths = _measured(view, "strengths")
    if not all(strengths):
        strengths = [[one.strength] if one.strength else [] for one in records]
    if len(strengths) == SIDES and all(strengths):
        return compare_strengths(*strengths)
    if len(records) != SIDES:
        return None
    weights_g = _measured(view, "weights_g")
    if not all(weights_g):
        weights_g = [[one.beverage_g] if one.beverage_g else [] for one in records]
    if not all(weights_g):
        return None
    with_it, without = (
        [(record.dose_g, one) for one in side]
        for record, side in zip(records, weights_g, strict=True)
    )
    return compare_weights(with_it, without)


def _measured(view: TrialView, what: str) -> list[list[float]]:
    """Return what was measured of each side's cups in the rounds that were opened."""
    sides: list[list[float]] = [[] for _ in view.trial.names]
    for opening in map(_opening, view.opened):
        for brew, value in zip(opening.brews, getattr(opening, what), strict=False):
            if value is not None:
                sides[brew].append(value)
    return sides


def logs_match(view: TrialView) -> bool:
    """Return whether both brews were weighed each time, and came out alike within our limits."""
    openings = [_opening(one) for one in view.opened]
    if not openings:
        return False
    for opening in openings:
        weights_g = opening.weights_g
        if not weights_g or any(weight_g is None for weight_g in weights_g):
            return False
        known_g = [weight_g for weight_g in weights_g if weight_g is not None]
        if max(known_g) - min(known_g) > ALIKE_SHARE * max(known_g):
            return False
    check = strength_check(view)
    return check is None or abs(check.gap_strength or 0.0) < NOTICED_STRENGTH


def _conditions(view: TrialView, tried: int, records: Sequence[SideRecord] = ()) -> Conditions:
    trial = view.trial
    return Conditions(
        question=trial.question,
        blinding=trial.blinding,
        fresh_brews=trial.brews_each_round,
        logs_match=logs_match(view),
        habits_tried=tried,
        tasters=len(trial.tasters),
        strength=strength_check(view, records),
        of_a_habit=trial.habit is not None,
        names=trial.names,
    )


def _of_named_pair(view: TrialView, conditions: Conditions) -> Verdict:
    return verdict.of_named_pair(pair_answers(view), conditions, view.trial.smaller_than_d)


def _of_graded_pairs(view: TrialView, conditions: Conditions) -> Verdict:
    scores = [score_of(one) for one in view.opened]
    return verdict.of_graded_pairs(scores, conditions, view.trial.smaller_than_d)


def _of_counted(view: TrialView, conditions: Conditions) -> Verdict:
    kind = view.trial.kind
    right = sum(is_right(kind, one) for one in view.opened)
    found = verdict.of_counted(
        PROTOCOLS[kind],
        right,
        len(view.opened),
        conditions,
        bound_dprime=view.trial.smaller_than_d,
    )
    if len(view.trial.tasters) == 1 or not view.opened:
        return found
    return replace(found, sentences=(*found.sentences, _of_panel(view)))


def _of_panel(view: TrialView) -> Message:
    """Return how unlike one another the tasters are, or why that cannot be told."""
    kind = view.trial.kind
    by_taster = [
        [is_right(kind, one) for one in view.opened if one.round.taster == taster]
        for taster in range(len(view.trial.tasters))
    ]
    right, asked = [sum(one) for one in by_taster], [len(one) for one in by_taster]
    try:
        fit = panel.fit_panel(right, asked, GUESSED[PROTOCOLS[kind]])
    except BadInput as few:
        return Message(few.code, few.values)
    values = {"spread": number(fit.spread, 2), "p": number(fit.p_alike, 3)}
    return Message("verdict.panel_spread", values)


def _of_preference(view: TrialView, conditions: Conditions) -> Verdict:
    twice = [one for one in view.opened if len(set(_opening(one).brews)) == 1]
    pairs = [one for one in view.opened if len(set(_opening(one).brews)) > 1]
    return verdict.of_preference(
        [liked_of(one) for one in pairs], conditions, identical=[liked_of(one) for one in twice]
    )


def _of_ranking(view: TrialView, conditions: Conditions) -> Verdict:
    ranks = [ranks_of(one, len(view.trial.names)) for one in view.opened]
    foretold = tuple(range(1, len(view.trial.names) + 1)) if view.trial.predicted else None
    return verdict.of_ranking(ranks, conditions, foretold)


_MAIN: dict[TrialKind, Callable[[TrialView, Conditions], Verdict]] = {
    TrialKind.NAMED_PAIR: _of_named_pair,
    TrialKind.GRADED_PAIRS: _of_graded_pairs,
    TrialKind.GROUPING: _of_counted,
    TrialKind.TRIANGLE: _of_counted,
    TrialKind.PREFERENCE: _of_preference,
    TrialKind.RANKING: _of_ranking,
}


def _liking(view: TrialView, conditions: Conditions) -> Verdict | None:
    """Return the verdict of what was liked, asked after each answer of another kind."""
    if not view.trial.asks_liking or view.trial.kind is TrialKind.PREFERENCE:
        return None
    return verdict.of_preference([liked_of(one) for one in view.opened], _better(conditions))


def _told_of_paper(view: TrialView, conditions: Conditions) -> Told:
    numbers = dict(view.finding.numbers) if view.finding else {}
    return told_of_counts(view.trial, numbers, conditions)


def told_of_counts(trial: Trial, numbers: dict[str, float], conditions: Conditions) -> Told:
    """Return the verdict of counts read from paper: right, asked, and who liked which."""
    looked = Looked.ANY_TIME if numbers.get("any_time") else Looked.AT_THE_END
    main = verdict.of_counted(
        PROTOCOLS[trial.kind],
        round(numbers.get("right", 0)),
        round(numbers.get("asked", 0)),
        conditions,
        looked,
        bound_dprime=trial.smaller_than_d,
    )
    choices = [
        liked
        for name, liked in (
            ("liked_first", Liked.WITH),
            ("liked_second", Liked.WITHOUT),
            ("liked_neither", Liked.NEITHER),
        )
        for _ in range(round(numbers.get(name, 0)))
    ]
    liking = verdict.of_preference(choices, _better(conditions), looked) if choices else None
    return Told(main=main, liking=liking)


def paper_conditions(trial: Trial, tried: int) -> Conditions:
    """Return how a trial on paper was done, as far as it was told."""
    return _conditions(TrialView(trial=trial), tried)


def _better(conditions: Conditions) -> Conditions:
    return replace(conditions, question=Question.BETTER)


def _habit_of(trial: Trial) -> str:
    """Return the habit a trial is of; one in a person's own words is told by its name."""
    if trial.habit is None:
        return ""
    return trial.names[0].casefold() if trial.habit is Habit.OTHER else trial.habit.value


def _was_looked_at(one: TrialView, until: datetime | None) -> bool:
    """Return whether anything of a trial was known by a time; None: by now."""
    known = [each.opening.opened_at for each in one.opened if each.opening is not None]
    if one.finding is not None:
        known.append(one.finding.filed_at)
    return any(until is None or at <= until for at in known)


def _cup_chosen(one: RoundView) -> int:
    """Return which brew stood in the cup that was named."""
    return _opening(one).brews[_answer(one).chosen[0]]


def _opening(one: RoundView) -> TrialOpening:
    if one.opening is None:
        raise ValueError(f"not opened: {one}")
    return one.opening


def _answer(one: RoundView) -> TrialAnswer:
    if one.answer is None:
        raise ValueError(f"not answered: {one}")
    return one.answer
