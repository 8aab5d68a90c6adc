"""What a person answers about a slip, to the event that is kept."""

from datetime import datetime

from halfclick.brewing.guide import Guide
from halfclick.brewing.slips import bypass_needed_g
from halfclick.brewing.steps import bloom_reading_g, too_high_g
from halfclick.errors import BadInput
from halfclick.model.under_way import GuideEventKind

HEAVIEST_G = 20_000.0  # far beyond any kitchen scale
LATEST_S = 600.0
LONGEST_BLOOM_S = 3_600.0

_MUST_BE_READ = frozenset(
    {GuideEventKind.OVERSHOOT, GuideEventKind.UNDERSHOOT, GuideEventKind.UNTARED_SERVER}
)
_WEIGHED = _MUST_BE_READ | {
    GuideEventKind.TARED_AFTER_BLOOM,
    GuideEventKind.RINSE_LEFT,
    GuideEventKind.BYPASS,
    GuideEventKind.LIFTED,
}

Told = tuple[GuideEventKind, float | None]


def event_told(guide: Guide, kind: GuideEventKind, value: float | None, now: datetime) -> Told:
    """Return the kind and the value of the event that an answer means.

    Args:
        guide: the brew under way.
        kind: which slip was asked about.
        value: the answer, g or s; None where nothing was typed.
        now: the moment of the answer.

    Raises:
        BadInput: the answer cannot be.
    """
    if kind in _WEIGHED:
        _check_weight(guide, kind, value)
    if kind is GuideEventKind.UNTARED_DOSE:
        return kind, guide.plan.dose_g
    if kind is GuideEventKind.LATE_CLOCK:
        return _late(value)
    if kind is GuideEventKind.LONG_BLOOM:
        _check_long(guide, value, now)
    if value is None:
        return kind, _unsaid(guide, kind)
    return kind, _said(guide, kind, value, now)


def _unsaid(guide: Guide, kind: GuideEventKind) -> float | None:
    """Return what nothing typed means."""
    if kind is GuideEventKind.TARED_AFTER_BLOOM:
        return bloom_reading_g(guide)
    if kind is GuideEventKind.BYPASS and not bypass_needed_g(guide):
        raise BadInput("slip.needs_bypass")
    return None


def _said(guide: Guide, kind: GuideEventKind, value: float, now: datetime) -> float:
    if kind is GuideEventKind.UNTARED_SERVER:
        return too_high_g(guide, value, now)
    if kind is GuideEventKind.UNDERSHOOT:
        _check_short(guide, value)
    return value


def _check_weight(guide: Guide, kind: GuideEventKind, value_g: float | None) -> None:
    if value_g is None and kind in _MUST_BE_READ:
        raise BadInput("guide_page.needs_weight")
    if value_g == 0 and kind is GuideEventKind.BYPASS and guide.bypass_g:
        return  # what was planned to be added was left out
    if value_g is not None and not 0 < value_g < HEAVIEST_G:
        raise BadInput("guide_page.bad_weight", given_g=value_g)


def _check_short(guide: Guide, reading_g: float) -> None:
    until_g = guide.plan.water_g + guide.offset_g
    if reading_g >= until_g:
        raise BadInput("slip.not_short", given_g=reading_g, until_g=until_g)


def _check_long(guide: Guide, value_s: float | None, now: datetime) -> None:
    lasted_s = guide.clock_s(now) if value_s is None else value_s
    planned_s = guide.plan.bloom_s
    if lasted_s is None or not planned_s < lasted_s <= LONGEST_BLOOM_S:
        raise BadInput("slip.not_long", given_s=lasted_s or 0.0, planned_s=planned_s)


def _late(value_s: float | None) -> Told:
    if value_s is None:
        return GuideEventKind.LOST_CLOCK, None
    if not 0 < value_s <= LATEST_S:
        raise BadInput("guide_page.bad_late", given_s=value_s)
    return GuideEventKind.LATE_CLOCK, value_s
