"""A recipe on another grinder, on another dripper or at another size: where to begin.

On what is believed of the kits, each sample is asked at which setting of the other kit the brew
runs and extracts as the original does; the answers make a range, and one brew confirms it.
"""

from dataclasses import dataclass, replace
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from halfclick.errors import BadInput
from halfclick.model.brew import Brew
from halfclick.model.grinder import Grinder, setting_at
from halfclick.model.kit import Dripper, DripperShape
from halfclick.model.moves import resized
from halfclick.model.recipe import Recipe
from halfclick.model.size import same_size
from halfclick.physics.brew.arrays import Floats, Kits, Recipes
from halfclick.physics.brew.calibrate import COARSE_S, OF_A_COFFEE
from halfclick.physics.brew.gear import recipe_row
from halfclick.physics.brew.priors import NAMES, kits_at
from halfclick.physics.brew.simulate import simulate, simulate_pairs
from halfclick.service.cups import cups_of_coffee
from halfclick.service.grinders import zero_in_force
from halfclick.service.kitchens import KitView, kit_of
from halfclick.service.learned import SEED, Learned, drained_of, gear_of, learn
from halfclick.service.measured_kit import SIEVED
from halfclick.service.priors import MEDIUM_TRAVEL_UM
from halfclick.store.journal import Store

SAMPLES = 32
SETTINGS = 14
# Settings tried, over the one that is thought usual.
FINEST, COARSEST = 0.3, 2.2
# How near a brew must come to the original: a repeated brew scatters by about so much.
TIME_SD, EXTRACTION_SD = 0.05, 0.005
EIGHT_OF_TEN = (0.1, 0.5, 0.9)
FINE = 8  # points between two settings tried


@dataclass(frozen=True, slots=True, kw_only=True)
class Converted:
    """Where to begin: settings as the dial writes them, eight of ten chances within the outer two.

    `by_clock`: the drained time was held too and not only what is extracted; it is not where the
    size differs. `brews` is how many brews stand behind the grinder on that dripper.
    """

    recipe: Recipe
    settings: tuple[str, str, str]  # the finer end, the middle, the coarser end
    time_s: tuple[float, float, float]  # at the middle one
    extraction: float
    by_clock: bool
    brews: int
    sieved: bool
    step_known: bool
    kit: KitView

    @property
    def is_wide(self) -> bool:
        """Whether the other grinder was neither brewed with nor sieved."""
        return self.brews == 0 and not self.sieved


def convert(
    store: Store,
    coffee_id: UUID,
    *,
    grinder_id: UUID,
    dripper_id: UUID,
    dose_g: float | None = None,
) -> Converted:
    """Return where to begin with a coffee's recipe elsewhere; takes a second: for a job.

    Args:
        store: the journal.
        coffee_id: whose newest good cup, else newest cup, is the original.
        grinder_id: to which grinder.
        dripper_id: on which dripper.
        dose_g: the size; None for the original's.

    Raises:
        BadInput: the coffee has no cup with a setting, the size cannot be, or one of the two
            drippers holds the water back and the other does not.
    """
    brew = _original(store, coffee_id)
    kit = kit_of(store, brew.kit)
    other = _elsewhere(store, kit, grinder_id, dripper_id)
    if DripperShape.IMMERSION in {kit.dripper.shape, other.dripper.shape} and (
        kit.dripper.shape != other.dripper.shape
    ):
        raise BadInput("convert.immersion", dripper=other.dripper.name)
    dose_g = brew.plan.dose_g if dose_g is None else dose_g
    sized = resized(brew.plan, dose_g, dose_g * brew.plan.ratio)
    by_clock = same_size(sized, brew.plan)
    here, there = learn(store, kit), learn(store, other)
    kits, others, middle = _samples(here, there, kit, other, coffee_id)
    start = recipe_row(brew.plan, gear_of(kit, here.kettle_per_s))
    end = recipe_row(sized, gear_of(other, there.kettle_per_s))
    drained = drained_of(kit.kitchen.drained_rule).value
    found = _matched(_World(kits, start, others, end), middle, drained, by_clock=by_clock)
    finer, mid, coarser = (_written(other, value) for value in found.ends)
    return Converted(
        recipe=replace(sized, setting=None),
        settings=(finer, mid, coarser),
        time_s=found.time_s,
        extraction=found.extraction,
        by_clock=by_clock,
        brews=there.brews,
        sieved=there.belief.priors["size_um"].source == SIEVED,
        step_known=other.grinder.step_um is not None,
        kit=other,
    )


