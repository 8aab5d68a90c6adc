"""What every dialler is to this benchmark, and the two simplest."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np

from dial.levers import LEVERS, Settings, grids_of

Request = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a dialler says to a request: the next brew and the one it would brew to please.

    `bands` are the door's `expected`; None where a dialler gives none. `start_of` is the index of
    the earlier brew that the change is counted from, None for the last one.
    """

    next: Settings
    best: Settings
    status: str = "searching"
    confidence: float | None = None
    bands: Mapping[str, Any] | None = None
    start_of: int | None = None


class Peer(Protocol):
    """A dialler: sees a request and nothing else, and keeps nothing between two."""

    name: str
    one_change: bool

    def answer(self, request: Request) -> Answer:
        """Answer a request."""
        ...


class NeverChange:
    """Brews the start for ever."""

    name = "never change"
    one_change = True

    def answer(self, request: Request) -> Answer:
        """Answer with the start."""
        start = dict(request["context"]["start"])
        return Answer(next=start, best=start)


class AtRandom:
    """Moves one lever anywhere, from the cup it liked best."""

    name = "random"
    one_change = True

    def answer(self, request: Request) -> Answer:
        """Answer with one lever set at random."""
        history = request["history"]
        start = dict(request["context"]["start"])
        if not history:
            return Answer(next=start, best=start)
        rng = np.random.default_rng((request["seed"], len(history), 1))
        index = best_liked(history)
        after = settings_of(history[index])
        grids = grids_of(request["context"])
        movable = [column for column, grid in enumerate(grids) if len(grid) > 1]
        column = int(rng.choice(movable))
        after[LEVERS[column]] = float(rng.choice(grids[column]))
        return Answer(next=after, best=settings_of(history[index]), start_of=index)


def settings_of(brew: Mapping[str, Any]) -> Settings:
    """Return the settings of a brew in a history, all levers."""
    return {name: float(brew["settings"][name]) for name in LEVERS}


def marks_seen(seen: Mapping[str, Any]) -> dict[str, float]:
    """Return the marks of a cup; a word stands for 6, a word not said for 2.

    Where neither was given the dictionary is empty.
    """
    marks = {name: value for name, value in (seen.get("marks") or {}).items() if value is not None}
    if marks or seen.get("words") is None:
        return marks
    names = ("sour", "bitter", "thin", "harsh", "sweet")
    return {name: 6.0 if name in seen["words"] else 2.0 for name in names}


def worth(seen: Mapping[str, Any]) -> float:
    """Return how a cup was liked, in points: the liking, drawn a little by what was marked."""
    marks = marks_seen(seen)
    faults = sum(
        max(marks.get(name, 0.0) - 4.0, 0.0) for name in ("sour", "bitter", "thin", "harsh")
    )
    by_marks = 6.5 - 0.45 * faults + 0.15 * (marks.get("sweet", 4.0) - 4.0)
    if seen.get("strength_felt") in {"weak", "strong"}:
        by_marks -= 0.5
    liking = seen.get("liking")
    if liking is None:
        return float(by_marks)
    return float(0.6 * liking + 0.4 * by_marks) if marks else float(liking)


def best_liked(history: Sequence[Mapping[str, Any]]) -> int:
    """Return the index of the best cup: by its worth, the mean where a setting was repeated."""
    given: dict[tuple[float, ...], list[float]] = {}
    for brew in history:
        key = tuple(settings_of(brew).values())
        given.setdefault(key, []).append(worth(brew["seen"]))
    # A cup that was tasted often is trusted more: shrink each mean towards the middle of the scale.
    means = [
        (sum(given[key]) + 5.5) / (len(given[key]) + 1)
        for key in (tuple(settings_of(brew).values()) for brew in history)
    ]
    return max(range(len(history)), key=lambda index: (means[index], index))
