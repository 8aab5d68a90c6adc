"""What brews teach of a kit and its coffees: the constants with their whole uncertainty.

A belief is a normal distribution in the space of `priors`: one column a constant of the kit, then
for each coffee what it does to the few constants that are a coffee's own. Brews are compared with
the simulation in logarithms; the most probable constants are found by Gauss and Newton's method,
and the curvature there gives the spread. Outliers count less (Student's t); so does a slipped cup.

Times tell products, not parts: size and permeability, say, only ever appear multiplied. The
covariance keeps that, and `untangle` asks which one measurement would part them.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from halfclick.physics.brew.arrays import Floats, Kits, Recipes, stack
from halfclick.physics.brew.priors import MIDDLE_STEPS, NAMES, PRIORS, Prior, kits_at
from halfclick.physics.brew.simulate import Outcome, simulate_pairs

# How one coffee differs from the last on the same kit, as the standard deviation of the
# logarithm of a constant (our own defaults, no source).
OF_A_COFFEE = {
    "permeability_m2": 0.2,
    "early_resistance": 0.4,
    "clogging": 0.5,
    "unevenness": 0.3,
    "soluble_share": 0.06,
    "diffusivity_m2_s": 0.25,
    "grain_g_g": 0.05,
}
# What clock, scale and strength hardly tell: these stay as they were believed, in full width.
UNTOLD = frozenset(
    {
        "early_s",
        "wetting_s",
        "uneven_by_rate",
        "uneven_by_dry",
        "uneven_by_surfaces",
        "soluble_fall",
        "activation_j_mol",
        "partition_per_k",
        "mixing_s",
        "grounds_j_g_k",
        "dripper_j_k",
        "dripper_w_k",
        "dripper_loss_w_k",
        "slurry_loss_w_k",
        "pour_loss_k",
        "mixed_faster",
        "wetted_easier",
    }
)
TOLD = np.array([place for place, name in enumerate(NAMES) if name not in UNTOLD])
# A brew repeated with care: its drained time scatters by about 4 %, its drink by 2 g (our own
# defaults), its strength by 0.024 % of the drink (27 recipes brewed six times each; the open data
# set of Cotter, Ristenpart and Guinard, 2023).
TIME_SCATTER = 0.04
BEVERAGE_SCATTER_G = 2.0
STRENGTH_SCATTER = 0.00024
# Tails of the brews' errors: Student's t of so many degrees (our own default).
TAILS = 4.0
ROUNDS = 12
PLAIN_ROUNDS = 5
NEAR = 0.02  # a round that moves nothing by more is the last
# Between two moments of a brew that is only compared, s: it errs by less than the brews scatter.
COARSE_S = 2.0
STEP = 0.05  # of a finite difference, in standard deviations of the prior
FARTHEST = 1.0  # a round moves no constant by more, in standard deviations of the prior


class Drained(StrEnum):
    """Which of the three meanings of drained a time has."""

    BED_VISIBLE = "bed_visible_s"
    STREAM_BREAKS = "stream_breaks_s"
    LAST_DROP = "last_drop_s"


@dataclass(frozen=True, slots=True, kw_only=True)
class Brewed:
    """One brew as it teaches: how it was brewed, and what was seen of it, None where nothing was.

    Attributes:
        recipe: one row.
        coffee: any number that tells its coffee from others.
        drained, drained_s, drained_sd_s: the drained time, s, and how well it was read.
        beverage_g, beverage_sd_g: the drink, g.
        strength, strength_sd: a fraction.
        weight: how far the brew counts, 0 to 1.
    """

    recipe: Recipes
    coffee: int = 0
    drained: Drained = Drained.STREAM_BREAKS
    drained_s: float | None = None
    drained_sd_s: float = 4.0
    beverage_g: float | None = None
    beverage_sd_g: float = 1.0
    strength: float | None = None
    strength_sd: float = 0.0003
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Belief:
    """A normal belief: mean (d,) and covariance (d, d); d is the constants, then the coffees'."""

    mean: Floats
    covariance: Floats
    coffees: tuple[int, ...] = ()
    brews: int = 0
    priors: dict[str, Prior] = field(default_factory=lambda: PRIORS)
    middle_steps: float = MIDDLE_STEPS

    def draw(self, normals: Floats) -> Floats:
        """Return rows of the belief, (n, d), from standard normals of the same shape."""
        spread = np.linalg.cholesky(self.covariance + 1e-10 * np.eye(len(self.mean)))
        return np.asarray(self.mean + normals @ spread.T)

    def kits(self, drawn: Floats, fresh: Floats, coffee: int | None = None) -> Kits:
        """Return the kits that rows of the belief stand for, with one coffee in them.

        Args:
            drawn: rows of the belief, (n, d).
            fresh: standard normals, (n, OF_A_COFFEE), for a coffee not met before.
            coffee: which coffee; None for one not met before.
        """
        constants = _with_coffee(drawn, fresh, self.coffees, coffee)
        return kits_at(constants, self.priors, middle_steps=self.middle_steps)


