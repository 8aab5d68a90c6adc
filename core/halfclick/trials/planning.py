"""What a trial will cost and can show: cups, days and power, before anything is poured."""

from dataclasses import dataclass

from halfclick.model.trial_kinds import Question, TrialKind
from halfclick.wording import Message


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """What a person answers before a trial is proposed: five questions at most.

    `brews`: how many brews are to be told apart or ranked, 2 to 5. `tasters`: how many taste.
    `helper`: somebody else can pour. `known_how`: the person can name how the brews differ.
    `will_wait`: results may stay sealed to the planned end.
    """

    question: Question
    tasters: int = 1
    helper: bool = True
    known_how: bool = True
    will_wait: bool = False
    brews: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A kind of trial and why, in sentences."""

    kind: TrialKind
    reasons: tuple[Message, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What a trial takes: answers (pairs, sets or rankings), cups, brews, days and its power.

    `power` is the chance of a finding of `dprime` within `answers`; `false_alarm` that of one
    where nothing differs. `likely_answers` is how many are needed on average, stops included.
    """

    kind: TrialKind
    dprime: float
    answers: int
    likely_answers: float
    cups: int
    brews: int
    days: int
    power: float
    false_alarm: float


def propose(wishes: Wishes) -> Proposal:
    """Return the kind of trial that answers what a person wishes to know, and why.

    Raises:
        BadInput: fewer than two brews or more than five, or no taster.
    """
    raise NotImplementedError


def cost_of(kind: TrialKind, dprime: float, answers: int, tasters: int = 1, brews: int = 2) -> Cost:
    """Return what so many answers take and show at a difference.

    Args:
        kind: of the trial.
        dprime: the difference that matters, above 0.
        answers: of all tasters together; pairs, sets of cups or rankings.
        tasters: who taste; each at most two pairs or one set a day.
        brews: of a ranking.
    """
    raise NotImplementedError


def answers_for(kind: TrialKind, dprime: float, power: float = 0.8, most: int = 48) -> int | None:
    """Return the fewest answers that find a difference so likely; None where `most` do not."""
    raise NotImplementedError
