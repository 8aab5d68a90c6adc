"""Blind trials: begun, served, answered, set aside, opened, and gone on with."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from halfclick.errors import BadInput
from halfclick.model.brew import KitUsed
from halfclick.model.trial import FEWEST_RANKED, MOST_ROUNDS, SERVED, Habit, Trial
from halfclick.model.trial_kinds import Blinding, Question, TrialKind
from halfclick.model.trial_round import (
    TrialAnswer,
    TrialOpening,
    TrialRound,
    TrialServing,
    TrialVoid,
    VoidReason,
    require_measured,
)
from halfclick.service.done import Done, Touched
from halfclick.service.kitchens import kit_in_use
from halfclick.service.trial_codes import Codes
from halfclick.service.trial_keys import find_key, keep_key
from halfclick.service.trial_seal import Entropy, brews_in, new_key, seal_of, sealed, unsealed
from halfclick.service.trial_views import RoundView, TrialView, view_in
from halfclick.store.journal import Store, Writer

Clock = Callable[[], datetime]


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialPlan:
    """A trial before it is begun; the fields are those of `Trial`.

    `cups` of a round is for rankings, of which a round may hold some of the brews; None is all.
    """

    kind: TrialKind
    question: Question
    names: tuple[str, ...]
    tasters: tuple[str, ...]
    rounds_planned: int
    smaller_than_d: float
    blinding: Blinding
    habit: Habit | None = None
    brew_ids: tuple[UUID, ...] = ()
    bag_id: UUID | None = None
    split: bool = False
    asks_liking: bool = False
    predicted: bool = False
    note: str = ""
    cups: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """A trial that was begun, and the helper's key: it is printed, and not in the journal."""

    view: TrialView
    key: str


def begin_trial(
    store: Store, plan: TrialPlan, *, clock: Clock, codes: Codes, entropy: Entropy
) -> Done[Begun]:
    """Begin a trial: its rounds get their codes, and a key from which the cups follow.

    Args:
        store: the journal.
        plan: what was chosen.
        clock: tells the time.
        codes: gives three-digit codes that differ.
        entropy: gives random bytes, as `secrets.token_bytes` does.

    Raises:
        BadInput: something of the plan cannot be.
        StoreError: the journal, or the key's file, cannot be written.
    """
    if plan.kind not in SERVED:
        raise BadInput("trial.only_on_paper")
    now, key = clock(), new_key(entropy)
    trial = replace(_trial(store, plan, now), seal=seal_of(key, entropy))
    rounds = _rounds(trial, codes, _cups(plan, trial))
    keep_key(store, trial.id, key)
    with store.writing(now) as w:
        w.add(trial)
        for one in rounds:
            w.add(one)
    view = TrialView(trial=trial, rounds=tuple(RoundView(round=one) for one in rounds))
    return Done(Begun(view=view, key=key), Touched.TRIALS)


def trial_on_paper(store: Store, plan: TrialPlan, now: datetime) -> Trial:
    """Return a trial whose answers come from paper; it is not yet kept."""
    return _trial(store, plan, now)


def serve(
    store: Store,
    view: TrialView,
    key: str,
    *,
    clock: Clock,
    temperature_c: float | None = None,
    weights_g: tuple[float | None, ...] = (),
    strengths: tuple[float | None, ...] = (),
) -> Done[TrialServing | None]:
    """Keep how the next round was served; what was measured of each cup is sealed.

    Args:
        store: the journal.
        view: the trial.
        key: the helper's.
        clock: tells the time.
        temperature_c: of the cups when they were handed over.
        weights_g: of the brews in the cups, from the left; None where nobody weighed.
        strengths: fractions, likewise.

    Raises:
        BadInput: something measured cannot be.
    """
    following = view.next
    if following is None:
        return Done(None, Touched.NOTHING)
    require_measured(weights_g, strengths)
    now, serving_id = clock(), uuid4()
    told = any(value is not None for value in (*weights_g, *strengths))
    serving = TrialServing(
        id=serving_id,
        round_id=following.round.id,
        served_at=now,
        temperature_c=temperature_c,
        sealed=sealed(key, serving_id, (weights_g, strengths)) if told else "",
    )
    with store.writing(now) as w:
        w.add(serving)
    return Done(serving, Touched.TRIALS)


