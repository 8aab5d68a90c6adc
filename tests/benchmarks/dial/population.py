"""Worlds by number: kinds in turn, drawn until they are worth dialling in; and bags in a row.

Development worlds have numbers below 1,000,000 and reported ones from there on, so that the two
never share a seed.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from dial import shelf
from dial.finding import best_row, brews_of_clairvoyant, needs_levers
from dial.levers import LEVERS, Floats, as_row, as_settings, steps
from dial.liking import Shape
from dial.sampling import (
    Coffee,
    Kit,
    Person,
    Rng,
    a_coffee,
    a_kit,
    a_person,
    heart_of,
    palate_of,
    system_of,
)
from dial.world import CLOSE, Noise, Seeing, World

SETS = {"dev": 0, "reported": 1_000_000}
KINDS = (
    "ordinary",
    "mis-set grinder",
    "words only",
    "coarse dial",
    "no strength",
    "missing times",
    "noisy taster",
    "two zones",
    "flat",
    "likes weak",
    "likes strong",
    "pouring",
    "day drift",
    "slips",
)
SHAPES = (Shape.PEAK, Shape.PLATEAU, Shape.TILTED, Shape.CLIFF, Shape.FAULTS)
BAGS = 5
# A start that is as good as the best already is kept so often.
KEEPS_SOLVED = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Posed:
    """A world with its best reachable cup."""

    world: World
    best: Floats
    best_liking: float

    @property
    def start(self) -> Floats:
        """The person's own start."""
        return as_row(self.world.context["start"])

    def regret(self, settings: dict[str, float]) -> float:
        """Return how far a setting's liking without noise lies below the best, points."""
        return self.best_liking - self.world.liking_of(settings)


def pose(which: str, number: int) -> Posed:
    """Return world `number` of a set ("dev" or "reported"), the same each time."""
    seed = SETS[which] + number
    kind = KINDS[number % len(KINDS)]
    known = shelf.find(f"world-{seed}")
    tries = range(200) if known is None else [int(known["try"])]
    for attempt in tries:
        rng = np.random.default_rng((seed, attempt))
        kit, coffee, person = _drawn(rng, kind)
        start = _start(rng, kit, kind)
        world = _world(f"{which}-{number}", kind, (seed * 1000 + attempt), kit, coffee, person)
        world = replace(world, context=_context(rng, kit, coffee, kind, start))
        if known is not None:
            return Posed(world=world, best=np.array(known["best"]), best_liking=known["liking"])
        posed = _worth(world, rng)
        if posed is not None:
            shelf.keep(
                f"world-{seed}",
                {"try": attempt, "best": posed.best.tolist(), "liking": posed.best_liking},
            )
            return posed
    raise RuntimeError(f"no world for seed {seed}")


def pose_bags(which: str, number: int) -> list[Posed]:
    """Return five coffees of one person on one kit; the start of the later ones is to be set."""
    seed = SETS[which] + 500_000 + number
    rng = np.random.default_rng((seed, 77))
    kind = ("ordinary", "words only", "no strength", "ordinary")[number % 4]
    kit = a_kit(rng)
    person = a_person(rng, None, SHAPES)
    bags: list[Posed] = []
    attempt = 0
    while len(bags) < BAGS:
        attempt += 1
        draw = np.random.default_rng((seed, 77, attempt))
        coffee = a_coffee(draw)
        name, own_seed = f"{which}-{number}-bag{len(bags) + 1}", seed * 1000 + attempt
        world = _world(name, kind, own_seed, kit, coffee, person)
        start = _start(draw, kit, kind)
        world = replace(world, context=_context(draw, kit, coffee, kind, start))
        known = shelf.find(f"bag-{own_seed}")
        if known is None:
            row, liking = best_row(world)
            known = {"best": row.tolist(), "liking": liking}
            shelf.keep(f"bag-{own_seed}", known)
        if known["liking"] >= 6.2 or attempt > 40:
            best = np.array(known["best"])
            bags.append(Posed(world=world, best=best, best_liking=known["liking"]))
    return bags


def started_at(posed: Posed, settings: dict[str, float]) -> Posed:
    """Return a bag that starts from other settings of the same kit."""
    context = {**posed.world.context, "start": settings}
    return replace(posed, world=replace(posed.world, context=context))


def _worth(world: World, rng: Rng) -> Posed | None:
    """Return a world with its best where it is worth dialling in, None where it is not."""
    start = as_row(world.context["start"])
    row, liking = best_row(world)
    gap = liking - float(world.expected(start[None])[0])
    if liking < 6.2 or gap > 5.5:
        return None
    if gap <= CLOSE and rng.random() > KEEPS_SOLVED:
        return None
    if CLOSE < gap < 0.8 and rng.random() < 0.5:
        return None
    if world.kind == "pouring" and (gap < CLOSE or needs_levers(world, start, liking) < 3):
        return None
    if world.kind == "pouring" and brews_of_clairvoyant(world, start, liking, 5) > 4:
        return None
    return Posed(world=world, best=row, best_liking=liking)


