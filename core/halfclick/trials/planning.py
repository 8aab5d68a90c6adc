"""What a trial will cost and can show: cups, days and power, before anything is poured."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from math import ceil

import numpy as np
from scipy import special

from halfclick.errors import BadInput
from halfclick.model.trial import IDENTICAL_ONE_IN
from halfclick.model.trial_kinds import Question, TrialKind
from halfclick.trials.binomial import least_exceeded, more_than
from halfclick.trials.blocks import drawn_sums, spread_of
from halfclick.trials.claims import ALPHA
from halfclick.trials.graded import LARGEST_SCORE
from halfclick.trials.named_pair_power import Course, Taster, course, shown_curve
from halfclick.trials.power import first_size, power
from halfclick.trials.psychometric import CUPS, Floats, Protocol, share_right
from halfclick.trials.ranking import KEPT_BREWS, MOST_SUMS, kept_tails, law_of_sums
from halfclick.trials.serving import incomplete_blocks
from halfclick.wording import Message

FEWEST_BREWS, MOST_BREWS = 2, 5
# From so many tasters on, a kind that nobody must be taught is proposed.
PANEL = 3
# What a lone drinker who swallows takes in a day (own default).
PAIRS_A_DAY, SETS_A_DAY = 2, 1
PROTOCOLS = {
    TrialKind.GROUPING: Protocol.GROUPING,
    TrialKind.TRIANGLE: Protocol.TRIANGLE,
    TrialKind.DUO_TRIO: Protocol.DUO_TRIO,
    TrialKind.THREE_CHOICE: Protocol.THREE_CHOICE,
    TrialKind.SINGLE_CUPS: Protocol.SINGLE,
}
PAIRED = {TrialKind.NAMED_PAIR, TrialKind.GRADED_PAIRS, TrialKind.PREFERENCE}
# The same draws each time, so that a plan shows the same power twice.
SEED = 20_260_101
RUNS = 8_000
RANKED_RUNS = 2_000
CURVE_RUNS = 4_000
FEWEST_RANKINGS = 2
# Sizes of what is simulated are looked for up to here.
MOST_SIMULATED = 48


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
    if not FEWEST_BREWS <= wishes.brews <= MOST_BREWS or wishes.tasters < 1:
        values = {"brews": wishes.brews, "tasters": wishes.tasters, "most": MOST_BREWS}
        raise BadInput("trial.bad_wishes", **values)
    kind = _kind_for(wishes)
    reasons = [Message(f"trial.why_{kind.value}")]
    if not wishes.helper:
        reasons.append(Message("trial.why_alone"))
    return Proposal(kind=kind, reasons=tuple(reasons))


def cost_of(
    kind: TrialKind,
    dprime: float,
    answers: int,
    tasters: int = 1,
    brews: int = 2,
    cups: int | None = None,
) -> Cost:
    """Return what so many answers take and show at a difference.

    Args:
        kind: of the trial.
        dprime: the difference that matters, above 0; of a ranking, from its first to its last.
        answers: of all tasters together; pairs, sets of cups or rankings.
        tasters: who taste; each at most two pairs or one set a day.
        brews: of a ranking.
        cups: of a round of a ranking, where that holds only some of the brews.
    """
    if kind is TrialKind.NAMED_PAIR:
        # Simulated, both stops active; exact for every other kind that is.
        found, by_chance = (_course(at, answers) for at in (dprime, 0.0))
        chance, alarm, likely = found.shown, by_chance.shown, found.pairs
    else:
        chance, alarm = (_power(kind, at, answers, brews, cups) for at in (dprime, 0.0))
        likely = float(answers)
    a_day = PAIRS_A_DAY if kind in PAIRED else SETS_A_DAY
    sides = brews if kind is TrialKind.RANKING else 2
    return Cost(
        kind=kind,
        dprime=dprime,
        answers=answers,
        likely_answers=likely,
        cups=answers * (cups or _cups(kind, brews)),
        brews=answers * (cups or sides),
        days=ceil(ceil(answers / tasters) / a_day),
        power=chance,
        false_alarm=alarm,
    )


def answers_for(
    kind: TrialKind,
    dprime: float,
    power: float = 0.8,
    most: int = MOST_SIMULATED,
    brews: int = 3,
    cups: int | None = None,
) -> int | None:
    """Return the fewest answers that find a difference so likely; None where `most` do not.

    Args:
        kind: of the trial.
        dprime: the difference, above 0; of a ranking, from its first to its last brew.
        power: the chance wanted.
        most: where the search ends.
        brews: of a ranking.
        cups: of a round of a ranking, where that holds only some of the brews.
    """
    if kind in PROTOCOLS:
        first = first_size(PROTOCOLS[kind], dprime, power)
        return first if first is not None and first <= most else None
    if kind is TrialKind.NAMED_PAIR:
        taster, random = Taster(dprime=dprime), np.random.default_rng(SEED)
        enough = np.flatnonzero(shown_curve(random, taster, most, runs=CURVE_RUNS) >= power)
        return int(enough[0]) + 1 if len(enough) else None
    if kind is TrialKind.PREFERENCE:
        exact = (n for n in range(2, most + 1) if _power(kind, dprime, n, brews) >= power)
        return next(exact, None)
    return _least(lambda answers: _power(kind, dprime, answers, brews, cups) >= power, most)


def _least(is_enough: Callable[[int], bool], most: int) -> int | None:
    """Return the fewest answers that are enough, where what is simulated rises but for chance."""
    low, high = 1, 2
    while not is_enough(high):
        if high == most:
            return None
        low, high = high, min(2 * high, most)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if is_enough(middle) else (middle, high)
    return high


def _kind_for(wishes: Wishes) -> TrialKind:
    if wishes.brews > FEWEST_BREWS:
        return TrialKind.RANKING
    if wishes.question is Question.BETTER:
        return TrialKind.PREFERENCE
    if wishes.tasters >= PANEL or not wishes.known_how:
        return TrialKind.GROUPING
    return TrialKind.GRADED_PAIRS if wishes.will_wait else TrialKind.NAMED_PAIR


def _cups(kind: TrialKind, brews: int) -> int:
    if kind is TrialKind.RANKING:
        return brews
    return CUPS[PROTOCOLS[kind]] if kind in PROTOCOLS else 2


@cache
def _course(dprime: float, pairs: int) -> Course:
    # Long trials are simulated less often: as many pairs in all.
    runs = max(RANKED_RUNS, min(RUNS, RUNS * MOST_SIMULATED // pairs))
    return course(np.random.default_rng(SEED), Taster(dprime=dprime), pairs, runs=runs)


def _power(
    kind: TrialKind, dprime: float, answers: int, brews: int, cups: int | None = None
) -> float:
    if kind in PROTOCOLS:
        return float(power(PROTOCOLS[kind], dprime, answers, ALPHA))
    if kind is TrialKind.RANKING and cups is not None and cups < brews:
        return blocks_power(dprime, answers, brews, cups)
    if kind is TrialKind.RANKING:
        return ranking_power(dprime, answers, brews)
    if kind is TrialKind.GRADED_PAIRS:
        return graded_power(dprime, answers)
    # Some of the pairs hold the same brew twice and tell nothing of the difference.
    return preference_power(dprime, answers - ceil(answers / IDENTICAL_ONE_IN))


def preference_power(dprime: float, answers: int) -> float:
    """Return the chance that the exact two-sided test shows a preference; nobody says neither.

    Args:
        dprime: the difference, 0 or more.
        answers: of pairs that hold both brews.
    """
    each = float(share_right(Protocol.PAIR, dprime))
    # One more than the upper tail of half of alpha leaves.
    needed = int(least_exceeded(ALPHA / 2, answers, 0.5)) + 1
    up, down = (more_than(needed - 1, answers, p) for p in (each, 1 - each))
    return float(up + down)


@cache
def graded_power(dprime: float, answers: int) -> float:
    """Return the chance that the exact sign-flip test shows a difference; simulated.

    A perceived difference is said to the nearest whole number of perceptual deviations, up to 3.
    """
    random = np.random.default_rng(SEED)
    seen = dprime + np.sqrt(2.0) * random.standard_normal((RUNS, answers))
    scores = np.clip(np.rint(seen), -LARGEST_SCORE, LARGEST_SCORE).astype(int)
    sizes = np.abs(scores)
    # The law depends on how often each size stands; so each set of counts is gone through once.
    counts = [np.sum(sizes == size, axis=1) for size in range(1, LARGEST_SCORE + 1)]
    keys = np.ravel_multi_index(counts, (answers + 1,) * LARGEST_SCORE)
    distinct, which = np.unique(keys, return_inverse=True)
    each = np.array(np.unravel_index(distinct, (answers + 1,) * LARGEST_SCORE)).T.tolist()
    needed = np.array([_least_shown(*row) for row in each])
    at = (scores.sum(axis=1) + sizes.sum(axis=1)) // 2
    return float(np.mean(at >= needed[which.ravel()]))


@cache
def ranking_power(dprime: float, answers: int, brews: int) -> float:
    """Return the chance that Friedman's test shows a difference; simulated.

    The brews lie evenly spaced, `dprime` from the first to the last.
    """
    if answers < 2:
        return 0.0
    random = np.random.default_rng(SEED)
    means = np.linspace(0.0, dprime, brews)
    seen = means + random.standard_normal((RANKED_RUNS, answers, brews))
    sums = (np.argsort(np.argsort(seen, axis=2), axis=2) + 1).sum(axis=1)  # (runs, brews)
    spreads = np.sum((sums - answers * (brews + 1) / 2) ** 2, axis=1)
    return float(np.mean(spreads >= _critical_spread(answers, brews) - 1e-9))


@cache
def blocks_power(dprime: float, answers: int, brews: int, cups: int) -> float:
    """Return the chance that rankings of only some brews each show a difference; simulated.

    The brews lie as in `ranking_power`; the law under no difference is drawn too.
    """
    if answers < FEWEST_RANKINGS:
        return 0.0
    design = incomplete_blocks(brews, cups)
    held = [design[at % len(design)] for at in range(answers)]
    limit = np.quantile(spread_of(drawn_sums(held, brews, RUNS)), 1.0 - ALPHA) + 1e-9
    random = np.random.default_rng(SEED)
    means = np.linspace(0.0, dprime, brews)
    sums = np.zeros((RANKED_RUNS, brews))
    for row in held:
        seen = means[list(row)] + random.standard_normal((RANKED_RUNS, cups))
        sums[:, list(row)] += np.argsort(np.argsort(seen, axis=1), axis=1) - (cups - 1) / 2
    return float(np.mean(spread_of(sums) > limit))


@cache
def _critical_spread(answers: int, brews: int) -> float:
    """Return the least squared distance of rank sums from their mean that is shown."""
    distances: Floats
    if brews == KEPT_BREWS and answers in kept_tails():
        distances, tails = kept_tails()[answers]
    elif (answers * (brews - 1) + 1) ** (brews - 1) > MOST_SUMS:
        return float(special.chdtri(brews - 1, ALPHA)) * answers * brews * (brews + 1) / 12
    else:
        spreads, shares = law_of_sums((tuple(range(2, 2 * brews + 1, 2)),) * answers)
        each, at = np.unique(spreads, return_inverse=True)
        distances = np.asarray(each, dtype=float)
        held = np.bincount(at.ravel(), shares.ravel())
        tails = np.asarray(np.cumsum(held[::-1])[::-1], dtype=float)  # from each distance on
    within = np.flatnonzero(tails <= ALPHA)
    # Sums that no orders give stand in the table with nothing.
    if not len(within) or tails[within[0]] == 0:
        return float("inf")
    return float(distances[within[0]]) / (4.0 * brews * brews)


@cache
def _least_shown(ones: int, twos: int, threes: int) -> int:
    """Return the least sum of what points right that is shown, for counts of each size.

    One more than all of it where nothing is.
    """
    law = np.ones(1)
    for size, count in enumerate((ones, twos, threes), start=1):
        flips = np.zeros(size * count + 1)
        flips[::size] = special.binom(count, np.arange(count + 1)) / 2.0**count
        law = np.convolve(law, flips)
    tails = np.cumsum(law[::-1])[::-1]
    shown = np.flatnonzero(tails <= ALPHA)
    return int(shown[0]) if len(shown) else len(law)