def no_belief(priors: dict[str, Prior] = PRIORS) -> Belief:
    """Return what is believed before any brew."""
    size = len(NAMES)
    return Belief(np.zeros(size), np.eye(size), priors=priors)


def calibrate(brews: Sequence[Brewed], *, priors: dict[str, Prior] = PRIORS) -> Belief:
    """Return what brews teach.

    Args:
        brews: in any order; their order teaches nothing.
        priors: what is believed before; a measured constant has a narrow one.
    """
    if not brews:
        return no_belief(priors)
    # In an order of their own, so that not even rounding tells in which they came.
    fit = Fit(sorted(brews, key=_content), priors)
    while not fit.done:
        fit.hear(simulate_pairs(*fit.ask(), step_s=COARSE_S))
    return fit.belief()


def _content(brew: Brewed) -> tuple[float, ...]:
    """Return what was read of a brew, and its dose, setting and water, as numbers to sort by."""
    recipe = brew.recipe
    return (
        brew.drained_s or 0.0,
        brew.beverage_g or 0.0,
        brew.strength or 0.0,
        brew.weight,
        float(brew.coffee),
        float(recipe.dose_g[0]),
        float(recipe.steps[0]),
        float(recipe.pour_mass_g.sum()),
    )


class Fit:
    """The fit of one journal, a round at a time, so that many may share a simulation."""

    def __init__(self, brews: Sequence[Brewed], priors: dict[str, Prior] = PRIORS) -> None:
        self._brews, self._priors = brews, priors
        self._coffees = tuple(sorted({brew.coffee for brew in brews}))
        self._recipes = stack([brew.recipe for brew in brews])
        self._middle_steps = float(np.median(self._recipes.steps)) or MIDDLE_STEPS
        self._seen, self._sd, self._known = seen_of(brews)  # (b, 3)
        self._weights = np.array([brew.weight for brew in brews])[:, None]
        self._mean = np.zeros(len(NAMES) + len(self._coffees) * len(OF_A_COFFEE))
        self._precision = np.eye(len(self._mean))
        # The constants as they are, and each that can be told a step away, (r, size).
        size = len(NAMES)
        self._steps = STEP * np.concatenate((np.zeros((1, size)), np.eye(size)[TOLD]))
        self._round = 0
        self.done = False

    def ask(self) -> tuple[Kits, Recipes]:
        """Return the brews to be simulated for the next round."""
        here = [
            _with_coffee(self._mean[None], self._mean[None, :0], self._coffees, brew.coffee)[0]
            for brew in self._brews
        ]
        moved = np.stack(here)[:, None] + self._steps  # (b, r, size)
        kits = kits_at(moved.reshape(-1, len(NAMES)), self._priors, middle_steps=self._middle_steps)
        rows = np.repeat(np.arange(len(self._brews)), len(self._steps))
        return kits, self._recipes.take(rows)

    def hear(self, outcome: Outcome) -> None:
        """Take a round's step by what was told of the brews that were asked for."""
        told = told_of(outcome, self._brews, len(self._steps))  # (b, r, 3)
        scaled = self._slopes(told) / self._sd[..., None]  # (b, 3, d)
        off = np.where(self._known, (self._seen - told[:, 0]) / self._sd, 0.0)
        # Far from the answer every brew looks like an outlier: the tails wait.
        heavy = (TAILS + 1.0) / (TAILS + off**2) if self._round >= PLAIN_ROUNDS else 1.0
        counts = np.where(self._known, heavy, 0.0) * self._weights
        taught = np.einsum("bod,bo,boe->de", scaled, counts, scaled)
        self._precision = np.eye(len(self._mean)) + taught
        uphill = np.einsum("bod,bo,bo->d", scaled, counts, off) - self._mean
        move = np.linalg.solve(self._precision, uphill)
        farthest = float(np.abs(move).max())
        self._mean = self._mean + move * min(1.0, FARTHEST / max(farthest, 1e-12))
        self._round += 1
        near = self._round > PLAIN_ROUNDS + 1 and farthest < NEAR
        self.done = near or self._round == ROUNDS

    def belief(self) -> Belief:
        """Return what the rounds so far have found."""
        covariance = np.asarray(np.linalg.inv(self._precision), dtype=np.float64)
        return Belief(
            self._mean,
            covariance,
            self._coffees,
            len(self._brews),
            self._priors,
            self._middle_steps,
        )

    def _slopes(self, told: Floats) -> Floats:
        """Return by what each of the told three grows with each constant, (b, 3, d)."""
        size = len(NAMES)
        slopes = np.zeros((*self._seen.shape, len(self._mean)))
        slopes[..., TOLD] = np.moveaxis(told[:, 1:] - told[:, :1], 1, -1) / STEP
        for place, brew in enumerate(self._brews):
            start = size + self._coffees.index(brew.coffee) * len(OF_A_COFFEE)
            for column, (name, ratio) in enumerate(_coffee_ratios(self._priors)):
                slopes[place, :, start + column] = slopes[place, :, NAMES.index(name)] * ratio
        return slopes


