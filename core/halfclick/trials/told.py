"""A finding in sentences: its word, its numbers, the difference and what that means at a table."""

from collections.abc import Mapping, Sequence
from math import isfinite

from halfclick.model.trial_kinds import Finding, Liked, Looked, TrialKind
from halfclick.trials.betting import Interval
from halfclick.trials.blocks import BlocksTest
from halfclick.trials.ranking import Ends, least_gap
from halfclick.wording import Message, number

# Evidence from which it is worth going on, a half of the bar (own default).
LEANING_SHARE = 0.5
# From so many in ten a taster picks the cup "nearly every time".
NEARLY_ALWAYS = 0.95
TENTHS = 10


def of_finding(
    kind: TrialKind,
    finding: Finding,
    *,
    about_habit: bool,
    towards_first: bool = True,
    bound: float | None = None,
    names: Sequence[str] = (),
) -> Message:
    """Return the verdict's own sentence; of the habit, or of these brews alone.

    Args:
        kind: of the trial.
        finding: what was found.
        about_habit: what it is found of.
        towards_first: the answers point to the first brew, or to the one with the habit.
        bound: the d' that the difference is smaller than.
        names: what the brews are called, where that is known.
    """
    about = "habit" if about_habit else "brews"
    values = {"bound": number(bound, 2)} if bound is not None else {}
    if finding is Finding.SHOWN and kind is TrialKind.PREFERENCE:
        side = "first" if towards_first else "second"
        if not about_habit and names:
            return Message("verdict.liked_brew", {"better": names[0 if towards_first else 1]})
        return Message(f"verdict.liked_{about}_{side}")
    if kind is TrialKind.RANKING:
        return Message(f"verdict.ranking_{finding.value}")
    if finding is Finding.NOT_SETTLED and kind is TrialKind.PREFERENCE:
        return Message("verdict.preference_not_settled")
    if finding is Finding.NOT_SETTLED:
        return Message("verdict.not_settled")
    return Message(f"verdict.{finding.value}_{about}", values)


def of_numbers(asked: int, right: int | None, kind: TrialKind) -> Message:
    """Return how many answers there were, and how many were right."""
    if right is None or kind is TrialKind.PREFERENCE:
        return Message("verdict.answers", {"count": asked})
    code = "verdict.pointed" if kind is TrialKind.GRADED_PAIRS else "verdict.right"
    return Message(code, {"right": right, "count": asked})


def of_evidence(evidence: float, bar: float, finding: Finding) -> list[Message]:
    """Return the evidence against its bar, and whether to go on."""
    values = {"evidence": number(evidence, 1), "bar": number(bar, 0)}
    found = [Message("verdict.evidence", values)]
    if finding is Finding.NOT_SETTLED and evidence >= LEANING_SHARE * bar:
        found.append(Message("verdict.leaning"))
    return found


def of_p(p: float, alpha: float) -> Message:
    """Return how often chance alone does as well, against what is called shown."""
    return Message("verdict.p", {"p": _small(p), "alpha": _small(alpha)})


def of_effect(dprime: float, within: Interval, looked: Looked) -> Message:
    """Return d' with its interval, and what the interval is right for."""
    values = {
        "dprime": number(dprime, 2),
        "low": number(within.low, 2) if isfinite(within.low) else "",
        "high": number(within.high, 2) if isfinite(within.high) else "",
        "level_share": within.level,
    }
    if not isfinite(within.low) and not isfinite(within.high):
        return Message("verdict.effect_unknown")
    if not isfinite(within.high):
        return Message(f"verdict.effect_from_{looked.value}", values)
    if not isfinite(within.low):
        return Message(f"verdict.effect_to_{looked.value}", values)
    return Message(f"verdict.effect_{looked.value}", values)


def in_words(right_share: float, kind: TrialKind, *, bounded: bool = True) -> Message:
    """Return a difference as how often a careful taster picks the cup of a pair, in ten.

    Args:
        right_share: of a pair, at the difference.
        kind: of the trial.
        bounded: it is the difference found, and not the middle of what fits, without an end.
    """
    tenths = round(TENTHS * right_share)
    if kind is TrialKind.RANKING and bounded:
        return Message("verdict.ranked_tenths", {"tenths": tenths})
    if kind is TrialKind.PREFERENCE and bounded:
        return Message("verdict.liked_tenths", {"tenths": tenths})
    if not bounded and kind in {TrialKind.PREFERENCE, TrialKind.RANKING}:
        return Message("verdict.liked_in_the_middle", {"tenths": tenths})
    if not bounded and tenths <= TENTHS // 2:
        return Message("verdict.no_upper_limit")
    if not bounded:
        return Message("verdict.tenths_in_the_middle", {"tenths": tenths})
    if right_share >= NEARLY_ALWAYS:
        return Message("verdict.nearly_always")
    if tenths <= TENTHS // 2:
        return Message("verdict.like_guessing")
    return Message("verdict.tenths", {"tenths": tenths})


def of_identical(answers: Sequence[Liked]) -> tuple[Message, ...]:
    """Return how often one of two cups of the same brew was liked better; nothing if none was."""
    if not answers:
        return ()
    false = sum(one is not Liked.NEITHER for one in answers)
    return (Message("verdict.identical", {"count": len(answers), "false": false}),)


def of_votes(values: Mapping[str, object], names: Sequence[str]) -> Message:
    """Return how often each brew was liked better; by name where names are known."""
    if not names:
        return Message("verdict.votes", values)
    named = {"first_name": names[0], "second_name": names[1]}
    return Message("verdict.votes_named", {**values, **named})


def of_ends(ends: Ends, names: Sequence[str]) -> Message:
    """Return how often the brew ranked best stood above the one ranked last."""
    best, worst = (names[at] if names else number(at + 1, 0) for at in (ends.first, ends.last))
    values = {"best": best, "worst": worst, "above": ends.above, "count": ends.met}
    return Message("verdict.ranking_ends", {**values, "pairs": ends.pairs})


def of_rank_sums(
    ranks: Sequence[Sequence[int]], *, exact: bool, predicted: bool
) -> tuple[Message, ...]:
    """Return the rank sums, how far apart two must lie, and the law that the p comes from."""
    sums = [sum(row[brew] for row in ranks) for brew in range(len(ranks[0]))]
    gap = least_gap(len(ranks), len(sums))
    values = {"sums": [number(one) for one in sums], "gap": number(gap)}
    law = "verdict.by_page" if predicted else "verdict.by_friedman"
    if not exact:
        law = "verdict.by_chi_squared"
    return Message("verdict.rank_sums", values), Message(law)


def of_blocks(test: BlocksTest) -> tuple[Message, ...]:
    """Return the brews' places where sittings held only some, and the law that the p comes from."""
    places = [number(one, 2) for one in test.places]
    law = "verdict.by_blocks" if test.exact else "verdict.by_drawn_blocks"
    return Message("verdict.places", {"places": places}), Message(law)


def _small(p: float) -> str:
    """Print a probability with two digits that count."""
    decimals = 2
    while decimals < 9 and 0 < p < 10.0 ** (1 - decimals):
        decimals += 1
    return number(p, decimals)
