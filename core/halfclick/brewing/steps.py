"""The timed steps of a plan, as slips have left them."""

from dataclasses import dataclass, replace
from datetime import datetime

from halfclick.brewing.guide import Guide
from halfclick.errors import BadInput
from halfclick.model.under_way import GuideEventKind

# A bloom can be topped up while it is still one (common practice, no source).
TOP_UP_UNTIL_S = 25.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PourStep:
    """One pour as it is to be made: clock times in s, weights without the scale's offset, g."""

    number: int
    start_s: float
    end_s: float
    from_g: float
    until_g: float


def pour_steps(guide: Guide) -> tuple[PourStep, ...]:
    """Return the pours of a brew under way, later targets recomputed for what slipped.

    Targets stay as planned while they can: after an overshoot the next pour is the smaller for
    it, and a target that was passed becomes what is in the dripper. After a long bloom the
    later pours keep their distances.
    """
    starts_s = _starts_s(guide)
    over_g, short_g = guide.overshot_g, guide.undershot_g
    steps: list[PourStep] = []
    before_g = 0.0
    for number, pour in enumerate(guide.plan.pours):
        until_g = max(pour.until_g, before_g)
        from_g = before_g
        if over_g is not None and pour.until_g <= over_g:
            # Passed already: nothing is left of this pour; the last one passed ends where it is.
            until_g = over_g if over_g < _target_after(guide, number) else until_g
            from_g = until_g
        if short_g is not None:
            # Pouring is over, and this is all that went in.
            until_g = short_g if number + 1 == len(guide.plan.pours) else min(until_g, short_g)
            from_g = until_g
        start_s = starts_s[number]
        end_s = start_s + (until_g - from_g) / pour.rate_g_s
        step = PourStep(number=number, start_s=start_s, end_s=end_s, from_g=from_g, until_g=until_g)
        if from_g < until_g:
            until_g = _reached_g(guide, step, pour.rate_g_s)
            step = replace(step, until_g=until_g)
        steps.append(step)
        before_g = until_g
    return tuple(steps)


def bloom_end_s(guide: Guide) -> float:
    """Return the clock at which the first pour ends at the plan's pace, s."""
    bloom = guide.plan.pours[0]
    return bloom.start_s + bloom.until_g / bloom.rate_g_s


def pours_end_s(guide: Guide) -> float:
    """Return the clock at which the last pour ends at the plan's pace, s."""
    return pour_steps(guide)[-1].end_s


def total_g(guide: Guide) -> float:
    """Return all the water that the pours bring, g, as far as slips tell."""
    return pour_steps(guide)[-1].until_g


def water_in_g(guide: Guide, clock_s: float | None) -> float:
    """Return the water that is in at a moment, at the plan's pace, g."""
    in_g = 0.0
    for step in pour_steps(guide):
        if clock_s is None or clock_s < step.start_s:
            break
        span_s = step.end_s - step.start_s
        share = 1.0 if span_s <= 0 else min((clock_s - step.start_s) / span_s, 1.0)
        in_g = step.from_g + (step.until_g - step.from_g) * share
    return in_g


def too_high_g(guide: Guide, reading_g: float, now: datetime) -> float:
    """Return how much a scale reads too high that server and dripper were not tared on, g.

    Raises:
        BadInput: it reads no more than the water that is in.
    """
    in_g = water_in_g(guide, guide.clock_s(now))
    if reading_g <= in_g:
        raise BadInput("slip.not_too_high", given_g=reading_g, water_g=float(round(in_g)))
    return reading_g - in_g


def bloom_reading_g(guide: Guide) -> float:
    """Return what the scale read after the bloom, as far as it is known, g."""
    return pour_steps(guide)[0].until_g + guide.offset_in(0)


def _starts_s(guide: Guide) -> list[float]:
    """Return when each pour starts, s: by its key, else as planned, after a long bloom later."""
    started = dict(guide.started_pours)
    long_s = guide.long_bloom_s
    late_s = 0.0 if long_s is None else max(long_s - guide.plan.bloom_s, 0.0)
    return [
        started.get(number, pour.start_s + (late_s if number else 0.0))
        for number, pour in enumerate(guide.plan.pours)
    ]


def _reached_g(guide: Guide, step: PourStep, rate_g_s: float) -> float:
    """Return where a pour ended, which may be before its scale was known to read wrong."""
    wrong_g = guide.offset_in(step.number) - guide.offset_in(step.number, by_s=step.end_s)
    untared_s = guide.untared_s
    if step.number == 0 and untared_s is not None and untared_s < TOP_UP_UNTIL_S:
        return step.until_g  # topped up since
    if not wrong_g:
        return step.until_g
    reached_g = step.until_g - wrong_g
    tared = guide.noted(GuideEventKind.TARED_AFTER_BLOOM)
    if wrong_g < 0 and tared is not None and tared.at_s is not None:
        # A scale that reads too low is poured on by until that is noticed, at the plan's pace.
        ran_g = step.from_g + rate_g_s * (tared.at_s - step.start_s)
        reached_g = min(reached_g, max(ran_g, step.until_g))
    return max(reached_g, step.from_g, guide.overshot_g or 0.0)


def _target_after(guide: Guide, number: int) -> float:
    pours = guide.plan.pours
    return pours[number + 1].until_g if number + 1 < len(pours) else float("inf")