def seen_of(brews: Sequence[Brewed]) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Return what was seen, its standard deviation and whether it was, each (b, 3).

    The three are the logarithm of the drained time, the drink and the logarithm of its strength.
    """
    rows = []
    for brew in brews:
        time_s, drink_g, strength = brew.drained_s, brew.beverage_g, brew.strength
        rows.append(
            (
                (np.log(time_s), np.hypot(brew.drained_sd_s / time_s, TIME_SCATTER), 1.0)
                if time_s
                else (0.0, 1.0, 0.0),
                (drink_g, np.hypot(brew.beverage_sd_g, BEVERAGE_SCATTER_G), 1.0)
                if drink_g
                else (0.0, 1.0, 0.0),
                (np.log(strength), np.hypot(brew.strength_sd, STRENGTH_SCATTER) / strength, 1.0)
                if strength
                else (0.0, 1.0, 0.0),
            )
        )
    table = np.array(rows)  # (b, 3, 3)
    return table[..., 0], table[..., 1], table[..., 2] > 0


def told_of(outcome: Outcome, brews: Sequence[Brewed], each: int) -> Floats:
    """Return the three told of each outcome, (b, each, 3), where each brew's stand together."""
    times = np.stack([getattr(outcome, kind.value) for kind in Drained])  # (3, b each)
    which = np.repeat([list(Drained).index(brew.drained) for brew in brews], each)
    time_s = times[which, np.arange(len(which))]
    told = (np.log(time_s), outcome.beverage_g, np.log(np.maximum(outcome.strength, 1e-5)))
    return np.stack(told, axis=1).reshape(len(brews), each, 3)


def _coffee_ratios(priors: dict[str, Prior]) -> list[tuple[str, float]]:
    """Return a coffee's standard deviation of each of its constants over the kit's."""
    return [(name, spread / priors[name].spread) for name, spread in OF_A_COFFEE.items()]


def _with_coffee(
    drawn: Floats, fresh: Floats, coffees: tuple[int, ...], coffee: int | None
) -> Floats:
    """Return the kit's constants with a coffee's on them, (n, constants), in standard normals."""
    size, own = len(NAMES), len(OF_A_COFFEE)
    kit = drawn[:, :size].copy()
    if coffee in coffees:
        start = size + coffees.index(coffee) * own
        of_coffee = drawn[:, start : start + own]
    else:
        of_coffee = fresh[:, :own]
    if of_coffee.shape[1]:
        for column, (name, ratio) in enumerate(_coffee_ratios(PRIORS)):
            kit[:, NAMES.index(name)] += ratio * of_coffee[:, column]
    return kit
