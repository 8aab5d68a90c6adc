"""From a few answers to a trial: which kind and why, how many cups and days, and its power.

numpy comes with the power of a design, so what computes it loads it itself.
"""

import math
from dataclasses import dataclass, replace
from uuid import UUID

from halfclick.errors import BadInput
from halfclick.model.caffeine import NO_CAFFEINE, Beans, Caffeine, caffeine_of
from halfclick.model.trial import (
    CUPS,
    FEWEST_RANKED,
    MOST_ROUNDS,
    MOST_TASTERS,
    SHARED_CUPS,
    Habit,
    brews_each_round,
)
from halfclick.model.trial_kinds import Blinding, Question, TrialKind
from halfclick.service.trials import TrialPlan
from halfclick.wording import Message

# Answers planned by kind, all tasters together: twelve pairs settle a difference of d' 1.5 four
# times in five; the rest are what finds the same difference so often with an exact test.
PLANNED = {
    TrialKind.NAMED_PAIR: 12,
    TrialKind.GRADED_PAIRS: 12,
    TrialKind.GROUPING: 16,
    TrialKind.TRIANGLE: 24,
    TrialKind.PREFERENCE: 16,
    TrialKind.RANKING: 12,
}
# The difference that matters and the bound, in d', until a person says otherwise.
EXPECTED_D = 1.5
# Differences to choose from, and how often each is picked from a pair: Phi(d' / sqrt 2).
PICKED = {0.7: 0.690, 1.0: 0.760, 1.5: 0.856, 2.0: 0.921}
# One taster swallows at most so many pairs, or one set of three or more cups, in a sitting.
PAIRS_A_DAY = 2
PAIR = 2
# Kinds whose power is simulated; the others' is exact.
SIMULATED = {TrialKind.NAMED_PAIR, TrialKind.GRADED_PAIRS, TrialKind.RANKING}
# A dose where no brew was kept yet, g; our own default.
USUAL_DOSE_G = 15.0
# What is drunk of each brew of a pair where the rest is not: about a third of a cup.
TASTED_SHARE = 1 / 3
# Kinds that a person may take instead of the one proposed.
INSTEAD = {
    TrialKind.NAMED_PAIR: (TrialKind.NAMED_PAIR, TrialKind.GRADED_PAIRS, TrialKind.TRIANGLE),
    TrialKind.GRADED_PAIRS: (TrialKind.GRADED_PAIRS, TrialKind.NAMED_PAIR, TrialKind.TRIANGLE),
    TrialKind.GROUPING: (TrialKind.GROUPING, TrialKind.TRIANGLE, TrialKind.NAMED_PAIR),
    TrialKind.TRIANGLE: (TrialKind.TRIANGLE, TrialKind.GROUPING, TrialKind.NAMED_PAIR),
    TrialKind.PREFERENCE: (TrialKind.PREFERENCE,),
    TrialKind.RANKING: (TrialKind.RANKING,),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What a person answers: what is compared, what they want to know, who tastes, who serves.

    `waits` says that results may stay sealed until the last planned round.
    """

    names: tuple[str, ...]
    question: Question
    tasters: tuple[str, ...]
    blinding: Blinding
    waits: bool
    habit: Habit | None = None
    brew_ids: tuple[UUID, ...] = ()
    bag_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjusted:
    """What a person may set otherwise than proposed; None: as proposed."""

    kind: TrialKind | None = None
    rounds: int | None = None
    expected_d: float = EXPECTED_D
    split: bool = False
    asks_liking: bool = False
    predicted: bool = False
    cups: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposed:
    """A trial as it is proposed: what would be begun, why, and what it costs and can show."""

    plan: TrialPlan
    instead: tuple[TrialKind, ...]
    why: tuple[Message, ...]
    cost: tuple[Message, ...]
    power: Message
    enough: Message


def propose(
    wish: Wish,
    adjusted: Adjusted = Adjusted(),  # frozen
    *,
    dose_g: float = USUAL_DOSE_G,
    beans: Beans = Beans.ARABICA,
) -> Proposed:
    """Return a trial for what a person wants to know.

    Args:
        wish: their answers.
        adjusted: what they set otherwise.
        dose_g: of each brew.
        beans: what the dose is.

    Raises:
        BadInput: there are too few or too many brews, tasters or answers.
    """
    from halfclick.trials import planning

    found = planning.propose(
        planning.Wishes(
            question=wish.question,
            tasters=len(wish.tasters),
            helper=wish.blinding in {Blinding.SERVED, Blinding.SHUFFLED},
            # Labelled pairs are tasted first, so whoever tastes can say how the brews differ.
            known_how=True,
            will_wait=wish.waits,
            brews=len(wish.names),
        )
    )
    kind = adjusted.kind or found.kind
    plan = _plan(wish, adjusted, kind)
    _require(plan)
    sizes = planning.cost_of(
        kind,
        adjusted.expected_d,
        plan.rounds_planned,
        len(wish.tasters),
        len(wish.names),
        plan.cups,
    )
    reasons = found.reasons if kind is found.kind else (Message("trial_start.chosen"),)
    power = Message(
        "trial_start.power",
        {
            "power_share": sizes.power,
            "alarm_share": sizes.false_alarm,
            "given": adjusted.expected_d,
            "likely": math.ceil(sizes.likely_answers),
        },
    )
    return Proposed(
        plan=plan,
        instead=INSTEAD[found.kind],
        why=(*reasons, *_beside(plan)),
        cost=cost_of(plan, dose_g=dose_g, beans=beans),
        power=power,
        enough=_enough(plan, adjusted.expected_d),
    )


def _require(plan: TrialPlan) -> None:
    """Check what would be refused at the start, before its power is worked out."""
    if not 1 <= plan.rounds_planned <= MOST_ROUNDS:
        raise BadInput("trial.bad_rounds", given=plan.rounds_planned, most=MOST_ROUNDS)
    if len(plan.tasters) > MOST_TASTERS:
        raise BadInput("trial.bad_tasters", given=len(plan.tasters), most=MOST_TASTERS)


def _enough(plan: TrialPlan, expected_d: float) -> Message:
    """Return what it takes to show a difference four times in five."""
    from halfclick.trials import planning

    simulated = plan.kind in SIMULATED
    most = planning.MOST_SIMULATED if simulated else MOST_ROUNDS
    count = planning.answers_for(
        plan.kind, expected_d, most=most, brews=len(plan.names), cups=plan.cups
    )
    if count is None:
        return Message("trial_start.never_enough", {"most": most})
    cups = _cups(plan)
    days = math.ceil(math.ceil(count / len(plan.tasters)) / _a_day(cups))
    return Message("trial_start.enough", {"count": count, "cups": count * cups, "days": days})


def _a_day(cups: int) -> int:
    """Return how many rounds of so many cups one taster has in a day."""
    return PAIRS_A_DAY if cups == PAIR else 1


def _beside(plan: TrialPlan) -> tuple[Message, ...]:
    """Return what a kind of trial cannot tell of the habit that is asked about."""
    if plan.question is Question.THE_HABIT and plan.kind in SHARED_CUPS:
        return (Message("trial.why_brews_only"),)
    return ()


def cost_of(plan: TrialPlan, *, dose_g: float, beans: Beans) -> tuple[Message, ...]:
    """Return what a trial takes: cups, coffee, days, and caffeine a day for each taster."""
    cups = _cups(plan)
    sittings = math.ceil(plan.rounds_planned / len(plan.tasters))
    a_day = _a_day(cups)
    days = math.ceil(sittings / a_day)
    # A lone taster's round needs only the brews that it holds.
    each = _cups(plan) if plan.cups and len(plan.tasters) == 1 else len(plan.names)
    brews = each * _times_brewed(plan, sittings, days)
    tasted = _tasted(plan, cups, min(a_day, sittings), dose_g, beans)
    low, high = tasted.shown()
    return (
        Message("trial_start.cups", {"count": plan.rounds_planned * cups, "each": cups}),
        Message(
            "trial_start.coffee", {"count": brews, "coffee_g": brews * dose_g, "dose_g": dose_g}
        ),
        Message("trial_start.days", {"count": days}),
        Message("trial_start.caffeine", {"low": low, "high": high}),
    )


def _times_brewed(plan: TrialPlan, sittings: int, days: int) -> int:
    """Return how often each brew is made: a day, a round, or a sitting of all tasters."""
    if plan.split:
        return days
    each_round = brews_each_round(plan.kind, plan.habit, len(plan.tasters), split=False)
    return plan.rounds_planned if each_round else sittings


def _tasted(plan: TrialPlan, cups: int, a_day: int, dose_g: float, beans: Beans) -> Caffeine:
    """Return what one taster's cups of a day hold, a third of a brew in each."""
    total = NO_CAFFEINE
    for _ in range(cups * a_day):
        total = total.plus(caffeine_of(dose_g, beans).part(TASTED_SHARE))
    return total


def _plan(wish: Wish, adjusted: Adjusted, kind: TrialKind) -> TrialPlan:
    question = wish.question
    if question is Question.THE_HABIT and wish.habit is None:
        question = Question.THESE_BREWS
    plan = TrialPlan(
        kind=kind,
        question=question,
        names=wish.names,
        tasters=wish.tasters,
        rounds_planned=adjusted.rounds or _rounds(kind, len(wish.tasters)),
        smaller_than_d=adjusted.expected_d,
        blinding=wish.blinding,
        habit=wish.habit,
        brew_ids=wish.brew_ids,
        bag_id=wish.bag_id,
        split=adjusted.split,
        predicted=adjusted.predicted and kind is TrialKind.RANKING,
        cups=_ranked_cups(wish, adjusted, kind),
    )
    asks = adjusted.asks_liking and kind in {TrialKind.TRIANGLE, TrialKind.GROUPING}
    return replace(plan, asks_liking=asks or kind is TrialKind.PREFERENCE)


def _ranked_cups(wish: Wish, adjusted: Adjusted, kind: TrialKind) -> int | None:
    """Return how many cups a round of a ranking has, where that is fewer than brews."""
    brews = len(wish.names)
    if kind is not TrialKind.RANKING or adjusted.cups is None or adjusted.cups >= brews:
        return None
    return max(adjusted.cups, FEWEST_RANKED)


def _cups(plan: TrialPlan) -> int:
    """Return how many cups a round has."""
    return plan.cups or CUPS.get(plan.kind, len(plan.names))


def _rounds(kind: TrialKind, tasters: int) -> int:
    """Return how many answers are planned: as many for each taster."""
    return math.ceil(PLANNED[kind] / tasters) * tasters
