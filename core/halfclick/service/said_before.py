"""What a person's cups expected of a cup, kept among the reasons of the advice it was brewed by.

Reasons are messages, and a message may hold more values than its sentence prints: so the bands go
with the advice and its brew, and need no column.
"""

from collections.abc import Iterable, Mapping

from halfclick.model.brew import How, Reading
from halfclick.model.tasting import Mark
from halfclick.service.cups import Cup
from halfclick.wording import Message

Band = tuple[float, float, float]
Ends = tuple[float, float]
CODES = ("learner.expects", "learner.expects_timed")
# How the quantities are named in a message: the suffix says how a value is printed.
NAMES = {"liking": "", "time_s": "_time_s", "strength": "_strength"}
NAMES |= {mark.value: f"_{mark.value}" for mark in Mark}


def expects(bands: Mapping[str, Band], marks: Mapping[str, Band], *, timed: bool) -> Message:
    """Return what is expected of a cup: bands of eight in ten.

    Args:
        bands: of liking, time_s and strength_pct.
        marks: of each mark.
        timed: whether this person looks at the clock.
    """
    low, middle, high = (one / 100.0 for one in bands["strength_pct"])
    found = {"liking": bands["liking"], "strength": (low, middle, high), **marks}
    if timed:
        found["time_s"] = bands["time_s"]
    values: dict[str, object] = {}
    for name, band in found.items():
        values |= {f"low{NAMES[name]}": band[0], f"high{NAMES[name]}": band[2]}
    return Message(CODES[1] if timed else CODES[0], values)


def said_in(why: Iterable[Message]) -> dict[str, Ends]:
    """Return the bands that reasons hold, by quantity; nothing where none was said."""
    kept = next((one for one in why if one.code in CODES), None)
    if kept is None:
        return {}
    found: dict[str, Ends] = {}
    for name, suffix in NAMES.items():
        ends = kept.values.get(f"low{suffix}"), kept.values.get(f"high{suffix}")
        if all(isinstance(end, int | float) for end in ends):
            found[name] = float(str(ends[0])), float(str(ends[1]))
    return found


def seen_of(cup: Cup) -> dict[str, float]:
    """Return what was seen of a cup, by the same names; what nobody looked at is left out."""
    tasting, poured = cup.tasting, cup.brew.poured
    found: dict[str, float | None] = {"time_s": _told(poured.drained_s)}
    if tasting is not None:
        found |= {"liking": tasting.liking}
        # Water added to the cup did not run through the bed, of which the band speaks.
        found["strength"] = tasting.strength if not poured.bypass_g.value else None
        found |= {mark.value: tasting.marks.of(mark) for mark in Mark}
    return {name: value for name, value in found.items() if value is not None}


def _told(reading: Reading) -> float | None:
    return reading.value if reading.how in {How.MEASURED, How.CORRECTED} else None
