"""What may be said of a trial: shown, smaller than a bound, or not settled; never that nothing is.

Each kind of trial has one function here, from its answers and the conditions to a `Verdict`.
A verdict carries codes and values; `sentences` gives them in the order in which they are read.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from halfclick.model.trial_kinds import Blinding, Finding, Liked, Looked, Question, TrialKind
from halfclick.trials.betting import Interval
from halfclick.trials.named_pair import SMALLER_THAN_DPRIME, PairAnswer
from halfclick.trials.psychometric import Protocol
from halfclick.trials.strength_check import StrengthCheck
from halfclick.wording import Message


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """How a trial was done, as far as that bounds what its result may say.

    `fresh_brews`: every answer was about brews of its own, none was one brew split into cups.
    `logs_match`: dose, water, clock and temperature of the two sides agree within set limits.
    `habits_tried`: how many habits this person has put to trial, this one included.
    """

    question: Question
    blinding: Blinding
    fresh_brews: bool
    logs_match: bool
    habits_tried: int = 1
    tasters: int = 1
    strength: StrengthCheck | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What a trial found, with its numbers.

    `about_habit`: the finding is of the habit, and not only of these brews. `evidence` and `bar`
    stand where it was looked at any time, `p` and `alpha` where only at the planned end. `dprime`
    is None where a d' has no meaning (ranking) or nothing was asked yet. `smaller_than` is the
    bound that the difference is below, where that was found, even if a difference was shown too.
    `right_share` is how often a careful taster would pick the right cup of a pair at `dprime`.
    """

    kind: TrialKind
    finding: Finding
    question: Question
    about_habit: bool
    asked: int
    right: int | None = None
    evidence: float | None = None
    bar: float | None = None
    p: float | None = None
    alpha: float | None = None
    dprime: float | None = None
    dprime_within: Interval | None = None
    looked: Looked = Looked.AT_THE_END
    smaller_than: float | None = None
    right_share: float | None = None
    sentences: tuple[Message, ...] = ()
    cautions: tuple[Message, ...] = ()


def of_named_pair(
    answers: Sequence[PairAnswer],
    conditions: Conditions,
    bound_dprime: float = SMALLER_THAN_DPRIME,
) -> Verdict:
    """Return the verdict of named pairs, whenever it is looked at."""
    raise NotImplementedError


def of_graded_pairs(
    scores: Sequence[int], conditions: Conditions, bound_dprime: float | None = None
) -> Verdict:
    """Return the verdict of sealed graded pairs; call it only after the planned last pair.

    Args:
        scores: -3 to 3, one a pair, positive towards the cup that had the habit.
        conditions: how the trial was done.
        bound_dprime: the difference of interest, chosen before.
    """
    raise NotImplementedError


def of_counted(
    protocol: Protocol,
    right: int,
    asked: int,
    conditions: Conditions,
    looked: Looked = Looked.AT_THE_END,
    bound_dprime: float | None = None,
) -> Verdict:
    """Return the verdict of answers that are right or wrong: grouping, triangle and from paper."""
    raise NotImplementedError


def of_preference(
    choices: Sequence[Liked],
    conditions: Conditions,
    looked: Looked = Looked.AT_THE_END,
    identical: Sequence[Liked] = (),
) -> Verdict:
    """Return the verdict of blind preference pairs.

    Args:
        choices: what was liked in each pair of two different brews.
        conditions: how the trial was done.
        looked: when it was looked at.
        identical: what was answered where both cups held the same brew.
    """
    raise NotImplementedError


def of_ranking(
    ranks: Sequence[Sequence[int]], conditions: Conditions, predicted: Sequence[int] | None = None
) -> Verdict:
    """Return the verdict of rankings.

    Args:
        ranks: one row a taster or sitting, the rank of each brew in it from 1, shape (j, b).
        conditions: how the trial was done.
        predicted: the rank that each brew was predicted to have before pouring, shape (b,).
    """
    raise NotImplementedError
