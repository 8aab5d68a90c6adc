"""One world: a coffee on a kit with one person, as the door tells it and as it truly is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from dial.bed import Bed
from dial.column import Column
from dial.cup import Cup
from dial.levers import BLOOM_S, Floats, Settings, as_row, grids_of
from dial.liking import Heart, liking_of
from dial.tasting import MARKS, Palate, marks_of

# Within so many points of the best reachable a cup counts as dialled in.
CLOSE = 0.5
WORD_FROM = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Noise:
    """How far what is seen lies from what is.

    A careful recipe repeats to 0.024 % strength (from the open data, five strays of 162 left
    out); one person's liking of the same cup scatters by 1.56 there, marks of a 10-point scale by
    about 1 (own reckoning from its "just right" scales, 0.6 to 0.7 of 5). Times to 4 % and drinks
    to 2 g are own defaults. `day_mark` and `day_liking` are of a person's day, `day_time` of a
    random walk of the clock.
    """

    time: float = 0.04
    beverage_g: float = 2.0
    strength_pct: float = 0.024
    mark: float = 1.0
    liking: float = 1.3
    felt_pct: float = 0.10
    better: float = 0.9
    day_mark: float = 0.35
    day_liking: float = 0.2
    day_time: float = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Seeing:
    """What a person looks at, each a chance a cup."""

    time: float = 1.0
    beverage: float = 1.0
    strength: bool = True
    marks: bool = True
    liking: float = 1.0
    words: float = 1.0
    felt: float = 0.9
    better: float = 0.85
    slips: float = 0.03


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """A hidden system, a palate and a heart; `context` is what the door may tell."""

    name: str
    kind: str
    seed: int
    system: Bed | Column
    palate: Palate
    heart: Heart
    noise: Noise
    seeing: Seeing
    context: Mapping[str, Any]

    @property
    def grids(self) -> tuple[Floats, ...]:
        """What each lever can be set to."""
        return grids_of(self.context)

    def expected(self, rows: Floats) -> Floats:
        """Return the liking without noise, shape (b,)."""
        cup = self.system.brew(rows)
        return liking_of(cup, marks_of(cup, self.palate), self.heart)

    def liking_of(self, settings: Settings) -> float:
        """Return the liking of one setting without noise."""
        return float(self.expected(as_row(settings)[None, :])[0])

    def brew(self, settings: Settings, number: int, last: float | None) -> dict[str, Any]:
        """Return what is seen of one cup.

        Args:
            settings: what was meant.
            number: which brew of this world, from 0; noise is of the world and this number, so
                that peers meet the same luck.
            last: what the cup before was truly liked, None at the first.

        Returns:
            The door's `seen`, and `true_liking`, which the caller takes away.
        """
        rng = np.random.default_rng((self.seed, 7919, number))
        row = as_row(settings)[None, :].copy()
        weight, factor = _slip(row, rng, self.seeing.slips)
        cup = self.system.brew(row, factor)
        marks = marks_of(cup, self.palate)
        liking = float(liking_of(cup, marks, self.heart)[0])
        seen = self._seen(cup, marks[:, 0], liking, number, rng)
        chance = rng.random()
        if last is not None and chance < self.seeing.better:
            seen["better_than_last"] = bool(liking - last + self.noise.better * rng.normal() > 0.0)
        seen["weight"] = weight
        seen["true_liking"] = liking
        return seen

    def _seen(
        self, cup: Cup, marks: Floats, liking: float, number: int, rng: np.random.Generator
    ) -> dict[str, Any]:
        noise, seeing = self.noise, self.seeing
        day_marks, day_liking, day_time = self._day(number)
        draws = rng.normal(size=10)
        looks = rng.random(5)
        given = np.clip(marks + day_marks + noise.mark * draws[:5], 0.0, 10.0)
        given = np.round(given * 2) / 2
        time_s = float(cup.time_s[0]) * np.exp(noise.time * draws[5] + day_time)
        strength = float(cup.strength_pct[0])
        felt = strength - self.palate.usual_pct + noise.felt_pct * draws[8]
        felt_word = "weak" if felt < -0.14 else "strong" if felt > 0.14 else "right"
        said = float(np.clip(liking + day_liking + noise.liking * draws[9], 1.0, 9.0))
        beverage = round(float(cup.beverage_g[0]) + noise.beverage_g * draws[6], 1)
        measured = round(strength + noise.strength_pct * draws[7], 2)
        there = [name for name, mark in zip(MARKS, given, strict=True) if mark >= WORD_FROM]
        return {
            "time_s": round(float(time_s)) if looks[0] < seeing.time else None,
            "beverage_g": max(beverage, 1.0) if looks[1] < seeing.beverage else None,
            "strength_pct": max(measured, 0.05) if seeing.strength else None,
            "marks": dict(zip(MARKS, given.tolist(), strict=True)) if seeing.marks else None,
            "liking": round(said * 2) / 2 if looks[2] < seeing.liking else None,
            "words": there if looks[3] < seeing.words else None,
            "strength_felt": felt_word if looks[4] < seeing.felt else None,
            "better_than_last": None,
        }

    def _day(self, number: int) -> tuple[Floats, float, float]:
        """Return the offsets of one day: marks and liking lean as yesterday, the clock walks."""
        rng = np.random.default_rng((self.seed, 104729))
        marks, liking, walk = np.zeros(5), 0.0, 0.0
        for _ in range(number + 1):
            draws = rng.normal(size=7)
            marks = 0.5 * marks + 0.87 * self.noise.day_mark * draws[:5]
            liking = 0.5 * liking + 0.87 * self.noise.day_liking * float(draws[5])
            walk += self.noise.day_time * float(draws[6])
        return marks, liking, walk


def _slip(row: Floats, rng: np.random.Generator, chance: float) -> tuple[float, float]:
    """Return how far a cup counts and the factor on its water; may lengthen the bloom in place."""
    happens, which, size = rng.random(3)
    if happens >= chance:
        return 1.0, 1.0
    if which < 0.6:
        return round(0.5 - 0.3 * size, 2), 1.04 + 0.1 * size
    row[:, BLOOM_S] += 20 + 30 * size
    return 0.6, 1.0


def start_row(world: World) -> Floats:
    """Return the person's own start."""
    return as_row(world.context["start"])


def is_on_grid(settings: Settings, grids: Sequence[Floats]) -> bool:
    """Return whether every lever stands where it can be set."""
    row = as_row(settings)
    return all(np.abs(grid - value).min() < 1e-6 for grid, value in zip(grids, row, strict=True))
