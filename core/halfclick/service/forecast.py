"""How a recipe will run on the kit in use, as bands, before any water is poured."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID, uuid4

import numpy as np
from numpy.typing import NDArray

from halfclick.model.forecast import Band, Forecast
from halfclick.model.recipe import Recipe
from halfclick.physics.brew.calibrate import (
    BEVERAGE_SCATTER_G,
    OF_A_COFFEE,
    STRENGTH_SCATTER,
    TIME_SCATTER,
)
from halfclick.physics.brew.gear import recipe_row
from halfclick.physics.brew.simulate import FRACTION_S, Outcome, follow
from halfclick.physics.vessel import inside_of
from halfclick.service.done import Done, Touched
from halfclick.service.kitchens import KitView
from halfclick.service.learned import SAMPLES, SEED, Learned, drained_of, gear_of
from halfclick.store.journal import Store
from halfclick.wording import Message

ENGINE = "brew-1"
SHARES = (0.05, 0.5, 0.95)
# How well a drained time and a strength are read (our own defaults).
READ_S = 3.0
READ_STRENGTH = 0.0003
# What runs in a half minute is told where it runs in so many of the samples (our own default).
RUNS_IN_SHARE = 0.5

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bands:
    """One curve by the clock: low, middle and high, shape (3, t)."""

    low: Floats
    middle: Floats
    high: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Fraction:
    """What runs into the cup in FRACTION_S of the clock: from when, and how strong it is."""

    from_s: float
    strength: Band


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What is expected of one brew: nine of ten such brews lie within each band.

    `bands` has time_s, beverage_g, strength, extraction, peak_level_m, free_height_m, hottest_c,
    ended_c and spread; the first three are of what will be read, hands and scales included.
    `fractions` are of those half minutes in which something runs.
    """

    bands: Mapping[str, Band]
    clock_s: Floats  # (t,)
    level_m: Bands
    weight_g: Bands  # the drink
    poured_g: Floats  # (t,)
    slurry_c: Bands
    rim_m: float
    overflows_share: float  # of the samples
    brews: int
    notes: tuple[Message, ...] = ()
    fractions: tuple[Fraction, ...] = ()


def expect(
    recipe: Recipe,
    kit: KitView,
    learned: Learned,
    *,
    coffee_id: UUID | None = None,
    samples: int = SAMPLES,
) -> Expected:
    """Return what is expected of a recipe on a kit.

    Args:
        recipe: what is to be brewed.
        kit: with what.
        learned: what its brews have taught, by `learned.learn`.
        coffee_id: which coffee; one not met on this kit is drawn afresh.
        samples: how many kits are drawn from what is believed.
    """
    rng = np.random.default_rng(SEED)
    drawn = learned.rows[:: max(len(learned.rows) // samples, 1)][:samples]
    samples = len(drawn)
    place = learned.place_of(coffee_id) if coffee_id is not None else None
    fresh = rng.standard_normal((samples, len(OF_A_COFFEE)))
    kits = learned.belief.kits(drawn, fresh, place)
    rows = recipe_row(recipe, gear_of(kit, learned.kettle_per_s)).take(
        np.zeros(samples, dtype=np.intp)
    )
    # Chance of its own, so that what else is drawn stays the same.
    kettles = np.random.default_rng(SEED + 1).standard_normal(samples)
    rows = replace(rows, kettle_per_s=rows.kettle_per_s * np.exp(learned.kettle_sd * kettles))
    outcome, curves = follow(kits, rows)
    rim_m = inside_of(kit.dripper).height_m
    drained_s = getattr(outcome, drained_of(kit.kitchen.drained_rule).value)
    return Expected(
        bands=_bands(outcome, drained_s, rim_m, rng),
        clock_s=curves.time_s,
        level_m=_curve(curves.level_m),
        weight_g=_curve(curves.cup_g),
        poured_g=curves.poured_g[:, 0],
        slurry_c=_curve(curves.slurry_c),
        rim_m=rim_m,
        overflows_share=float(np.mean(outcome.peak_level_m > rim_m)),
        brews=learned.brews,
        fractions=_fractions(outcome.fraction_strength),
    )


def keep_forecast(
    store: Store, brew_id: UUID, expected: Expected, *, clock: Callable[[], datetime]
) -> Done[Forecast]:
    """Keep what was expected of a brew, so that it can be held against what happened."""
    now = clock()
    forecast = forecast_of(brew_id, expected, now)
    with store.writing(now) as w:
        w.add(forecast)
    return Done(forecast, Touched.BREWS)


def forecast_of(brew_id: UUID, expected: Expected, now: datetime) -> Forecast:
    """Return what was expected of a brew as a fact to keep with it."""
    return Forecast(
        id=uuid4(),
        brew_id=brew_id,
        made_at=now,
        engine=ENGINE,
        brews_behind=expected.brews,
        bands=dict(expected.bands),
    )


def _bands(
    outcome: Outcome, drained_s: Floats, rim_m: float, rng: np.random.Generator
) -> dict[str, Band]:
    count = len(drained_s)
    scatter = rng.standard_normal((3, count))
    read = {
        "time_s": drained_s * np.exp(TIME_SCATTER * scatter[0])
        + READ_S * rng.standard_normal(count),
        "beverage_g": np.maximum(outcome.beverage_g + BEVERAGE_SCATTER_G * scatter[1], 0.0),
        "strength": np.maximum(
            outcome.strength + np.hypot(STRENGTH_SCATTER, READ_STRENGTH) * scatter[2], 0.0
        ),
        "extraction": outcome.extraction,
        "spread": outcome.spread,
        "peak_level_m": outcome.peak_level_m,
        "free_height_m": rim_m - outcome.peak_level_m,
        "hottest_c": outcome.hottest_c,
        "ended_c": outcome.ended_c,
    }
    return {name: _band(values) for name, values in read.items()}


def _fractions(strength: Floats) -> tuple[Fraction, ...]:
    """Return the bands of each half minute; `strength` is (samples, f), nan where nothing ran."""
    ran = np.isfinite(strength)
    told = np.nonzero(ran.mean(axis=0) >= RUNS_IN_SHARE)[0].tolist()
    return tuple(
        Fraction(from_s=FRACTION_S * place, strength=_band(strength[ran[:, place], place]))
        for place in told
    )


def _band(values: Floats) -> Band:
    low, middle, high = np.quantile(values, SHARES).tolist()
    return low, middle, high


def _curve(values: Floats) -> Bands:
    low, middle, high = np.quantile(values, SHARES, axis=1)
    return Bands(low=low, middle=middle, high=high)
