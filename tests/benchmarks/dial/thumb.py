"""A strong person with the trade's rules of thumb: one change a brew, halving, undoing.

Sour finer then hotter, bitter coarser then cooler, thin a shorter ratio, strong a longer one,
harsh coarser and then gentler; a clock far off is put right first; a change that made it worse is
undone and the next in line is tried from the better cup; a lever that turns round goes half as
far; nothing to complain of and well liked is brewed again.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from dial.levers import LEVERS, Floats, Settings, changed, grids_of
from dial.peers import Answer, Request, best_liked, marks_seen, settings_of, worth

# Search steps of the trade: ratio 1.5, 3 C, 1.5 g/s, 15 s (common practice, no source).
STEP = {"ratio": 1.5, "water_c": 3.0, "pour_g_s": 1.5, "bloom_x": 0.5, "bloom_s": 15.0}
FAST_S, SLOW_S = 95.0, 280.0
# Points of liking by which a cup must be worse to be called so.
WORSE = 0.7
WELL_LIKED = 7.0


@dataclass(frozen=True, slots=True)
class Move:
    """One lever, and which way: 1 is more (coarser for the setting), -1 less."""

    lever: str
    way: int


# What is tried for each complaint, in order; `setting` is always 1 for coarser.
FOR = {
    "sour": (Move("setting", -1), Move("water_c", 1), Move("bloom_s", 1), Move("ratio", 1)),
    "bitter": (Move("setting", 1), Move("water_c", -1), Move("ratio", 1), Move("pour_g_s", 1)),
    "thin": (Move("ratio", -1), Move("setting", -1), Move("pour_g_s", -1)),
    "strong": (Move("ratio", 1), Move("setting", 1)),
    "harsh": (
        Move("setting", 1),
        Move("pour_g_s", -1),
        Move("bloom_x", 1),
        Move("swirl", 1),
        Move("pour_g_s", 1),
    ),
    "fast": (Move("setting", -1), Move("pour_g_s", -1)),
    "slow": (Move("setting", 1), Move("pour_g_s", 1)),
    "dull": (
        Move("setting", -1),
        Move("setting", 1),
        Move("ratio", -1),
        Move("ratio", 1),
        Move("pour_g_s", -1),
        Move("bloom_x", 1),
        Move("water_c", 1),
    ),
}


class Thumb:
    """The rules of thumb."""

    name = "rule of thumb"
    one_change = True

    def answer(self, request: Request) -> Answer:
        """Answer from the cup that is built on, by its strongest complaint."""
        history = request["history"]
        if not history:
            start = dict(request["context"]["start"])
            return Answer(next=start, best=start)
        best = best_liked(history)
        base = self._base(history)
        here = settings_of(history[base])
        grids = grids_of(request["context"])
        finer_is_lower = request["context"]["dial"]["finer"] == "lower"
        best_settings = settings_of(history[best])
        counts = sum(not changed(settings_of(brew), here) for brew in history)
        complaints = self._complaints(history[base]["seen"])
        content = worth(history[base]["seen"]) >= WELL_LIKED and complaints[0] == "dull"
        if content and base == len(history) - 1:
            status = "dialled in" if counts >= 2 else "one good cup"
            return Answer(next=here, best=best_settings, status=status, start_of=base)
        shouts = self._shouts(history[base]["seen"])
        # First what was not tried from here, then half a step of what was.
        for half in (False, True):
            for complaint in complaints:
                for move in FOR[complaint]:
                    size = (2.0 if complaint in shouts else 1.0) * (0.5 if half else 1.0)
                    after = _moved(here, move, grids, finer_is_lower, history, size)
                    if after is None or _was_brewed(after, history):
                        continue
                    if half or not _was_tried(here, after, move.lever, history):
                        return Answer(next=after, best=best_settings, start_of=base)
        return Answer(next=here, best=best_settings, start_of=base)

    def _base(self, history: Sequence[Request]) -> int:
        """Return the cup to go on from: the last, or the best before it where that was better."""
        last = len(history) - 1
        if last == 0:
            return 0
        before = best_liked(history[:last])
        fall = worth(history[before]["seen"]) - worth(history[last]["seen"])
        told = history[last]["seen"].get("better_than_last")
        if told is False and before == last - 1:
            fall += 0.4
        if told is True and before == last - 1:
            fall -= 0.8
        if history[last]["seen"].get("weight", 1.0) < 0.7:
            return before
        return before if fall > WORSE else last

    def _shouts(self, seen: Request) -> set[str]:
        """Return the complaints so loud that a person goes twice as far."""
        loud = {name for name, mark in marks_seen(seen).items() if mark >= 7.0}
        time_s = seen.get("time_s")
        if time_s is not None and time_s > 1.4 * SLOW_S:
            loud.add("slow")
        return loud

    def _complaints(self, seen: Request) -> list[str]:
        """Return the complaints of a cup, the loudest first; a clock far off is louder than all."""
        marks = marks_seen(seen)
        loud = {name: marks.get(name, 0.0) for name in ("sour", "bitter", "thin", "harsh")}
        felt = seen.get("strength_felt")
        if felt == "weak":
            loud["thin"] = max(loud["thin"], 5.2) + 1.0
        if felt == "strong":
            loud["strong"] = 6.2
        found = sorted((name for name, mark in loud.items() if mark >= 3.5), key=lambda n: -loud[n])
        time_s = seen.get("time_s")
        if time_s is not None and time_s > SLOW_S:
            found.insert(0, "slow")
        if time_s is not None and time_s < FAST_S:
            found.insert(0, "fast")
        return [*found, "dull"]


def _moved(
    here: Settings,
    move: Move,
    grids: Sequence[Floats],
    finer_is_lower: bool,
    history: Sequence[Request],
    size: float,
) -> Settings | None:
    column = LEVERS.index(move.lever)
    grid = grids[column]
    if len(grid) < 2:
        return None
    way = move.way if move.lever != "setting" or finer_is_lower else -move.way
    size = size * _size(move.lever, grid)
    size *= 0.5 ** _turns(move.lever, way, history)
    at = int(np.abs(grid - here[move.lever]).argmin())
    by = max(round(size / (grid[1] - grid[0])), 1)
    to = int(np.clip(at + way * by, 0, len(grid) - 1))
    return None if to == at else {**here, move.lever: float(grid[to])}


def _size(lever: str, grid: Floats) -> float:
    if lever == "setting":
        # A search step of a grinder: a sixteenth of its dial.
        return float(grid[-1] - grid[0]) / 16.0
    return STEP.get(lever, float(grid[1] - grid[0]))


def _turns(lever: str, way: int, history: Sequence[Request]) -> int:
    """Return how often a lever has been turned round, this move with it."""
    values = [settings_of(brew)[lever] for brew in history]
    signs = [np.sign(b - a) for a, b in pairwise(values) if b != a] + [way]
    return min(sum(a != b for a, b in pairwise(signs)), 1)


def _was_brewed(settings: Settings, history: Sequence[Request]) -> bool:
    return any(not changed(settings, settings_of(brew)) for brew in history)


def _was_tried(here: Settings, after: Settings, lever: str, history: Sequence[Request]) -> bool:
    """Return whether this lever was moved that way from here before; it did not help then."""
    way = np.sign(after[lever] - here[lever])
    for brew in history:
        there = settings_of(brew)
        if changed(here, there) == [lever] and np.sign(there[lever] - here[lever]) == way:
            return True
    return False
