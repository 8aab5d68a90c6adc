"""Why a next brew is proposed: what moved the belief, what is expected, what would change it."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.leaning import UNEVEN_COST, Leaning
from halfclick.dialling.request import LEVERS, MARKS, Cup, Settings
from halfclick.dialling.stopping import Status
from halfclick.wording import Message

Floats = NDArray[np.float64]
Band = tuple[float, float, float]
CLEARLY = 5.0
MOST_LEANINGS = 2


def spoke(cup: Cup) -> tuple[Message, ...]:
    """Return what a cup was said to be, and how its bed looked where that was uneven."""
    marks = {name: value for name, value in (cup.seen.marks or {}).items() if name in MARKS}
    there = [name for name in MARKS if (marks.get(name) or 0.0) >= CLEARLY]
    there += [word for word in dict.fromkeys(cup.seen.words or []) if word not in there]
    told = []
    if there:
        named = [Message(f"dial.mark_{name}") for name in there]
        told.append(Message("dial.spoke", {"marks": named}))
    elif marks or cup.seen.words is not None:
        told.append(Message("dial.spoke_of_nothing"))
    if cup.seen.bed_even is False:
        told.append(Message("dial.spoke_bed"))
    return tuple(told)


def was_tasted(cup: Cup) -> bool:
    """Return whether anything was seen that says what a cup lacked."""
    seen = cup.seen
    looked = (seen.liking, seen.words, seen.strength_felt, seen.strength_pct, seen.bed_even)
    given = any(value is not None for value in (seen.marks or {}).values())
    return given or any(value is not None for value in looked)


def leaned(leaning: Leaning) -> tuple[Message, ...]:
    """Return what a cup is believed to have lacked."""
    told = [
        Message(f"dial.leans_{name}", {"share": chance})
        for name, chance in leaning.told()[:MOST_LEANINGS]
    ]
    if leaning.uneven_cost >= UNEVEN_COST:
        told.append(Message("dial.leans_uneven"))
    return tuple(told)


def moved(before: Settings, after: Settings) -> tuple[Message, ...]:
    """Return which levers move, each from where to where; nothing where none does."""
    found = []
    for name in LEVERS:
        was, now = getattr(before, name), getattr(after, name)
        if abs(was - now) > 1e-9:
            found.append(Message(f"dial.moved_{name}", _values(name, was, now)))
    return tuple(found)


def stands(status: Status, confidence: float) -> Message:
    """Return where the search stands, in a sentence."""
    return Message(f"dial.{status.name.lower()}", {"share": confidence})


def expects(bands: Mapping[str, Band], *, timed: bool) -> tuple[Message, ...]:
    """Return what is expected of the next cup, and what would change the mind."""
    low, middle, high = bands["liking"]
    told = [Message("dial.expects_liking", {"low": low, "high": high})]
    if timed:
        low_s, _, high_s = bands["time_s"]
        told.insert(0, Message("dial.expects_time", {"low_time_s": low_s, "high_time_s": high_s}))
    told.append(Message("dial.mind", {"low": low, "middle": middle}))
    return tuple(told)


def counted(cups: Sequence[Cup], earlier: int) -> Message:
    """Return how many cups it rests on."""
    if earlier:
        return Message("dial.rests_on_more", {"count": len(cups), "coffees": earlier})
    return Message("dial.rests_on", {"count": len(cups)})


def _values(name: str, was: float, now: float) -> dict[str, object]:
    suffix = {"water_c": "_c", "pour_g_s": "_g_s", "bloom_s": "_s"}.get(name, "")
    return {f"was{suffix}": was, f"now{suffix}": now}
