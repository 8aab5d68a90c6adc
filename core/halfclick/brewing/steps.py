"""The timed steps of a plan, as slips have left them."""

from dataclasses import dataclass

from halfclick.brewing.guide import Guide


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
    steps: list[PourStep] = []
    before_g = 0.0
    for number, pour in enumerate(guide.plan.pours):
        until_g = max(pour.until_g, before_g)
        if over_g is not None and pour.until_g <= over_g < _target_after(guide, number):
            until_g = over_g
        start_s = started.get(number, pour.start_s)
        end_s = start_s + (until_g - before_g) / pour.rate_g_s
        steps.append(
            PourStep(number=number, start_s=start_s, end_s=end_s, from_g=before_g, until_g=until_g)
        )
        before_g = until_g
    return tuple(steps)


def _target_after(guide: Guide, number: int) -> float:
    pours = guide.plan.pours
    return pours[number + 1].until_g if number + 1 < len(pours) else float("inf")
