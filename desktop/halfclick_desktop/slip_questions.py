"""What a slip asks at the kettle, and in which unit it is answered."""

from halfclick.model.under_way import GuideEventKind

# Slips that have a size, and the catalogue code of what an empty answer means.
ASKED = {
    GuideEventKind.OVERSHOOT: ("guide_page.ask_reading", "ask.keys"),
    GuideEventKind.UNDERSHOOT: ("guide_page.ask_reading", "ask.keys"),
    GuideEventKind.UNTARED_SERVER: ("guide_page.ask_reading", "ask.keys"),
    GuideEventKind.TARED_AFTER_BLOOM: ("slip.ask_tared", "ask.keys_planned"),
    GuideEventKind.LATE_CLOCK: ("guide_page.ask_late", "ask.keys"),
    GuideEventKind.LONG_BLOOM: ("slip.ask_bloom", "ask.keys_now"),
    GuideEventKind.RINSE_LEFT: ("slip.ask_rinse", "ask.keys_skip"),
    GuideEventKind.BYPASS: ("slip.ask_bypass", "ask.keys_advised"),
    GuideEventKind.LIFTED: ("guide_page.ask_lifted", "ask.keys_skip"),
}
# The answers that are seconds; the others are weights.
_TIMED = frozenset({GuideEventKind.LATE_CLOCK, GuideEventKind.LONG_BLOOM})


def unit_of(kind: GuideEventKind) -> str:
    """Return the unit suffix of what a slip asks: seconds or grams."""
    return "s" if kind in _TIMED else "g"
