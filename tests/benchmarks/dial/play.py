"""One dialler on one world, brew by brew, and what came of it."""

import json
import time
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

from dial.finding import brews_of_clairvoyant
from dial.levers import LEVERS, Settings, as_row, changed, snapped
from dial.peers import Answer, AtRandom, Peer
from dial.population import Posed, request_context, started_at
from dial.world import CLOSE, is_on_grid

MOST = 12
BAD = 2.0
BANDS = ("time_s", "strength_pct", "liking")


@dataclass(slots=True, kw_only=True)
class Played:
    """What one dialler did on one world.

    `regrets` are of each brew, and `best_regrets` of the own best after each, points of liking
    without noise; `brews` is the first brew within half a point, 13 where there was none;
    `inside` counts bands by quantity: how many held, how many were given.
    """

    peer: str
    world: str
    kind: str
    brews: int = MOST + 1
    regrets: list[float] = field(default_factory=list)
    best_regrets: list[float] = field(default_factory=list)
    statuses: list[str] = field(default_factory=list)
    confidences: list[float | None] = field(default_factory=list)
    inside: dict[str, list[int]] = field(default_factory=dict)
    think_s: list[float] = field(default_factory=list)
    many_changes: int = 0
    off_grid: int = 0
    settings: list[list[float]] = field(default_factory=list)

    def as_dict(self) -> dict[str, Any]:
        """Return it as plain values."""
        return asdict(self)


def play(
    peer: Peer,
    posed: Posed,
    *,
    earlier: Sequence[Mapping[str, Any]] = (),
    most: int = MOST,
    stop_after: int | None = None,
) -> tuple[Played, list[dict[str, Any]], Settings]:
    """Play one dialler on one world.

    Args:
        peer: the dialler.
        posed: the world with its best.
        earlier: the same person's earlier coffees, as the door is told them.
        most: brews at most.
        stop_after: end so many brews after the first solved one; None to go on to the last.

    Returns:
        What came of it, the history as the door is told it, and the own best at the end.
    """
    world, history = posed.world, []
    out = Played(peer=peer.name, world=world.name, kind=world.kind, brews=most + 1)
    context = {**request_context(world), "earlier": list(earlier)}
    last: float | None = None
    best = dict(world.context["start"])
    for number in range(most + 1):
        request = {
            "id": f"{world.name}-{number}",
            "context": context,
            "history": list(history),
            "changes_at_most": 1,
            "seed": world.seed % 2**31,
        }
        plain = json.loads(json.dumps(request))  # what the door would read, and nothing else
        began = time.perf_counter()
        answer = peer.answer(plain)
        out.think_s.append(time.perf_counter() - began)
        best = _tidy(answer.best, world, out)
        if number:
            _note(out, posed, answer, best)
        if number == most or (stop_after is not None and number >= out.brews + stop_after):
            break
        settings = _tidy(answer.next, world, out)
        _count_changes(out, answer, history, settings)
        seen = world.brew(settings, number, last)
        last = seen.pop("true_liking")
        regret = posed.regret(settings)
        out.regrets.append(regret)
        out.settings.append([settings[name] for name in LEVERS])
        if regret <= CLOSE and out.brews > most:
            out.brews = number + 1
        if answer.bands:
            _count_bands(out, answer.bands, seen)
        history.append({"settings": settings, "seen": seen})
    return out, history, best


def play_bags(peer: Peer, bags: Sequence[Posed]) -> list[Played]:
    """Play five bags, each from where the last one ended, until soon after it is solved."""
    told: list[dict[str, Any]] = []
    played = []
    start: Settings | None = None
    for bag in bags:
        posed = bag if start is None else started_at(bag, start)
        one, history, start = play(peer, posed, earlier=told, stop_after=2)
        told.append({"context": request_context(posed.world), "history": history})
        played.append(one)
    return played


def time_at_most(peer: Peer, bags: Sequence[Posed]) -> float:
    """Return how long a dialler thinks with 12 brews and five earlier coffees of 12, s.

    The cups are those of one who moves at random, so that each is told from the others.
    """
    told = []
    for bag in bags:
        _, history, _ = play(AtRandom(), bag)
        told.append({"context": request_context(bag.world), "history": history})
    world = bags[0].world
    request = {
        "id": f"{world.name}-most",
        "context": {**told[0]["context"], "earlier": told},
        "history": told[0]["history"],
        "changes_at_most": 1,
        "seed": 1,
    }
    plain = json.loads(json.dumps(request))
    began = time.perf_counter()
    peer.answer(plain)
    return time.perf_counter() - began


def play_clairvoyant(posed: Posed) -> Played:
    """Return how few brews it takes who knows the hidden equations."""
    out = Played(peer="clairvoyant", world=posed.world.name, kind=posed.world.kind)
    out.brews = brews_of_clairvoyant(posed.world, posed.start, posed.best_liking)
    return out


def _note(out: Played, posed: Posed, answer: Answer, best: Settings) -> None:
    out.best_regrets.append(posed.regret(best))
    out.statuses.append(answer.status)
    out.confidences.append(answer.confidence)


def _tidy(settings: Mapping[str, float], world: Any, out: Played) -> Settings:
    full = {**world.context["start"], **{k: float(v) for k, v in settings.items() if k in LEVERS}}
    if is_on_grid(full, world.grids):
        return full
    out.off_grid += 1
    row = snapped(as_row(full), world.grids)
    return dict(zip(LEVERS, row.tolist(), strict=True))


def _count_changes(
    out: Played, answer: Answer, history: Sequence[Mapping[str, Any]], settings: Settings
) -> None:
    if not history:
        return
    index = len(history) - 1 if answer.start_of is None else answer.start_of
    if len(changed(history[index]["settings"], settings)) > 1:
        out.many_changes += 1


def _count_bands(out: Played, bands: Mapping[str, Any], seen: Mapping[str, Any]) -> None:
    pairs = [(name, bands.get(name), seen.get(name)) for name in BANDS]
    marks = bands.get("marks") or {}
    pairs += [("marks", band, (seen.get("marks") or {}).get(name)) for name, band in marks.items()]
    for name, band, value in pairs:
        if band is None or value is None:
            continue
        held, given = out.inside.get(name, [0, 0])
        out.inside[name] = [held + int(band[0] <= value <= band[2]), given + 1]
