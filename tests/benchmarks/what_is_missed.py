"""What the learner's form misses of virtual coffees, and where its beliefs and those part.

Each coffee is tried in 48 cups around its start and its best, so that what is left is hardly
doubt. Then the form's miss is compared at pairs of recipes that differ in one lever: how far along
a lever a miss stays alike is what `dialling/discrepancy.py` reckons with. And what was learned of
all coffees is set beside what is believed before any cup.

Run: OMP_NUM_THREADS=1 PYTHONPATH=core:resources .venv/bin/python tests/benchmarks/what_is_missed.py
--first 500 --count 140 --processes 2
"""

import argparse
import json
import multiprocessing
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import msgspec
import numpy as np
from dial.levers import LEVERS, Floats, as_settings, grids_of, snapped
from dial.liking import liking_of
from dial.population import Posed, pose, request_context
from dial.tasting import marks_of
from dial.world import World

from halfclick.dialling.carry import Posterior, learn
from halfclick.dialling.forward import Brews, cups_of
from halfclick.dialling.grids import row_of
from halfclick.dialling.request import Request, Settings
from halfclick.dialling.sampler import Effort
from halfclick.dialling.search import SEARCH_STEPS
from halfclick.dialling.unknowns import UNKNOWNS

CUPS = 48
EFFORT = Effort(samples=2000, moves=4, last_moves=30)
DRAWS = 300
BASES = 10
STEPS = (1, 2, 4)
QUANTITIES = ("liking", "log_time", "strength", "marks")


@dataclass(frozen=True, slots=True)
class Missed:
    """One coffee: by quantity and lever and steps, squared changes of the miss; and what is known.

    Attributes:
        squares: by (quantity, lever, steps).
        mean: of every unknown, in its own standard normals, (d,).
    """

    squares: dict[tuple[str, str, int], list[float]]
    mean: Floats


def main() -> None:
    """Print both tables."""
    parser = argparse.ArgumentParser(description="What the learner's form misses.")
    parser.add_argument("--worlds", default="dev")
    parser.add_argument("--first", type=int, default=500)
    parser.add_argument("--count", type=int, default=140)
    parser.add_argument("--processes", type=int, default=2)
    args = parser.parse_args()
    tasks = [(args.worlds, args.first + n) for n in range(args.count)]
    with multiprocessing.get_context("spawn").Pool(args.processes) as pool:
        found = pool.starmap(_missed, tasks)
    print("\n".join((*_misses(found), "", *_beliefs(found))))


def _misses(found: Sequence[Missed]) -> Iterator[str]:
    yield "root of half the mean square by which the miss changes along a lever"
    for quantity in QUANTITIES:
        yield f"{quantity}, by search steps: " + ", ".join(str(step) for step in STEPS)
        for lever in LEVERS:
            cells = []
            for step in STEPS:
                squares = [x for one in found for x in one.squares[quantity, lever, step]]
                cells.append(f"{np.sqrt(np.mean(squares) / 2):.3f}" if squares else "–")
            yield f"  {lever:10} " + "  ".join(cells)


def _beliefs(found: Sequence[Missed]) -> Iterator[str]:
    means = np.array([one.mean for one in found])
    yield "what was learned, in standard deviations of what is believed before any cup"
    error = means.std(axis=0) / np.sqrt(len(means))
    for unknown, mean, by in zip(UNKNOWNS, means.mean(axis=0), error, strict=True):
        yield f"  {unknown.name:22} {mean:+.2f} ± {by:.2f}"


def _missed(worlds: str, number: int) -> Missed:
    posed = pose(worlds, number)
    seeing = replace(posed.world.seeing, time=1.0, strength=True, marks=True, liking=1.0, slips=0.0)
    world = replace(posed.world, seeing=seeing)
    rng = np.random.default_rng((number, 99))
    rows = [_near(posed, cup, rng) for cup in range(CUPS)]
    request = _request(world, rows)
    posterior = learn(request, np.random.default_rng(number), EFFORT)
    squares: dict[tuple[str, str, int], list[float]] = {
        (quantity, lever, step): [] for quantity in QUANTITIES for lever in LEVERS for step in STEPS
    }
    for base in range(BASES):
        here = _near(posed, base, rng)
        apart = list(_one_lever_off(world, here))
        missed = _misses_at(
            world, posterior, request, np.array([here, *(row for *_, row in apart)])
        )
        for place, (lever, step, _) in enumerate(apart, start=1):
            for quantity, miss in missed.items():
                change = np.atleast_2d(miss)[:, place] - np.atleast_2d(miss)[:, 0]
                squares[quantity, lever, step] += (change**2).tolist()
    return Missed(squares, posterior.normals.mean(axis=0))


def _near(posed: Posed, turn: int, rng: np.random.Generator) -> Floats:
    """Return a recipe near the start, near the best, or between."""
    mixed = np.where(rng.random(len(LEVERS)) < 0.5, posed.start, posed.best)
    base = (posed.best, posed.start, mixed, mixed)[turn % 4]
    moves = rng.random(len(LEVERS)) < 0.35
    steps = _steps(posed.world) * rng.normal(size=len(LEVERS))
    return snapped(base + moves * steps, posed.world.grids)


def _steps(world: World) -> Floats:
    dial = world.context["dial"]
    return SEARCH_STEPS * np.array([dial["max"] - dial["min"], *[1.0] * (len(LEVERS) - 1)])


def _one_lever_off(world: World, here: Floats) -> Iterator[tuple[str, int, Floats]]:
    """Yield recipes that lie whole search steps away along one lever."""
    for place, lever in enumerate(LEVERS):
        by = _steps(world)[place]
        for step in (*STEPS, *(-one for one in STEPS)):
            there = here.copy()
            there[place] += step * by
            there = snapped(there, grids_of(world.context))
            if abs((there[place] - here[place]) / by - step) < 0.35:
                yield lever, abs(step), there


def _request(world: World, rows: Sequence[Floats]) -> Request:
    history, last = [], None
    for number, row in enumerate(rows):
        settings = as_settings(row)
        seen = world.brew(settings, number, last)
        last = seen.pop("true_liking")
        history.append({"settings": settings, "seen": seen})
    plain = {"id": 1, "context": request_context(world), "history": history, "seed": 1}
    return msgspec.json.decode(json.dumps(plain), type=Request)


def _misses_at(
    world: World, posterior: Posterior, request: Request, rows: Floats
) -> dict[str, Floats]:
    """Return by how much cups are other than the form expects, (k,), of the marks (5, k)."""
    cup = world.system.brew(rows)
    marks = marks_of(cup, world.palate)
    dial = request.context.dial
    at = np.stack([row_of(Settings(**as_settings(row)), dial) for row in rows])
    form = cups_of(posterior.draws(DRAWS), Brews(at, request.context, posterior.middle))
    return {
        "liking": liking_of(cup, marks, world.heart) - form.liking.mean(axis=0),
        "log_time": np.log(cup.time_s) - form.log_time.mean(axis=0),
        "strength": cup.strength_pct - form.strength.mean(axis=0),
        "marks": np.clip(marks, 0.0, 10.0) - form.marks.mean(axis=1),
    }


if __name__ == "__main__":
    main()
