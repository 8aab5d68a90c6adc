"""Which cup to brew next, and which would be brewed today to please.

A cup is a win where it is liked within half a point of the best that can be reached. The next cup
is the one most likely to be a win where no cup so far was one, with a look at what the cup after it
could be; a cup that is probably bad is not brewed only to learn.

Axes: n draws, c tried cups, k candidates, o outcomes imagined of one candidate.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfclick.dialling.carry import NOW, Posterior
from halfclick.dialling.discrepancy import corrected, imagined, kernel, scaled
from halfclick.dialling.evidence import chance, expected_of, miss_of, noise_of
from halfclick.dialling.first_win import SOFT, WIN_WITHIN, Beliefs, FirstWin
from halfclick.dialling.forward import Brews, cups_of, likings_of
from halfclick.dialling.grids import Grids
from halfclick.dialling.request import LEVERS, MARKS
from halfclick.dialling.search import best_of_each, distinct, one_change_from, steps_apart
from halfclick.dialling.unknowns import Draws

Floats = NDArray[np.float64]
DRAWS = 400
# Those by which no cup was a win are drawn from so many samples: late in a search they are few.
SAMPLES = NOW.samples
BAD_FROM = 2.0
BASES = 5  # earlier cups that a change may start from
SHORT = 10  # candidates looked ahead from
OUTCOMES = 12
FOLLOW = 4  # of the cups after a candidate one in so many is looked at
# Weights of what a next cup is chosen for, in chances of a win (our own, by the benchmark).
AHEAD = 0.3
LIKED = 0.02
BAD = 0.5
# A cup likelier bad than so stands behind all that are not.
LIKELY_BAD = 0.5
# The nearer of two cups is brewed unless the farther is likelier by more: each search step away
# costs so much.
FAR = 0.01
# Of cups about as likely, one by a lever that a blind trial showed to matter is brewed: so much for
# each d', up to a d' at which a difference is plain (our own defaults).
SHOWN = 0.015
PLAIN_D = 2.0
# A tried cup is the best of today where no other is likelier by more (our own default).
TRIED_FIRST = 0.08


@dataclass(frozen=True, slots=True)
class Choice:
    """The next cup: its row, the cup it starts from, and how likely it is the first win."""

    row: Floats
    base: int
    win: float


@dataclass(frozen=True, slots=True)
class Decision:
    """What is proposed and what is believed.

    Attributes:
        choice: the next cup.
        best: the recipe most likely to be a win, tried or not.
        confidence: how likely it is one.
        tried_wins: how likely each tried cup is a win, (c,).
        tried_likings: how well each is expected to be liked, (c,).
    """

    choice: Choice | None
    best: Floats
    confidence: float
    tried_wins: Floats
    tried_likings: Floats


class Decider:
    """Answers about one posterior; holds its draws and their best cups."""

    def __init__(
        self, posterior: Posterior, grids: Grids, rng: np.random.Generator, *, count: int = DRAWS
    ) -> None:
        self.posterior, self.grids, self._rng = posterior, grids, rng
        evidence = posterior.evidence
        self._context, self._middle = evidence.brews.context, posterior.middle
        self.tried = evidence.brews.rows
        every = posterior.draws(SAMPLES)
        best_liking = best_of_each(every, self._context, self._middle, grids, self.tried, rng)
        cups = cups_of(every, evidence.brews)
        residual = evidence.seen["liking"] - cups.liking
        noise = noise_of("liking", every, cups)
        self.first_win = self._first_win(every, best_liking, residual, noise, count)
        some = slice(None, None, max(len(best_liking) // count, 1))
        self.draws: Draws = {name: one[some] for name, one in every.items()}
        self.best_liking, self._residual, self._noise = (
            best_liking[some],
            residual[some],
            noise[some],
        )

    def likings(self, rows: Floats) -> tuple[Floats, Floats]:
        """Return how well candidates are liked, (n, k), and the variance of that, (n, k)."""
        brews = Brews(rows, self._context, self._middle)
        liking = likings_of(self.draws, brews)
        evidence = self.posterior.evidence
        rotation = evidence.rotations["liking"]
        miss = miss_of("liking")
        if not len(rotation.which):
            return liking, np.full_like(liking, miss * miss)
        across = kernel(scaled(evidence.brews), scaled(brews))
        more, variance = corrected(rotation, self._residual, across, miss, self._noise)
        return liking + more, variance

    def wins(self, rows: Floats) -> tuple[Floats, Floats]:
        """Return the chance that candidates are wins, (n, k), and their likings, (n, k)."""
        liking, variance = self.likings(rows)
        over = liking - self.best_liking[:, None] + WIN_WITHIN
        return chance(over / np.sqrt(variance + SOFT * SOFT)), liking

    def _first_win(
        self, every: Draws, best_liking: Floats, residual: Floats, noise: Floats, count: int
    ) -> FirstWin:
        evidence = self.posterior.evidence
        at = self.tried[distinct(list(self.tried))]
        brews = Brews(at, self._context, self._middle)
        misses = imagined(
            evidence.rotations["liking"],
            residual,
            (scaled(evidence.brews), scaled(brews)),
            miss_of("liking"),
            noise,
            self._rng,
        )
        beliefs = Beliefs(every, best_liking, misses)
        return FirstWin(beliefs, brews, self._rng, count=count)

    def best(self, among: Floats) -> tuple[Floats, float]:
        """Return the recipe most likely to be a win and how likely: from the best known, up."""
        wins = self.wins(among)[0].mean(axis=0)
        row, win = among[int(wins.argmax())], float(wins.max())
        for _ in range(3):
            near = one_change_from(row, self.grids)
            if not len(near):
                break
            wins = self.wins(near)[0].mean(axis=0)
            if wins.max() <= win + 1e-9:
                break
            row, win = near[int(wins.argmax())], float(wins.max())
        return row, win

    def decide(self, changes_at_most: int = 1) -> Decision:
        """Return the next cup and the best one."""
        tried_wins, tried_likings = self.wins(self.tried)  # (n, c)
        rows, bases = self._candidates(tried_wins.mean(axis=0), changes_at_most)
        choice = self._chosen(rows, bases) if len(rows) else None
        pool = np.concatenate((self.tried, rows)) if len(rows) else self.tried
        best, confidence = self.best(pool)
        tried = int(tried_wins.mean(axis=0).argmax())
        if tried_wins[:, tried].mean() >= confidence - TRIED_FIRST:
            # What was brewed and liked outranks what is only expected to be a little better.
            best, confidence = self.tried[tried], float(tried_wins[:, tried].mean())
        return Decision(
            choice=choice,
            best=best,
            confidence=confidence,
            tried_wins=tried_wins.mean(axis=0),
            tried_likings=tried_likings.mean(axis=0),
        )

    def _chosen(self, rows: Floats, bases: NDArray[np.intp]) -> Choice:
        """Return the candidate to brew, where the draws count as far as no cup was a win yet."""
        wins, liking = self.first_win.wins(rows)
        best_liking = self.first_win.beliefs.best_liking
        bad = chance((best_liking[:, None] - BAD_FROM - liking) / 0.5).mean(axis=0)
        now = wins.mean(axis=0)
        away = steps_apart(rows, self.tried[bases])
        score = now + LIKED * liking.mean(axis=0) - BAD * bad - FAR * away
        score = score + SHOWN * self._shown(rows - self.tried[bases])
        score = score - np.where(bad > LIKELY_BAD, 1.0, 0.0)
        short = np.argsort(-score)[:SHORT]
        ahead = [self._ahead(rows, k) for k in short]
        k, _ = max(zip(short, ahead, strict=True), key=lambda at: score[at[0]] + AHEAD * at[1])
        return Choice(rows[k], int(bases[k]), float(now[k]))

    def _shown(self, moved: Floats) -> Floats:
        """Return what blind trials showed of the levers that each candidate moves, d', (k,)."""
        told = np.zeros(len(moved))
        for name, (less, more) in (self._context.shown or {}).items():
            if name in LEVERS:
                by = moved[:, LEVERS.index(name)]
                told += np.where(by > 1e-9, more, np.where(by < -1e-9, less, 0.0))
        return np.minimum(told, PLAIN_D)

    def _candidates(self, tried_wins: Floats, most: int) -> tuple[Floats, NDArray[np.intp]]:
        """Return untried recipes one change away from the last or the likeliest cups."""
        places = distinct(list(self.tried))
        last = len(self.tried) - 1
        likely = sorted(places, key=lambda place: (place != last, -tried_wins[place]))[:BASES]
        found: list[Floats] = []
        bases: list[int] = []
        if most < 1:
            return np.empty((0, self.tried.shape[1])), np.empty(0, dtype=np.intp)
        for place in likely:
            near = one_change_from(self.tried[place], self.grids)
            found.append(near)
            bases += [place] * len(near)
        rows, starts = np.concatenate(found), np.array(bases, dtype=np.intp)
        _, first = np.unique(np.round(rows, 9), axis=0, return_index=True)
        first = np.sort(first)
        rows, starts = rows[first], starts[first]
        apart = np.abs(rows[:, None] - self.tried[None]) > 1e-9
        fresh = np.all(np.any(apart, axis=2), axis=1)
        return rows[fresh], starts[fresh]

    def _ahead(self, rows: Floats, k: int) -> float:
        """Return how likely the cup after a candidate is the first win, where it is none."""
        follow = np.concatenate((rows[::FOLLOW], one_change_from(rows[k], self.grids)[::FOLLOW]))
        lost, after = self.first_win.follow(rows[k], follow)
        told = self._imagined(rows[k])  # (o, n)
        return float(((told * lost) @ after).max(axis=1).mean()) / len(lost)

    def _imagined(self, row: Floats) -> Floats:
        """Return by how much each draw's weight changes with imagined outcomes, (o, n).

        Each row has a weighted mean of about 1: draws whose cups look like the outcome gain.
        """
        brews = Brews(row[None], self._context, self._middle)
        draws = self.first_win.beliefs.draws
        cups = cups_of(draws, brews)
        count = len(self.first_win.beliefs.best_liking)
        imagined = self._rng.integers(count, size=OUTCOMES)
        told = np.zeros((OUTCOMES, count))
        for name in self._looked_at():
            middle = expected_of(cups, name)[:, 0]
            spread = np.sqrt(noise_of(name, draws, cups)[:, 0] ** 2 + miss_of(name) ** 2)
            outcome = middle[imagined] + spread[imagined] * self._rng.standard_normal(OUTCOMES)
            off = (outcome[:, None] - middle) / spread
            told += -0.5 * off * off - np.log(spread)
        told = np.exp(told - told.max(axis=1, keepdims=True))
        return np.asarray(told / told.mean(axis=1, keepdims=True))

    def _looked_at(self) -> Sequence[str]:
        seen = self.posterior.evidence.seen
        looked = [
            name for name in ("log_time", "strength", "liking") if np.isfinite(seen[name]).any()
        ]
        return looked + [mark for mark in MARKS if np.isfinite(seen[mark]).any()]
