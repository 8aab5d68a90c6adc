"""What the learner promises of cups, and whether they are wins: by lever, and with earlier coffees.

Virtual people brew five coffees with the learner. At moments of these, what it believes of
candidates is held against what they would have been. That tells a few hundredths of a win apart
where brews, being so few, tell nothing: choose by this first, then by `dial_in.py`.

Run: OMP_NUM_THREADS=1 PYTHONPATH=core:resources .venv/bin/python
tests/benchmarks/what_is_promised.py --first 60 --count 50 --processes 2
"""

import argparse
import json
import multiprocessing
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import msgspec
import numpy as np
from dial.learner import Learner
from dial.levers import LEVERS, Floats, as_row
from dial.play import play
from dial.population import Posed, pose_bags, request_context, started_at
from dial.world import CLOSE

from halfclick.dialling.carry import learn
from halfclick.dialling.decide import Decider
from halfclick.dialling.grids import grids_of, settings_of
from halfclick.dialling.request import Request
from halfclick.dialling.search import one_change_from

LIKELIEST = 8
BEST = 12  # candidates whose promise is looked at
MOST_CUPS = 7
CARRIED_FROM, CARRIED_CUPS = 2, (1, 2, 3)


@dataclass(frozen=True, slots=True)
class Judged:
    """One person.

    Attributes:
        promised: by lever, of each of the best candidates: the chance promised, and 1 for a win.
        with_earlier: share of wins among the likeliest recipes of later coffees at each moment.
        from_nothing: the same, learned without earlier coffees.
    """

    promised: dict[str, list[tuple[float, float]]]
    with_earlier: list[float]
    from_nothing: list[float]


def main() -> None:
    """Print both tables."""
    parser = argparse.ArgumentParser(description="What the learner promises, and what is won.")
    parser.add_argument("--worlds", default="dev")
    parser.add_argument("--first", type=int, default=60)
    parser.add_argument("--count", type=int, default=50)
    parser.add_argument("--processes", type=int, default=2)
    args = parser.parse_args()
    tasks = [(args.worlds, args.first + n) for n in range(args.count)]
    with multiprocessing.get_context("spawn").Pool(args.processes) as pool:
        found = pool.starmap(_judged, tasks)
    print("\n".join((*_by_lever(found), "", *_carried(found))))


def _by_lever(found: Sequence[Judged]) -> Iterator[str]:
    yield f"{BEST} best candidates at each moment without a win so far"
    for lever in LEVERS:
        pairs = [pair for one in found for pair in one.promised.get(lever, [])]
        if pairs:
            promised, won = np.mean(pairs, axis=0)
            yield f"  {lever:10} {len(pairs):6}  promised {promised:.3f}  won {won:.3f}"


def _carried(found: Sequence[Judged]) -> Iterator[str]:
    yield f"wins among the {LIKELIEST} likeliest one change away, coffees 3 to 5 after 1 to 3 cups"
    after = np.array([np.mean(one.with_earlier) for one in found])
    alone = np.array([np.mean(one.from_nothing) for one in found])
    error = (after - alone).std(ddof=1) / np.sqrt(len(found)) if len(found) > 1 else np.nan
    more = (after - alone).mean()
    yield f"  after earlier coffees {after.mean():.3f}, from nothing {alone.mean():.3f}"
    yield f"  ratio {after.mean() / alone.mean():.3f}"
    yield f"  more by {more:+.3f}, standard error {error:.3f}"


def _judged(which: str, number: int) -> Judged:
    told: list[dict[str, Any]] = []
    start: dict[str, float] | None = None
    judged = Judged({}, [], [])
    for place, bag in enumerate(pose_bags(which, number)):
        posed = bag if start is None else started_at(bag, start)
        played, history, start = play(Learner(), posed, earlier=told, stop_after=2)
        context = request_context(posed.world)
        for cups in range(1, min(len(history), MOST_CUPS) + 1):
            after = _decider(context, told, history[:cups])
            if min(played.regrets[:cups]) > CLOSE:
                _note_promised(judged, posed, after)
            if place >= CARRIED_FROM and cups in CARRIED_CUPS:
                judged.with_earlier.append(_won(posed, after))
                judged.from_nothing.append(_won(posed, _decider(context, [], history[:cups])))
        told.append({"context": context, "history": history})
    return judged


def _decider(
    context: dict[str, Any], earlier: list[dict[str, Any]], history: list[dict[str, Any]]
) -> Decider:
    plain = {"id": 1, "context": {**context, "earlier": earlier}, "history": history, "seed": 1}
    request = msgspec.json.decode(json.dumps(plain), type=Request)
    rng = np.random.default_rng(request.luck())
    return Decider(learn(request, rng), grids_of(request.context), rng)


def _candidates(decider: Decider) -> Floats:
    near = [one_change_from(row, decider.grids) for row in decider.tried]
    return np.unique(np.concatenate(near), axis=0)


def _wins(posed: Posed, decider: Decider, rows: Floats) -> Floats:
    """Return 1 for each recipe that would have been a win, else 0."""
    dial = decider.posterior.evidence.brews.context.dial
    at = np.stack([as_row(msgspec.to_builtins(settings_of(row, dial))) for row in rows])
    close = posed.best_liking - posed.world.expected(at) <= CLOSE
    return np.asarray(close, dtype=np.float64)


def _note_promised(judged: Judged, posed: Posed, decider: Decider) -> None:
    rows = _candidates(decider)
    promised = decider.first_win.wins(rows)[0].mean(axis=0)
    best = np.argsort(-promised)[:BEST]
    apart = np.abs(rows[best][:, None] - decider.tried[None]) > 1e-9  # (k, c, levers)
    nearest = apart.sum(axis=2).argmin(axis=1)
    for place, won in enumerate(_wins(posed, decider, rows[best])):
        lever = LEVERS[int(apart[place, nearest[place]].argmax())]
        pair = (float(promised[best[place]]), float(won))
        judged.promised.setdefault(lever, []).append(pair)


def _won(posed: Posed, decider: Decider) -> float:
    rows = _candidates(decider)
    likeliest = np.argsort(-decider.wins(rows)[0].mean(axis=0))[:LIKELIEST]
    return float(_wins(posed, decider, rows[likeliest]).mean())


if __name__ == "__main__":
    main()
