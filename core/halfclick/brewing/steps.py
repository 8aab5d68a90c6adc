"""The timed steps of a plan, as slips have left them."""

from dataclasses import dataclass

from halfclick.brewing.guide import Guide

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
    it, and a target that was passed becomes what is in the dripper.
    """
    started = dict(guide.started_pours)
    over_g = guide.overshot_g
    untared_s = guide.untared_s
    steps: list[PourStep] = []
    before_g = 0.0
    for number, pour in enumerate(guide.plan.pours):
        until_g = max(pour.until_g, before_g)
        from_g = before_g
        if over_g is not None and pour.until_g <= over_g:
            # Passed already: nothing is left of this pour; the last one passed ends where it is.
            until_g = over_g if over_g < _target_after(guide, number) else until_g
            from_g = until_g
        start_s = started.get(number, pour.start_s)
        end_s = start_s + (until_g - from_g) / pour.rate_g_s
        if from_g < until_g and untared_s is not None and end_s <= untared_s:
            until_g = _stopped_short_g(guide, number, until_g)
        steps.append(
            PourStep(number=number, start_s=start_s, end_s=end_s, from_g=from_g, until_g=until_g)
        )
        before_g = until_g
    return tuple(steps)


def bloom_end_s(guide: Guide) -> float:
    """Return the clock at which the first pour ends at the plan's pace, s."""
    bloom = guide.plan.pours[0]
    return bloom.start_s + bloom.until_g / bloom.rate_g_s


def pours_end_s(guide: Guide) -> float:
    """Return the clock at which the last pour ends at the plan's pace, s."""
    return pour_steps(guide)[-1].end_s


def _stopped_short_g(guide: Guide, number: int, until_g: float) -> float:
    """Return where a pour ended that was made before the scale was known to read too high."""
    untared_s = guide.untared_s
    if number == 0 and untared_s is not None and untared_s < TOP_UP_UNTIL_S:
        return until_g  # topped up since
    return max(until_g - guide.offset_g, guide.overshot_g or 0.0, 0.0)


def _target_after(guide: Guide, number: int) -> float:
    pours = guide.plan.pours
    return pours[number + 1].until_g if number + 1 < len(pours) else float("inf")