@dataclass(frozen=True, slots=True)
class _World:
    """Kits here and there, sample by sample, and what is brewed on them, a row each."""

    kits: Kits
    start: Recipes
    others: Kits
    end: Recipes


@dataclass(frozen=True, slots=True)
class _Match:
    ends: tuple[float, float, float]  # steps
    time_s: tuple[float, float, float]
    extraction: float


def _matched(world: _World, middle: float, drained: str, *, by_clock: bool) -> _Match:
    """Return at which settings there a brew comes nearest to the one here."""
    own = world.start.take(np.zeros(len(world.kits), dtype=np.intp))
    was = simulate_pairs(world.kits, own, step_s=COARSE_S)
    steps = np.linspace(FINEST, COARSEST, SETTINGS) * middle
    rows = replace(world.end.take(np.zeros(SETTINGS, dtype=np.intp)), steps=steps)
    tried = simulate(world.others, rows, step_s=COARSE_S)  # (n, settings)
    fine = np.linspace(steps[0], steps[-1], FINE * (SETTINGS - 1) + 1)
    time, extraction = (
        np.stack([np.interp(fine, steps, of_kit) for of_kit in told])
        for told in (np.log(getattr(tried, drained)), tried.extraction)
    )  # each (n, fine)
    off = ((extraction - was.extraction[:, None]) / EXTRACTION_SD) ** 2
    if by_clock:
        off = off + ((time - np.log(getattr(was, drained))[:, None]) / TIME_SD) ** 2
    low, mid, high = np.quantile(fine[np.argmin(off, axis=1)], EIGHT_OF_TEN).tolist()
    at = int(np.argmin(np.abs(fine - mid)))
    low_s, middle_s, high_s = np.exp(np.quantile(time[:, at], (0.05, 0.5, 0.95))).tolist()
    return _Match((low, mid, high), (low_s, middle_s, high_s), float(np.median(extraction[:, at])))


def _original(store: Store, coffee_id: UUID) -> Brew:
    with store.reading() as r:
        cups = [cup for cup in cups_of_coffee(r, coffee_id) if cup.brew.plan.setting is not None]
    if not cups:
        raise BadInput("convert.no_cup")
    good = [cup for cup in cups if cup.is_good and not cup.scaled]
    return (good or cups)[-1].brew


def _elsewhere(store: Store, kit: KitView, grinder_id: UUID, dripper_id: UUID) -> KitView:
    with store.reading() as r:
        return replace(
            kit,
            grinder=r.get(Grinder, grinder_id),
            zero=zero_in_force(r, grinder_id),
            dripper=r.get(Dripper, dripper_id),
        )


def _samples(
    here: Learned, there: Learned, kit: KitView, other: KitView, coffee_id: UUID
) -> tuple[Kits, Kits, float]:
    """Return kits as they are believed here and there, sample by sample, and the usual setting.

    What was learned here holds there as far as it is not of the grinder: a sample is one world.
    """
    rng = np.random.default_rng(SEED)
    fresh = rng.standard_normal((SAMPLES, len(OF_A_COFFEE)))
    rows = _some(here.rows)
    kits = here.belief.kits(rows, fresh, here.place_of(coffee_id))
    if other.grinder.id == kit.grinder.id and other.dripper.id == kit.dripper.id:
        return kits, kits, here.belief.middle_steps
    if there.brews:
        place = there.place_of(coffee_id)
        return kits, there.belief.kits(_some(there.rows), fresh, place), there.belief.middle_steps
    if other.grinder.id == kit.grinder.id:
        return kits, kits, here.belief.middle_steps
    ground, middle = _of_new_grinder(there, rng)
    return kits, replace(kits, base_um=ground.base_um, per_step_um=ground.per_step_um), middle


def _of_new_grinder(there: Learned, rng: np.random.Generator) -> tuple[Kits, float]:
    priors = there.belief.priors
    middle = there.belief.middle_steps
    if priors["size_um"].source != SIEVED:
        middle = max(MEDIUM_TRAVEL_UM / priors["per_step_um"].median, 2.0)
    normals = rng.standard_normal((SAMPLES, len(NAMES)))
    return kits_at(normals, priors, middle_steps=middle), middle


def _some(rows: Floats) -> Floats:
    places: NDArray[np.intp] = np.linspace(0, len(rows) - 1, SAMPLES).astype(np.intp)
    return np.asarray(rows[places])


def _written(kit: KitView, steps: float) -> str:
    """Return the setting as the dial writes it, or the nearest finer one that it reaches."""
    for reached in range(round(steps), -1, -1):
        try:
            return setting_at(kit.grinder, kit.zero, reached).text
        except BadInput:
            continue
    raise BadInput("setting.below_the_dial")
