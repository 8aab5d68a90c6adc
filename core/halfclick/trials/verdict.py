"""What may be said of a trial: shown, smaller than a bound, or not settled; never that nothing is.

Each kind of trial has one function here, from its answers and the conditions to a `Verdict`.
A verdict carries codes and values; `sentences` gives them in the order in which they are read.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isfinite, sqrt

from scipy import special

from halfclick.model.trial_kinds import Blinding, Finding, Liked, Looked, Question, TrialKind
from halfclick.trials import blocks, estimate, graded, named_pair, ordered, ranking, told
from halfclick.trials.betting import BAR, Interval, mixture_evidence, share_any_time
from halfclick.trials.claims import ALPHA, Conditions, cautions
from halfclick.trials.named_pair import SMALLER_THAN_DPRIME, PairAnswer
from halfclick.trials.psychometric import GUESSED, Protocol, dprime_of, share_right
from halfclick.wording import Message

KINDS = {
    Protocol.PAIR: TrialKind.NAMED_PAIR,
    Protocol.GROUPING: TrialKind.GROUPING,
    Protocol.TRIANGLE: TrialKind.TRIANGLE,
    Protocol.DUO_TRIO: TrialKind.DUO_TRIO,
    Protocol.THREE_CHOICE: TrialKind.THREE_CHOICE,
    Protocol.SINGLE: TrialKind.SINGLE_CUPS,
}
# Ways of asking in which cups of a round hold the same brew.
SHARING = frozenset({Protocol.GROUPING, Protocol.TRIANGLE, Protocol.DUO_TRIO})
# Ways of asking that name a brew, which can be named the wrong way round.
NAMING = frozenset({Protocol.PAIR, Protocol.THREE_CHOICE, Protocol.SINGLE})
# A one-sided limit at 95 % is the upper end of an interval at this level.
ONE_SIDED_LEVEL = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What a trial found, with its numbers.

    `about_habit`: the finding is of the habit, and not only of these brews. `evidence` and `bar`
    stand where it was looked at any time, `p` and `alpha` where only at the planned end. `dprime`
    is None where nothing was asked yet; it may be infinite, and is below 0 where a preference is
    for the brew without, or where brews were told apart and named the wrong way round (`turned`);
    of a ranking it is of the brews that came first and last. `smaller_than` is the bound that the
    difference is below, where that was found, even if a difference was shown too. `right_share` is
    how often a careful taster would pick the right cup of a pair at `dprime`, or where that is
    infinite, at the middle of what fits: half of such tasters would have answered so.
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
    turned: bool = False
    sentences: tuple[Message, ...] = ()
    cautions: tuple[Message, ...] = ()


def of_named_pair(
    answers: Sequence[PairAnswer],
    conditions: Conditions,
    bound_dprime: float = SMALLER_THAN_DPRIME,
) -> Verdict:
    """Return the verdict of named pairs, whenever it is looked at.

    What was once shown stays shown: the bar holds for the whole path.
    """
    run = named_pair.run(answers, bound_dprime=bound_dprime, bar=conditions.bar)
    asked = len(answers)
    turned = 2 * run.right < asked and mixture_evidence(run.right, asked, 0.5) >= BAR
    small = run.smaller_at is not None and not turned
    found = Verdict(
        kind=TrialKind.NAMED_PAIR,
        finding=_finding(run.shown_at is not None, small, conditions),
        question=conditions.question,
        about_habit=conditions.about_habit,
        asked=asked,
        right=run.right,
        evidence=max(run.evidence) if run.shown_at else (run.evidence or (1.0,))[-1],
        bar=conditions.bar,
        looked=Looked.ANY_TIME,
        smaller_than=bound_dprime if small else None,
        turned=turned,
    )
    if asked:
        apart = asked - run.right if turned else run.right
        dprime = estimate.estimate(Protocol.PAIR, apart, asked).dprime
        within = named_pair.dprime_interval(apart, asked)
        found = _with_effect(found, *_towards(dprime, within, turned=turned))
    return _said(found, conditions)


def of_graded_pairs(
    scores: Sequence[int], conditions: Conditions, bound_dprime: float | None = None
) -> Verdict:
    """Return the verdict of sealed graded pairs; call it only after the planned last pair.

    Args:
        scores: -3 to 3, one a pair, positive towards the cup that had the habit.
        conditions: how the trial was done.
        bound_dprime: the difference of interest, chosen before.
    """
    p = graded.sign_flip_p(scores)
    shown, pointing = p <= conditions.alpha and bool(scores), any(scores)
    turned = graded.sign_flip_p([-score for score in scores]) <= TURNED_P and pointing
    small = False
    if bound_dprime is not None and pointing and not shown and not turned:
        one_sided = ordered.fit_ordered(scores, ONE_SIDED_LEVEL, few=True)
        small = one_sided.within.high < bound_dprime
    found = Verdict(
        kind=TrialKind.GRADED_PAIRS,
        finding=_finding(shown, small, conditions),
        question=conditions.question,
        about_habit=conditions.about_habit,
        asked=len(scores),
        right=sum(score > 0 for score in scores),
        p=p,
        alpha=conditions.alpha,
        smaller_than=bound_dprime if small else None,
        turned=turned,
    )
    if pointing:
        fit = ordered.fit_ordered(scores, few=True)
        dprime, within = fit.dprime, fit.within
        if not turned:
            # Towards the wrong cup is no difference found, as with right and wrong answers.
            dprime = max(0.0, dprime)
            within = replace(within, low=max(0.0, within.low), high=max(0.0, within.high))
        found = _with_effect(found, dprime, within)
    return _said(found, conditions)


def of_counted(
    protocol: Protocol,
    right: int,
    asked: int,
    conditions: Conditions,
    looked: Looked = Looked.AT_THE_END,
    bound_dprime: float | None = None,
) -> Verdict:
    """Return the verdict of answers that are right or wrong: grouping, triangle and from paper.

    Raises:
        ValueError: not 0 to `asked` are right.
    """
    guessed = GUESSED[protocol]
    conditions = replace(conditions, shared_cups=protocol in SHARING)
    turned = protocol in NAMING and _turned(right, asked, guessed, looked)
    found = Verdict(
        kind=KINDS[protocol],
        finding=Finding.NOT_SETTLED,
        question=conditions.question,
        about_habit=conditions.about_habit,
        asked=asked,
        right=right,
        looked=looked,
        turned=turned,
    )
    if looked is Looked.ANY_TIME:
        evidence = mixture_evidence(right, asked, guessed) if right > asked * guessed else 1.0
        shares, shown = share_any_time(right, asked), evidence >= conditions.bar
        found = replace(found, evidence=evidence, bar=conditions.bar)
        within = estimate.dprime_interval(protocol, shares)
        small = bound_dprime is not None and within.high < bound_dprime
    else:
        p = estimate.difference_p(right, asked, guessed)
        shares, shown = estimate.exact_share(right, asked), p <= conditions.alpha
        found = replace(found, p=p, alpha=conditions.alpha)
        within = estimate.dprime_interval(protocol, shares)
        small = bound_dprime is not None and _smaller(protocol, right, asked, bound_dprime)
    small = small and not turned
    found = replace(
        found,
        finding=_finding(shown, small, conditions),
        smaller_than=bound_dprime if small else None,
    )
    if asked:
        found = _with_effect(found, estimate.estimate(protocol, right, asked).dprime, within)
    return _said(found, conditions)


def of_preference(
    choices: Sequence[Liked],
    conditions: Conditions,
    looked: Looked = Looked.AT_THE_END,
    identical: Sequence[Liked] = (),
) -> Verdict:
    """Return the verdict of blind preference pairs, two-sided; "neither" is kept and not shared.

    Args:
        choices: what was liked in each pair of two different brews.
        conditions: how the trial was done.
        looked: when it was looked at.
        identical: what was answered where both cups held the same brew.
    """
    steps = [_STEP[one] for one in choices]
    liked, other = steps.count(1), steps.count(-1)
    chosen = liked + other
    found = Verdict(
        kind=TrialKind.PREFERENCE,
        finding=Finding.NOT_SETTLED,
        question=Question.BETTER,
        about_habit=replace(conditions, question=Question.BETTER).about_habit,
        asked=len(choices),
        right=liked,
        looked=looked,
    )
    if looked is Looked.ANY_TIME:
        evidence = mixture_evidence(liked, chosen, 0.5)
        found, shown = replace(found, evidence=evidence, bar=conditions.bar), False
        shown = evidence >= conditions.bar
    else:
        p = estimate.two_sided_p(liked, other)
        found, shown = replace(found, p=p, alpha=conditions.alpha), p <= conditions.alpha
    found = replace(found, finding=_finding(shown, False, conditions))
    if chosen:
        fit = ordered.fit_ordered(steps)
        within = fit.within
        if looked is Looked.ANY_TIME:
            # Of those who chose; the law of ties is not known at any time.
            shares = share_any_time(liked, chosen)
            low, high = (_signed_dprime(share) for share in (shares.low, shares.high))
            within = Interval(low=low, high=high, level=shares.level)
        found = _with_effect(found, fit.dprime, within)
    said = _said(found, replace(conditions, question=Question.BETTER))
    values = {"first": liked, "second": other, "neither": len(choices) - chosen}
    votes = told.of_votes(values, conditions.names)
    more = (votes, *told.of_identical(identical))
    return replace(said, sentences=(*said.sentences, *more))


def of_ranking(
    ranks: Sequence[Sequence[int | None]],
    conditions: Conditions,
    predicted: Sequence[int] | None = None,
) -> Verdict:
    """Return the verdict of rankings.

    Args:
        ranks: one row a taster or sitting, the rank of each brew in it from 1, shape (j, b); None
            where a sitting did not hold a brew.
        conditions: how the trial was done.
        predicted: the rank that each brew was predicted to have before pouring, shape (b,).

    Raises:
        BadInput: a row is no ranking.
    """
    found = Verdict(
        kind=TrialKind.RANKING,
        finding=Finding.NOT_SETTLED,
        question=conditions.question,
        about_habit=False,
        asked=len(ranks),
        alpha=conditions.alpha,
        p=1.0,
    )
    if len(ranks) < ranking.FEWEST_ROWS:
        return _said(found, conditions)
    p, more = _ranked(ranks, predicted)
    found = replace(found, p=p, finding=_finding(p <= conditions.alpha, False, conditions))
    ends = ranking.first_and_last(ranks)
    if ends.met:
        low, high = (_signed_dprime(share) for share in (ends.within.low, ends.within.high))
        within = Interval(low=low, high=high, level=ends.within.level)
        found = _with_effect(found, _signed_dprime(ends.above / ends.met), within, ends.met)
        more = (told.of_ends(ends, conditions.names), *more)
    said = _said(found, conditions)
    return replace(said, sentences=(*said.sentences, *more))


def _ranked(
    ranks: Sequence[Sequence[int | None]], predicted: Sequence[int] | None
) -> tuple[float, tuple[Message, ...]]:
    """Return the p of rankings, and what is said of how it was found."""
    whole = [[rank for rank in row if rank is not None] for row in ranks]
    if any(len(row) < len(ranks[0]) for row in whole):
        test = blocks.blocks_test(ranks, predicted)
        return test.p, told.of_blocks(test)
    exact = True
    if predicted is not None:
        p = ranking.page(whole, predicted)[1]
    else:
        p, exact = ranking.friedman_p(whole)
    return p, told.of_rank_sums(whole, exact=exact, predicted=predicted is not None)


# Both tails together: so seldom does guessing point so clearly the wrong way.
TURNED_P = ALPHA / 2
_STEP = {Liked.WITH: 1, Liked.NEITHER: 0, Liked.WITHOUT: -1}


def _smaller(protocol: Protocol, right: int, asked: int, bound_dprime: float) -> bool:
    share = float(share_right(protocol, bound_dprime))
    return asked > 0 and estimate.similarity_p(right, asked, share) <= ALPHA


def _turned(right: int, asked: int, guessed: float, looked: Looked) -> bool:
    """Return whether fewer answers are right than guessing leaves likely."""
    if right >= asked * guessed:
        return False
    if looked is Looked.ANY_TIME:
        return mixture_evidence(right, asked, guessed) >= BAR
    return estimate.similarity_p(right, asked, guessed) <= TURNED_P


def _towards(dprime: float, within: Interval, *, turned: bool) -> tuple[float, Interval]:
    """Return a difference as it points: below 0 where brews are named the wrong way round."""
    if not turned:
        return dprime, within
    return -dprime, Interval(low=-within.high, high=-within.low, level=within.level)


def _signed_dprime(share: float) -> float:
    """Return the d' of a pair at which a share is liked better or ranked higher, any sign."""
    return sqrt(2) * float(special.ndtri(share))