def lock(store: Store, view: TrialView, answer: TrialAnswer, *, clock: Clock) -> Done[TrialAnswer]:
    """Keep an answer; it cannot be changed from then on.

    Raises:
        BadInput: its round was answered or set aside, or the answer names no cup that is there.
    """
    asked = next((one.round for one in view.rounds if one.round.id == answer.round_id), None)
    cups = len(asked.codes) if asked else view.trial.cups
    places = [*answer.chosen, *([] if answer.liked is None else [answer.liked])]
    if any(place >= cups for place in places):
        raise BadInput("trial_answer.bad_cups")
    now = clock()
    with store.writing(now) as w:
        _require_none(w, answer.round_id, (TrialAnswer, TrialVoid), "trial_answer.locked")
        w.add(replace(answer, locked_at=now))
    return Done(answer, Touched.TRIALS)


def void(
    store: Store,
    view: TrialView,
    round_id: UUID,
    reason: VoidReason,
    *,
    clock: Clock,
    codes: Codes,
    note: str = "",
) -> Done[TrialVoid]:
    """Set a round aside before it is opened; another takes its place at the end.

    Raises:
        BadInput: it was opened, or set aside already: then it counts as it does.
    """
    now = clock()
    aside = TrialVoid(id=uuid4(), round_id=round_id, voided_at=now, reason=reason, note=note)
    with store.writing(now) as w:
        _require_none(w, round_id, (TrialOpening, TrialVoid), "trial_void.opened")
        w.add(aside)
        kept = w.all(TrialRound, trial_id=view.trial.id)
        if len(kept) < MOST_ROUNDS:
            taster = next(one.taster for one in kept if one.id == round_id)
            w.add(_one_more(view.trial, kept, (taster,), codes)[0])
    return Done(aside, Touched.TRIALS)


def end_early(store: Store, view: TrialView, *, clock: Clock) -> Done[TrialView]:
    """End a trial before its last planned round: those not answered are set aside.

    An exact test stays right, because nobody who stops has seen anything yet.

    Raises:
        BadInput: nothing was answered yet.
    """
    if view.answered == 0:
        raise BadInput("trial.nothing_opened")
    now = clock()
    with store.writing(now) as w:
        for one in view.rounds:
            if one.open_to_answer:
                w.add(
                    TrialVoid(
                        id=uuid4(),
                        round_id=one.round.id,
                        voided_at=now,
                        reason=VoidReason.ENDED,
                    )
                )
        ended = view_in(w, view.trial)
    return Done(ended, Touched.TRIALS)


def open_due(store: Store, view: TrialView, key: str, *, clock: Clock) -> Done[TrialView]:
    """Open every round that is due: from then on the journal holds which cup was which."""
    now = clock()
    with store.writing(now) as w:
        for one in view.due:
            w.add(_opening(view.trial, one, key, now))
        opened = view_in(w, view.trial)
    return Done(opened, Touched.TRIALS)


def go_on(store: Store, view: TrialView, *, clock: Clock, codes: Codes) -> Done[TrialView]:
    """Add one sitting to a trial whose planned answers are given; looking on is no harm to it.

    Raises:
        BadInput: this kind ends where it was planned to, or there are too many rounds.
    """
    if not view.trial.shows_as_it_goes:
        raise BadInput("trial.ends_as_planned")
    kept = [one.round for one in view.rounds]
    tasters = tuple(range(len(view.trial.tasters)))
    if len(kept) + len(tasters) > MOST_ROUNDS:
        raise BadInput("trial.bad_rounds", given=len(kept) + len(tasters), most=MOST_ROUNDS)
    with store.writing(clock()) as w:
        for one in _one_more(view.trial, kept, tasters, codes):
            w.add(one)
        more = view_in(w, view.trial)
    return Done(more, Touched.TRIALS)


def helper_key(store: Store, view: TrialView) -> str | None:
    """Return the key of a trial from its file; None where it must be typed from the sheet."""
    return find_key(store, view.trial)


