"""What the person gives a brew by the clock: water in by each moment, how warm, the valve open."""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from halfclick.physics.brew.arrays import Floats, Kits, Recipes

# A bed is wetted by no less than so many times the water that it holds between its grains (our own
# default: it must be more than once).
FILLED = 1.05


@dataclass(frozen=True, slots=True)
class Feed:
    """What was given by each moment, of shape (t, b); of each step up to the next, (t - 1, b)."""

    time_s: Floats  # (t,)
    poured_g: Floats
    wet_share: Floats  # of the bed
    early: Floats  # what is left of the fresh bed's extra resistance, 1 at the first water
    water_c: Floats  # of the stream as it lands
    step_s: Floats  # (t - 1,)
    into_g_s: Floats  # (t - 1, b), poured in the step over its length
    open_share: Floats  # (t - 1, b), part of the step in which the outlet is open

    def moments(self) -> tuple[Floats, Floats, Floats, Floats]:
        """Return what is given at each time, in the order of `flow.Given`."""
        return self.poured_g, self.wet_share, self.early, self.water_c

    def take(self, rows: NDArray[np.intp], times: int) -> "Feed":
        """Return the brews asked for, up to so many times."""
        steps = times - 1
        return Feed(
            time_s=self.time_s[:times],
            poured_g=self.poured_g[:times, rows],
            wet_share=self.wet_share[:times, rows],
            early=self.early[:times, rows],
            water_c=self.water_c[:times, rows],
            step_s=self.step_s[:steps],
            into_g_s=self.into_g_s[:steps, rows],
            open_share=self.open_share[:steps, rows],
        )


def feed_of(kits: Kits, recipes: Recipes, time_s: Floats) -> Feed:
    """Return what each brew is given at the times asked for.

    Args:
        kits: of shape (b,).
        recipes: of shape (b,).
        time_s: since the first pour, s, shape (t,).
    """
    poured_g = poured_by(recipes, time_s)
    clock_s = time_s[:, None]
    cooled = np.exp(-recipes.kettle_per_s * clock_s)  # (t, b)
    kettle_c = recipes.room_c + (recipes.kettle_c - recipes.room_c) * cooled
    step_s = np.diff(time_s)
    return Feed(
        time_s=time_s,
        poured_g=poured_g,
        wet_share=-np.expm1(-poured_g / wetting_g(kits, recipes)),
        early=np.exp(-clock_s / kits.early_s),
        water_c=kettle_c - kits.pour_loss_k,
        step_s=step_s,
        into_g_s=np.diff(poured_g, axis=0) / step_s[:, None],
        open_share=np.clip((clock_s[1:] - recipes.open_s) / step_s[:, None], 0.0, 1.0),
    )


def wetting_g(kits: Kits, recipes: Recipes) -> Floats:
    """Return the water that wets 63 % of each bed, g, shape (b,); less where the bloom is stirred.

    Never so little that what is wetted would hold more water than was poured.
    """
    easily_g_g = kits.wetting_g_g / (1.0 + kits.wetted_easier * recipes.stirred)
    return np.asarray(np.maximum(easily_g_g, FILLED * kits.between_g_g) * recipes.dose_g)


def joined(feeds: Sequence[Feed]) -> Feed:
    """Return feeds as one, each of which begins at the last time of the one before."""
    values = {}
    for field in fields(Feed):
        parts = [getattr(feed, field.name) for feed in feeds]
        in_steps = len(parts[0]) < len(feeds[0].time_s)
        later = parts[1:] if in_steps else [part[1:] for part in parts[1:]]
        values[field.name] = np.concatenate((parts[0], *later))
    return Feed(**values)


def poured_by(recipes: Recipes, time_s: Floats) -> Floats:
    """Return the water poured by each time, g, shape (t, b).

    Args:
        recipes: of shape (b,).
        time_s: since the first pour, s, shape (t,).
    """
    since_s = time_s[:, None, None] - recipes.pour_start_s  # (t, b, p)
    so_far_g = np.clip(since_s * recipes.pour_rate_g_s, 0.0, recipes.pour_mass_g)
    return np.asarray(so_far_g.sum(axis=-1), dtype=np.float64)


def last_pour_ends_s(recipes: Recipes) -> Floats:
    """Return when the last water has been poured, s, shape (b,)."""
    ends_s = recipes.pour_start_s + recipes.pour_mass_g / recipes.pour_rate_g_s  # (b, p)
    return np.asarray(np.where(recipes.pour_mass_g > 0, ends_s, 0.0).max(axis=-1))
