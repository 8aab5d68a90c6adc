"""Which one measurement would narrow the forecasts of a kit most, before it is made.

Each candidate is a straight observation in the space of the belief with a noise of its own; what
it leaves of a forecast's variance is the Gaussian update, which needs no outcome.
"""

from dataclasses import dataclass, replace
from math import hypot

import numpy as np

from halfclick.model.brew import Brew
from halfclick.model.kit import Dripper
from halfclick.model.recipe import Pour, Recipe
from halfclick.physics.brew.arrays import Floats, Kits, Recipes, stack
from halfclick.physics.brew.calibrate import COARSE_S, STEP, STRENGTH_SCATTER, Belief
from halfclick.physics.brew.gear import recipe_row
from halfclick.physics.brew.paper_water import PAPER_SD
from halfclick.physics.brew.priors import NAMES, kits_at
from halfclick.physics.brew.simulate import simulate_pairs
from halfclick.service.kitchens import KitView, list_kit
from halfclick.service.learned import Learned, gear_of
from halfclick.service.measured_kit import SIEVED_SD
from halfclick.store.journal import Store
from halfclick.store.many import newest_brewed_on

# Another setting is one whose grounds are about so much coarser or finer, um (our own default).
ANOTHER_SETTING_UM = 100.0
# Of a logarithm, as kitchen scales give it (our own default, no source): a spent bed on the scale.
SPENT_BED_SD = 0.04
# Below this share of a band's width nothing is worth the trouble.
WORTH = 0.02
PLAIN = Recipe(
    dose_g=15.0,
    water_g=240.0,
    pours=(
        Pour(start_s=0.0, until_g=45.0, rate_g_s=5.0),
        Pour(start_s=45.0, until_g=140.0, rate_g_s=5.0),
        Pour(start_s=90.0, until_g=240.0, rate_g_s=5.0),
    ),
    temperature_c=94.0,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """A measurement by name, and the share by which it narrows the bands of drained times."""

    name: str
    narrows_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Slopes:
    """Slopes of a forecast's logarithm along each constant in standard normals, (rows, d)."""

    time: Floats
    strength: Floats
    by_kettle: Floats  # (rows,) of the kettle's rate, in its own standard deviations


def measurements(store: Store, kit: KitView, learned: Learned) -> tuple[Measurement, ...]:
    """Return every measurement worth making, that which narrows most first.

    Judged by the drained time of the newest recipe at a finer and at a coarser setting, and on
    each other dripper of the journal.
    """
    rows = _targets(store, kit, learned)
    slopes = _slopes(learned, rows, _kettle_sd_per_s(kit, learned))
    found = [
        Measurement(name=name, narrows_share=narrowing(learned.belief, slopes.time, along, sd))
        for name, (along, sd) in _candidates(learned.belief, slopes).items()
    ]
    found.append(Measurement(name="kettle", narrows_share=_by_kettle(learned.belief, slopes)))
    worth = [one for one in found if one.narrows_share > WORTH]
    return tuple(sorted(worth, key=lambda one: one.narrows_share, reverse=True))


def narrowing(belief: Belief, targets: Floats, along: Floats, sd: float) -> float:
    """Return by which share a measurement is expected to narrow the bands of some forecasts.

    Args:
        belief: what is believed now.
        targets: the forecasts' slopes along the constants, (rows, constants).
        along: the measured quantity's slopes, (constants,).
        sd: its standard deviation.
    """
    size = len(along)
    covariance = belief.covariance[:size, :size]
    together = targets @ covariance @ along  # (rows,)
    before = np.einsum("rd,de,re->r", targets, covariance, targets)
    gone = together**2 / (along @ covariance @ along + sd**2)
    left = np.sqrt(np.clip(1.0 - gone / np.maximum(before, 1e-12), 0.0, 1.0))
    return float(np.mean(1.0 - left))


def newest_recipe(store: Store, kit: KitView) -> Recipe:
    """Return the newest recipe brewed on a kit; a plain one where there is none."""
    with store.reading() as r:
        ids = newest_brewed_on(r, grinder_id=kit.grinder.id, dripper_id=kit.dripper.id, count=1)
        return r.get(Brew, ids[0]).plan if ids else PLAIN


def _targets(store: Store, kit: KitView, learned: Learned) -> Recipes:
    recipe = newest_recipe(store, kit)
    own = recipe_row(recipe, gear_of(kit, learned.kettle_per_s))
    if recipe.setting is None:
        own = replace(own, steps=own.steps * 0.0 + learned.belief.middle_steps)
    prior = learned.belief.priors["per_step_um"]
    away = max(1.0, round(ANOTHER_SETTING_UM / prior.median))
    others = [one for one in list_kit(store, Dripper) if one.id != kit.dripper.id]
    on_others = [
        replace(
            recipe_row(recipe, gear_of(replace(kit, dripper=one), learned.kettle_per_s)),
            steps=own.steps,
        )
        for one in others
    ]
    finer = np.maximum(own.steps - away, 1.0)
    return stack([own, replace(own, steps=finer), replace(own, steps=own.steps + away), *on_others])


def _slopes(learned: Learned, rows: Recipes, kettle_sd: float) -> _Slopes:
    belief, size = learned.belief, len(NAMES)
    steps = np.concatenate((np.zeros((2, size)), np.eye(size)))  # the second for the kettle
    each = len(steps)
    kits: Kits = kits_at(
        np.tile(belief.mean[:size] + STEP * steps, (len(rows), 1)),
        belief.priors,
        middle_steps=belief.middle_steps,
    )
    every = rows.take(np.repeat(np.arange(len(rows)), each))
    rate = every.kettle_per_s.copy()
    rate[1::each] += kettle_sd
    told = simulate_pairs(kits, replace(every, kettle_per_s=rate), step_s=COARSE_S)
    time = np.log(told.stream_breaks_s).reshape(len(rows), each)
    strength = np.log(np.maximum(told.strength, 1e-6)).reshape(len(rows), each)
    return _Slopes(
        # The first row is the recipe as it is: what is asked is how it goes elsewhere.
        time=((time[:, 2:] - time[:, :1]) / STEP)[1:],
        strength=((strength[:, 2:] - strength[:, :1]) / STEP)[0],
        by_kettle=(time[:, 1] - time[:, 0])[1:],
    )


def _candidates(belief: Belief, slopes: _Slopes) -> dict[str, tuple[Floats, float]]:
    kept = {name: _middle(belief, name) for name in ("grain_g_g", "between_g_g")}
    whole = sum(kept.values())
    spent = sum(share / whole * _along(belief, name) for name, share in kept.items())
    return {
        "sieve": (_along(belief, "size_um"), SIEVED_SD),
        "sieve_another": (_along_another_size(belief), SIEVED_SD),
        "paper": (_along(belief, "paper_per_m"), PAPER_SD),
        "spent_bed": (np.asarray(spent), SPENT_BED_SD),
        "strength": (slopes.strength, hypot(STRENGTH_SCATTER, 0.0003) / 0.013),
    }


def _along(belief: Belief, name: str) -> Floats:
    """Return the slope of a constant's logarithm, (constants,)."""
    along = np.zeros(len(NAMES))
    along[NAMES.index(name)] = belief.priors[name].spread
    return along


def _along_another_size(belief: Belief) -> Floats:
    """Return the slope of the logarithm of the size at a finer setting, (constants,)."""
    size_um, finer_um = _middle(belief, "size_um"), ANOTHER_SETTING_UM
    by_size = size_um * _along(belief, "size_um") - finer_um * _along(belief, "per_step_um")
    return np.asarray(by_size / max(size_um - finer_um, finer_um))


def _middle(belief: Belief, name: str) -> float:
    prior = belief.priors[name]
    return float(prior.median * np.exp(prior.spread * belief.mean[NAMES.index(name)]))


def _kettle_sd_per_s(kit: KitView, learned: Learned) -> float:
    """Return how little is known of the kettle's rate, 1/s; nothing where there is no kettle."""
    return 0.0 if kit.kettle is None else learned.kettle_per_s * learned.kettle_sd


def _by_kettle(belief: Belief, slopes: _Slopes) -> float:
    size = len(NAMES)
    covariance = belief.covariance[:size, :size]
    kit = np.einsum("rd,de,re->r", slopes.time, covariance, slopes.time)
    whole = kit + slopes.by_kettle**2
    return float(np.mean(1.0 - np.sqrt(kit / np.maximum(whole, 1e-12))))