def _finding(shown: bool, smaller: bool, conditions: Conditions) -> Finding:
    """Return the word; what both could see proves nothing."""
    if conditions.blinding is Blinding.OPEN:
        return Finding.NOT_SETTLED
    if shown:
        return Finding.SHOWN
    return Finding.SMALLER if smaller else Finding.NOT_SETTLED


def _with_effect(
    found: Verdict, dprime: float, within: Interval, asked: int | None = None
) -> Verdict:
    # In a pair, whichever way the answers point. Where all point one way, a share of which that
    # happens half of the time: the median-unbiased estimate.
    protocol = next((one for one, kind in KINDS.items() if kind is found.kind), Protocol.PAIR)
    size = (
        abs(dprime)
        if isfinite(dprime)
        else dprime_of(protocol, 0.5 ** (1.0 / (asked or found.asked)))
    )
    share = float(share_right(Protocol.PAIR, size))
    return replace(found, dprime=dprime, dprime_within=within, right_share=share)


def _said(found: Verdict, conditions: Conditions) -> Verdict:
    sentences = [
        told.of_finding(
            found.kind,
            found.finding,
            about_habit=found.about_habit,
            towards_first=(found.dprime or 0.0) >= 0,
            bound=found.smaller_than,
            names=conditions.names,
        ),
        told.of_numbers(found.asked, found.right, found.kind),
    ]
    if found.evidence is not None and found.bar is not None:
        sentences += told.of_evidence(found.evidence, found.bar, found.finding)
    if found.p is not None and found.alpha is not None:
        sentences.append(told.of_p(found.p, found.alpha))
    if found.finding is Finding.SHOWN and found.smaller_than is not None:
        sentences.append(Message("verdict.and_smaller", {"bound": found.smaller_than}))
    if found.dprime is not None and found.dprime_within is not None:
        sentences.append(told.of_effect(found.dprime, found.dprime_within, found.looked))
    if found.turned:
        sentences.append(Message("verdict.turned"))
    elif found.right_share is not None and found.dprime is not None:
        sentences.append(
            told.in_words(found.right_share, found.kind, bounded=isfinite(found.dprime))
        )
    beside = cautions(conditions)
    if found.finding is Finding.SHOWN and found.about_habit and conditions.strength is None:
        beside = (Message("verdict.strength_unknown"), *beside)
    return replace(found, sentences=tuple(sentences), cautions=beside)