def _drawn(rng: Rng, kind: str) -> tuple[Kit, Coffee, Person]:
    fussy = kind == "pouring"
    kit = a_kit(rng, coarse=kind == "coarse dial", fussy=fussy)
    coffee = a_coffee(rng, fussy=fussy)
    strength, shapes = None, SHAPES
    if kind == "likes weak":
        strength = rng.uniform(1.08, 1.18)
    if kind == "likes strong":
        strength = rng.uniform(1.60, 1.78)
    if kind == "two zones":
        shapes = (Shape.TWO_ZONES,)
    if kind == "flat":
        shapes = (Shape.PLATEAU, Shape.PEAK)
    person = a_person(rng, strength, shapes)
    if fussy:
        person = replace(person, draws={**person.draws, "hates_uneven": rng.uniform(3.0, 4.5)})
    return kit, coffee, person


def _world(name: str, kind: str, seed: int, kit: Kit, coffee: Coffee, person: Person) -> World:
    rng = np.random.default_rng((seed, 5))
    return World(
        name=name,
        kind=kind,
        seed=seed,
        system=system_of(kit, coffee),
        palate=palate_of(person, coffee),
        heart=heart_of(person, coffee, wider=1.7 if kind == "flat" else 1.0),
        noise=_noise(rng, kind),
        seeing=_seeing(rng, kind),
        context={},
    )


def _noise(rng: Rng, kind: str) -> Noise:
    noise = Noise(mark=rng.uniform(0.7, 1.3), liking=rng.uniform(1.0, 1.8))
    if kind == "noisy taster":
        return replace(noise, mark=rng.uniform(1.6, 2.2), liking=rng.uniform(2.1, 2.8), better=1.8)
    if kind == "day drift":
        return replace(noise, day_mark=1.2, day_liking=0.8, day_time=0.035)
    return noise


def _seeing(rng: Rng, kind: str) -> Seeing:
    seeing = Seeing(strength=bool(rng.random() < 0.6), liking=0.95, beverage=0.9)
    if kind == "words only":
        liking = float(rng.choice([0.0, 0.9, 0.9]))
        return replace(seeing, strength=False, marks=False, liking=liking)
    if kind == "no strength":
        return replace(seeing, strength=False)
    if kind == "missing times":
        return replace(seeing, time=float(rng.choice([0.0, 0.4])))
    if kind == "slips":
        return replace(seeing, slips=0.3)
    return seeing


def _start(rng: Rng, kit: Kit, kind: str) -> dict[str, float]:
    """Return where this person begins: an ordinary recipe, ground by guess."""
    size_um = 660.0 * np.exp(0.17 * rng.normal())
    if kind == "mis-set grinder":
        size_um = rng.choice([rng.uniform(360, 440), rng.uniform(900, 1080)])
    if kind == "pouring":
        pour, bloom_x, bloom_s = (float(rng.choice(v)) for v in ((5, 6, 7), (1.5, 2), (15, 25, 30)))
    else:
        pour, bloom_x, bloom_s = (
            float(rng.choice(v)) for v in ((4, 5, 6), (2, 2.5, 3), (30, 40, 45))
        )
    return {
        "setting": kit.grinder.setting_of(float(size_um)),
        "ratio": float(rng.choice([15.0, 15.5, 16.0, 16.0, 16.5, 17.0])),
        "water_c": float(min(rng.choice([88.0, 91.0, 93.0, 95.0]), np.floor(kit.boiling_c))),
        "pour_g_s": pour,
        "bloom_x": bloom_x,
        "bloom_s": bloom_s,
        "swirl": float(rng.random() < 0.2),
    }


def _context(
    rng: Rng, kit: Kit, coffee: Coffee, kind: str, start: dict[str, float]
) -> dict[str, Any]:
    seeing = kind
    levers: dict[str, list[float]] = {
        "ratio": [13, 18, 0.1],
        "water_c": [82, float(min(99.0, np.floor(kit.boiling_c))), 0.5],
        "pour_g_s": [2, 9, 0.25],
        "bloom_x": [1, 4, 0.1],
        "bloom_s": [15, 120, 1],
        "swirl": [0, 1, 1],
    }
    if kind != "pouring" and rng.random() < 0.25:
        for name in rng.choice(["pour_g_s", "bloom_x", "bloom_s", "swirl"], 2, replace=False):
            del levers[str(name)]
    grinder = kit.grinder
    told = rng.random(2)
    return {
        "dial": {
            "min": grinder.low,
            "max": grinder.high,
            "step": grinder.step,
            "finer": "lower" if grinder.finer_is_lower else "higher",
        },
        "dose_g": kit.dose_g,
        "dripper": kit.dripper,
        "roast": coffee.roast if told[0] < 0.85 else None,
        "days_off_roast": coffee.days if told[1] < 0.8 else None,
        "strength_measured": None,
        "tasted_by": "words" if seeing == "words only" else "marks",
        "boiling_c": kit.boiling_c,
        "levers": levers,
        "start": _on_levers(start, levers),
    }


def _on_levers(start: dict[str, float], levers: dict[str, list[float]]) -> dict[str, float]:
    out = dict(start)
    for name, lever in levers.items():
        grid = steps(*lever)
        out[name] = float(grid[np.abs(grid - start[name]).argmin()])
    return as_settings([out[name] for name in LEVERS])


def request_context(world: World) -> dict[str, Any]:
    """Return the context as the door is told it."""
    return {**world.context, "strength_measured": world.seeing.strength}
