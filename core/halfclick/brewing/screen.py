"""What to do now, what is left to pour, and what comes next, at any moment of a brew."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from halfclick.brewing.guide import Guide
from halfclick.brewing.notices import notices
from halfclick.brewing.steps import PourStep, pour_steps
from halfclick.model.kit import ScaleCarries
from halfclick.model.under_way import GuideEventKind
from halfclick.wording import Message, clock


class Phase(StrEnum):
    """Where a brew under way stands."""

    GET_READY = "get_ready"
    POUR = "pour"
    WAIT = "wait"
    STEEP = "steep"
    DRAIN = "drain"
    READ = "read"
    DONE = "done"


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """What the guide shows at one moment.

    `left_to_pour_g` counts down at the plan's pace: nothing is weighed by the program.
    `stop_at_g` is what the scale will read, its known offset included.
    """

    phase: Phase
    do: Message
    left_to_pour_g: float | None = None
    stop_at_g: float | None = None
    next: Message | None = None
    clock_s: float | None = None
    clock_known: bool = True
    step_share: float = 0.0
    notices: tuple[Message, ...] = ()
    can: frozenset[GuideEventKind] = frozenset()
    next_pour: int | None = None  # what going on begins early, while waiting


_TAKE_BACK = frozenset({GuideEventKind.TAKEN_BACK})
# What can have slipped, by when it can be known.
_EARLY = _TAKE_BACK | {GuideEventKind.UNTARED_DOSE, GuideEventKind.UNTARED_SERVER}
_SLIPS = _EARLY | {
    GuideEventKind.OVERSHOOT,
    GuideEventKind.LATE_CLOCK,
    GuideEventKind.LOST_CLOCK,
    GuideEventKind.LOST_TOTAL,
    GuideEventKind.RINSE_LEFT,
    GuideEventKind.COLD_DRIPPER,
    GuideEventKind.PAPER_LEAKED,
    GuideEventKind.OTHER_PAPER,
}
_AFTER_BLOOM = _SLIPS | {
    GuideEventKind.STALLED,
    GuideEventKind.TARED_AFTER_BLOOM,
    GuideEventKind.LONG_BLOOM,
}
_AFTER_POURS = (_AFTER_BLOOM - {GuideEventKind.UNTARED_SERVER}) | {
    GuideEventKind.UNDERSHOOT,
    GuideEventKind.BYPASS,
}
_DRAINED = _TAKE_BACK | {
    GuideEventKind.OVERSHOOT,
    GuideEventKind.UNDERSHOOT,
    GuideEventKind.UNTARED_DOSE,
    GuideEventKind.TARED_AFTER_BLOOM,
    GuideEventKind.LOST_CLOCK,
    GuideEventKind.LOST_TOTAL,
    GuideEventKind.RINSE_LEFT,
    GuideEventKind.COLD_DRIPPER,
    GuideEventKind.PAPER_LEAKED,
    GuideEventKind.OTHER_PAPER,
    GuideEventKind.BYPASS,
}

_SAID_ONCE = frozenset(
    {
        GuideEventKind.UNTARED_DOSE,
        GuideEventKind.UNTARED_SERVER,
        GuideEventKind.TARED_AFTER_BLOOM,
        GuideEventKind.LOST_TOTAL,
        GuideEventKind.LOST_CLOCK,
        GuideEventKind.LONG_BLOOM,
        GuideEventKind.STALLED,
        GuideEventKind.UNDERSHOOT,
        GuideEventKind.BYPASS,
        GuideEventKind.RINSE_LEFT,
        GuideEventKind.COLD_DRIPPER,
        GuideEventKind.PAPER_LEAKED,
        GuideEventKind.OTHER_PAPER,
    }
)
# What one slip leaves no room for: water that is in stays in, a lost total is read no more, and
# a server that was read with its dose, or tared away, hides what was on the scale before.
_RULED_OUT = {
    GuideEventKind.UNDERSHOOT: frozenset({GuideEventKind.OVERSHOOT}),
    GuideEventKind.UNTARED_SERVER: frozenset({GuideEventKind.UNTARED_DOSE}),
    GuideEventKind.TARED_AFTER_BLOOM: frozenset({GuideEventKind.UNTARED_SERVER}),
    GuideEventKind.LOST_CLOCK: frozenset({GuideEventKind.LATE_CLOCK}),
    GuideEventKind.LOST_TOTAL: frozenset(
        {
            GuideEventKind.OVERSHOOT,
            GuideEventKind.UNDERSHOOT,
            GuideEventKind.UNTARED_SERVER,
        }
    ),
}


def screen_at(guide: Guide, now: datetime) -> Screen:
    """Return what the guide shows at a moment."""
    clock_s = guide.clock_s(now)
    if clock_s is None:
        return Screen(
            phase=Phase.GET_READY,
            do=Message("guide.start", {"bloom_g": guide.plan.bloom_g + guide.offset_g}),
            stop_at_g=guide.plan.bloom_g + guide.offset_g,
            can=_can(guide, _EARLY | {GuideEventKind.CLOCK_STARTED}),
            notices=notices(guide, None),
        )
    if guide.final_asked:
        return Screen(phase=Phase.DONE, do=Message("guide.done"), clock_s=guide.drained_s)
    if guide.drained_s is not None:
        return Screen(
            phase=Phase.READ,
            do=final_question(guide),
            clock_s=guide.drained_s,
            clock_known=guide.clock_known,
            notices=notices(guide, clock_s),
            can=_can(guide, _DRAINED | {GuideEventKind.FINAL_READING}),
        )
    return _running(guide, max(clock_s, 0.0))


def _running(guide: Guide, clock_s: float) -> Screen:
    steps = pour_steps(guide)
    current = _current(guide, steps, clock_s)
    following = _following(steps, current)
    if clock_s < current.end_s and current.until_g > current.from_g:
        return _pouring(guide, current, following, clock_s)
    if following is not None:
        return _waiting(guide, current, following, clock_s)
    return _draining(guide, clock_s)


def final_question(guide: Guide) -> Message:
    """Return what is to be weighed once the brew has drained, and with which water in it."""
    if not guide.total_is_lost:
        code = f"guide.read_{guide.carries.value}"
    elif guide.bodies.server_empty_g is None:
        code = f"guide.read_{ScaleCarries.SERVER_ALONE.value}"
    else:
        code = "guide.read_server_whole"
    if guide.noted(GuideEventKind.BYPASS) is not None:
        return Message(f"{code}_added")
    weighed = code != f"guide.read_{ScaleCarries.DRIPPER_AND_SERVER.value}"
    return Message(f"{code}_before" if guide.bypass_g and weighed else code)


def _can(guide: Guide, kinds: frozenset[GuideEventKind]) -> frozenset[GuideEventKind]:
    """Return what can be noted: nothing twice that is said once, nothing taken back from none."""
    said = {noted.kind for noted in guide.held}
    out = {kind for one in said for kind in _RULED_OUT.get(one, ())}
    if guide.overshot_g is not None and guide.overshot_g > guide.plan.water_g:
        out.add(GuideEventKind.UNDERSHOOT)
    if len(guide.plan.pours) == 1:
        out |= {GuideEventKind.TARED_AFTER_BLOOM, GuideEventKind.LONG_BLOOM}
    if not said:
        out |= _TAKE_BACK
    return kinds - (said & _SAID_ONCE) - out


def _following(steps: tuple[PourStep, ...], current: PourStep) -> PourStep | None:
    """Return the next pour that has anything left to pour."""
    return next((one for one in steps[current.number + 1 :] if one.until_g > one.from_g), None)


def _current(guide: Guide, steps: tuple[PourStep, ...], clock_s: float) -> PourStep:
    """Return the newest pour that was started, by a key or by the clock."""
    by_key = max((number for number, _ in guide.started_pours), default=0)
    by_clock = max(step.number for step in steps if step.start_s <= clock_s or step.number == 0)
    return steps[max(by_key, by_clock)]


def _pouring(guide: Guide, step: PourStep, following: PourStep | None, clock_s: float) -> Screen:
    share = (clock_s - step.start_s) / (step.end_s - step.start_s)
    share = min(max(share, 0.0), 1.0)
    stop_at_g = step.until_g + guide.offset_in(step.number)
    if step.number == 0:
        code = "guide.bloom_stir" if guide.plan.stir_bloom else "guide.bloom"
    else:
        code = "guide.pour"
    do = Message(code, {"until_g": stop_at_g})
    if guide.total_is_lost:
        do = Message("guide.pour_level")
    return Screen(
        phase=Phase.POUR,
        do=do,
        left_to_pour_g=(step.until_g - step.from_g) * (1.0 - share),
        stop_at_g=None if guide.total_is_lost else stop_at_g,
        next=_next_pour(guide, following) if following else Message("guide.next_drain"),
        clock_s=clock_s,
        clock_known=guide.clock_known,
        step_share=share,
        notices=notices(guide, clock_s),
        can=_can(guide, _AFTER_BLOOM if step.number else _SLIPS),
    )


def _waiting(guide: Guide, step: PourStep, following: PourStep, clock_s: float) -> Screen:
    span_s = max(following.start_s - step.end_s, 1.0)
    code = "guide.wait_bloom_stir" if step.number == 0 and guide.plan.stir_bloom else "guide.wait"
    return Screen(
        phase=Phase.WAIT,
        do=Message(code, {"at": clock(following.start_s)}),
        left_to_pour_g=following.until_g - following.from_g,
        stop_at_g=None if guide.total_is_lost else following.until_g + guide.offset_g,
        next=_next_pour(guide, following),
        clock_s=clock_s,
        clock_known=guide.clock_known,
        step_share=min(max((clock_s - step.end_s) / span_s, 0.0), 1.0),
        notices=notices(guide, clock_s),
        can=_can(guide, _AFTER_BLOOM | {GuideEventKind.POUR_STARTED}),
        next_pour=following.number,
    )


def _draining(guide: Guide, clock_s: float) -> Screen:
    steep_s = guide.plan.steep_s
    if steep_s is not None and clock_s < steep_s:
        return Screen(
            phase=Phase.STEEP,
            do=Message("guide.steep", {"at": clock(steep_s)}),
            next=Message("guide.next_valve"),
            clock_s=clock_s,
            clock_known=guide.clock_known,
            step_share=clock_s / steep_s,
            notices=notices(guide, clock_s),
            can=_can(guide, _AFTER_POURS | {GuideEventKind.DRAINED}),
        )
    code = "guide.drain" if steep_s is None else "guide.drain_valve"
    return Screen(
        phase=Phase.DRAIN,
        do=Message(code),
        next=Message(f"guide.drained_{guide.drained_rule.value}"),
        clock_s=clock_s,
        clock_known=guide.clock_known,
        notices=notices(guide, clock_s),
        can=_can(guide, _AFTER_POURS | {GuideEventKind.DRAINED, GuideEventKind.LIFTED}),
    )


def _next_pour(guide: Guide, step: PourStep) -> Message:
    if guide.total_is_lost:
        return Message("guide.next_pour_level", {"at": clock(step.start_s)})
    values = {"at": clock(step.start_s), "until_g": step.until_g + guide.offset_g}
    return Message("guide.next_pour", values)
