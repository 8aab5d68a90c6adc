"""What brews teach of a kit and its coffees: the constants with their whole uncertainty.

A belief is a normal distribution in the space of `priors`: one column a constant of the kit, then
for each coffee what it does to the few constants that are a coffee's own. Brews are compared with
the simulation in logarithms; the most probable constants are found by Gauss and Newton's method,
and the curvature there gives the spread. Outliers count less (Student's t); so does a slipped cup.

Times tell products, not parts: size and permeability, say, only ever appear multiplied. The
covariance keeps that, and `untangle` asks which one measurement would part them.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, fields
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
        "activation_j_mol",
        "partition_per_k",
        "mixing_s",
        "grounds_j_g_k",
        "dripper_j_k",
        "dripper_w_k",
        "dripper_loss_w_k",
        "slurry_loss_w_k",
        "pour_loss_k",
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


# The fewest samples that must carry a belief once brews have weighed them (our own default).
CARRIED_BY = 40.0


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
    coffees = tuple(sorted({brew.coffee for brew in brews}))
    recipes = stack([brew.recipe for brew in brews])
    middle_steps = float(np.median(recipes.steps)) or MIDDLE_STEPS
    seen, sd, known = _seen(brews)  # (b, 3)
    mean = np.zeros(len(NAMES) + len(coffees) * len(OF_A_COFFEE))
    precision = np.eye(len(mean))
    for number in range(ROUNDS):
        told, slopes = _told_and_slopes(
            mean, brews, coffees, recipes, (priors, middle_steps)
        )  # (b, 3), (b, 3, d)
        off = np.where(known, (seen - told) / sd, 0.0)
        # Far from the answer every brew looks like an outlier: the tails wait.
        heavy = (TAILS + 1.0) / (TAILS + off**2) if number >= PLAIN_ROUNDS else 1.0
        counts = np.where(known, heavy, 0.0) * np.array([brew.weight for brew in brews])[:, None]
        scaled = slopes / sd[..., None]
        precision = np.eye(len(mean)) + np.einsum("bod,bo,boe->de", scaled, counts, scaled)
        uphill = np.einsum("bod,bo,bo->d", scaled, counts, off) - mean
        move = np.linalg.solve(precision, uphill)
        move *= min(1.0, FARTHEST / max(float(np.abs(move).max()), 1e-12))
        mean = mean + move
        if number > PLAIN_ROUNDS and float(np.abs(move).max()) < NEAR:
            break
    return Belief(mean, _inverse(precision), coffees, len(brews), priors, middle_steps)


def weigh(
    belief: Belief, brews: Sequence[Brewed], rng: np.random.Generator, *, count: int, drawn: int
) -> Floats:
    """Return rows of a belief as the brews themselves weigh them, (count, d).

    The normal belief is only right where the simulation is straight; where resistances add up it
    is bent. So more rows are drawn than are wanted, each is held against the brews, and rows are
    kept as often as they deserve; tempered where too few would carry the rest.

    Args:
        belief: what the brews taught, from `calibrate`.
        brews: the same brews.
        rng: where chance comes from.
        count: rows wanted.
        drawn: rows drawn first.
    """
    normals = rng.standard_normal((drawn, len(belief.mean)))
    rows = belief.draw(normals)
    if not brews:
        return rows[:count]
    seen, sd, known = _seen(brews)
    fresh = np.zeros((drawn, len(OF_A_COFFEE)))
    kits = [belief.kits(rows, fresh, brew.coffee) for brew in brews]
    together = kits[0].take(np.arange(0))
    names = [field.name for field in fields(together)]
    every = Kits(**{name: np.concatenate([getattr(one, name) for one in kits]) for name in names})
    recipes = stack([brew.recipe for brew in brews]).take(np.repeat(np.arange(len(brews)), drawn))
    told = _told(simulate_pairs(every, recipes, step_s=COARSE_S), brews, drawn)  # (b, n, 3)
    off = np.where(known[:, None], (seen[:, None] - told) / sd[:, None], 0.0)
    tails = -0.5 * (TAILS + 1.0) * np.log1p(off**2 / TAILS)
    counts = np.array([brew.weight for brew in brews])[:, None]
    likely = (tails.sum(axis=2) * counts).sum(axis=0)
    log_weight = likely - 0.5 * (rows**2).sum(axis=1) + 0.5 * (normals**2).sum(axis=1)
    weight = _tempered(log_weight)
    places = (rng.random() + np.arange(count)) / count
    return np.asarray(rows[np.searchsorted(np.cumsum(weight), places).clip(0, drawn - 1)])


def _tempered(log_weight: Floats) -> Floats:
    """Return weights that sum to 1, flattened as far as is needed for enough to carry them."""
    share = 1.0
    while True:
        weight = np.exp(share * (log_weight - log_weight.max()))
        weight /= weight.sum()
        if 1.0 / float((weight**2).sum()) >= min(CARRIED_BY, len(weight) / 2) or share < 1e-3:
            return np.asarray(weight)
        share *= 0.8


def _inverse(precision: Floats) -> Floats:
    return np.asarray(np.linalg.inv(precision), dtype=np.float64)


def _seen(brews: Sequence[Brewed]) -> tuple[Floats, Floats, NDArray[np.bool_]]:
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


def _told_and_slopes(
    mean: Floats,
    brews: Sequence[Brewed],
    coffees: tuple[int, ...],
    recipes: Recipes,
    told_by: tuple[dict[str, Prior], float],
) -> tuple[Floats, Floats]:
    """Return what the simulation tells of each brew, (b, 3), and its slopes, (b, 3, d)."""
    size, count = len(NAMES), len(brews)
    priors, middle_steps = told_by
    here = np.stack(
        [_with_coffee(mean[None], mean[None, :0], coffees, brew.coffee)[0] for brew in brews]
    )  # (b, size)
    steps = np.concatenate((np.zeros((1, size)), np.eye(size)[TOLD]))  # (r, size)
    moved = here[:, None] + STEP * steps  # (b, r, size)
    kits = kits_at(moved.reshape(-1, size), priors, middle_steps=middle_steps)
    every = recipes.take(np.repeat(np.arange(count), len(steps)))
    told = _told(simulate_pairs(kits, every, step_s=COARSE_S), brews, len(steps))
    of_kit = np.zeros((count, 3, size))
    of_kit[..., TOLD] = np.moveaxis(told[:, 1:] - told[:, :1], 1, -1) / STEP
    slopes = np.zeros((count, 3, len(mean)))
    slopes[..., :size] = of_kit
    for place, brew in enumerate(brews):
        for column, (name, ratio) in enumerate(_coffee_ratios(priors)):
            at = size + coffees.index(brew.coffee) * len(OF_A_COFFEE) + column
            slopes[place, :, at] = of_kit[place, :, NAMES.index(name)] * ratio
    return told[:, 0], slopes


def _told(outcome: Outcome, brews: Sequence[Brewed], each: int) -> Floats:
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