def bury_trial(store: Store, trial_id: UUID, *, clock: Clock) -> Done[UUID]:
    """Take a trial off the list; it can be brought back."""
    with store.writing(clock()) as w:
        w.bury(Trial, trial_id)
    return Done(trial_id, Touched.TRIALS)


def unbury_trial(store: Store, trial_id: UUID, *, clock: Clock) -> Done[UUID]:
    """Bring a trial back."""
    with store.writing(clock()) as w:
        w.unbury(Trial, trial_id)
    return Done(trial_id, Touched.TRIALS)


def _require_none(w: Writer, round_id: UUID, kinds: tuple[type[Any], ...], code: str) -> None:
    if any(w.all(kind, round_id=round_id) for kind in kinds):
        raise BadInput(code)


def _trial(store: Store, plan: TrialPlan, now: datetime) -> Trial:
    kit = kit_in_use(store)
    names = tuple(name.strip() for name in plan.names)
    tasters = tuple(name.strip() for name in plan.tasters)
    return Trial(
        id=uuid4(),
        begun_at=now,
        kind=plan.kind,
        question=plan.question,
        names=names,
        tasters=tasters,
        rounds_planned=plan.rounds_planned,
        smaller_than_d=plan.smaller_than_d,
        blinding=plan.blinding,
        habit=plan.habit,
        brew_ids=plan.brew_ids,
        bag_id=plan.bag_id,
        kit=None
        if kit is None
        else KitUsed(
            grinder_id=kit.grinder.id,
            zero_id=kit.zero.id,
            dripper_id=kit.dripper.id,
            paper_id=kit.kitchen.paper_id,
            kettle_id=kit.kitchen.kettle_id,
            water_id=kit.kitchen.water_id,
            server_id=kit.kitchen.server_id,
            altitude_m=kit.kitchen.altitude_m,
            scale_carries=kit.kitchen.scale_carries,
        ),
        split=plan.split,
        asks_liking=plan.asks_liking,
        predicted=plan.predicted,
        note=plan.note.strip(),
    )


def _cups(plan: TrialPlan, trial: Trial) -> int:
    """Return how many cups a round has.

    Raises:
        BadInput: a ranking has fewer than three cups a round, or more than brews.
    """
    if plan.kind is not TrialKind.RANKING or plan.cups is None:
        return trial.cups
    if not FEWEST_RANKED <= plan.cups <= trial.cups:
        raise BadInput("trial.bad_cups", given=plan.cups, least=FEWEST_RANKED, most=trial.cups)
    return plan.cups


def _rounds(trial: Trial, codes: Codes, each: int) -> list[TrialRound]:
    tasters = len(trial.tasters)
    taken: set[str] = set()
    rounds = []
    for place in range(trial.rounds_planned):
        cups = codes(each, taken)
        taken |= set(cups)
        rounds.append(
            TrialRound(
                id=uuid4(),
                trial_id=trial.id,
                number=place + 1,
                sitting=place // tasters + 1,
                taster=place % tasters,
                codes=cups,
            )
        )
    return rounds


def _one_more(
    trial: Trial, kept: Iterable[TrialRound], tasters: tuple[int, ...], codes: Codes
) -> list[TrialRound]:
    """Return one more sitting for some tasters."""
    before = list(kept)
    number = max(one.number for one in before)
    sitting = max(one.sitting for one in before) + 1
    taken = {code for one in before for code in one.codes}
    more = []
    for place, taster in enumerate(tasters, start=1):
        cups = codes(len(before[0].codes), taken)
        taken |= set(cups)
        more.append(
            TrialRound(
                id=uuid4(),
                trial_id=trial.id,
                number=number + place,
                sitting=sitting,
                taster=taster,
                codes=cups,
            )
        )
    return more


def _opening(trial: Trial, one: RoundView, key: str, now: datetime) -> TrialOpening:
    weights_g, strengths = unsealed(key, one.serving) if one.serving else ((), ())
    return TrialOpening(
        id=uuid4(),
        round_id=one.round.id,
        opened_at=now,
        brews=brews_in(trial, key, one.round),
        weights_g=weights_g,
        strengths=strengths,
    )
