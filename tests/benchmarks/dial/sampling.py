"""Hidden kits, coffees and people drawn at random; the ranges are wide on purpose.

Where a comment names no source the range is our own guess at what kitchens are like.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from dial.bed import Bed
from dial.column import Column
from dial.grind import Grinder
from dial.liking import Heart, Shape, Zone
from dial.tasting import Palate, TasteFamily

Rng = np.random.Generator

DRIPPERS = ("steep cone", "flat bottom", "wedge", "thick-paper cone", "narrow outlet cone")


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """What stays when the coffee changes: grinder, dripper, kettle and hand."""

    grinder: Grinder
    marched: bool
    dripper: str
    dose_g: float
    boiling_c: float
    draws: dict[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Coffee:
    """One bag: what can dissolve, how it drains and gasses."""

    roast: str
    days: int
    soluble: float
    draws: dict[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """What stays of a person when the coffee changes."""

    family: TasteFamily
    shape: Shape
    strength_pct: float
    ripe_shift: float
    draws: dict[str, Any]


def a_grinder(rng: Rng, *, coarse: bool = False) -> Grinder:
    """Draw a grinder; coarse steps are about 80 to 140 um."""
    if coarse:
        step, high = 1.0, float(rng.integers(9, 15))
    else:
        step = float(rng.choice([0.5, 1.0, 1.0, 1.0]))
        high = float(rng.choice([30, 40, 40, 50])) * (0.75 if step < 1 else 1.0)
    low = float(rng.choice([0.0, 0.0, 1.0]))
    finest = rng.uniform(200, 330)
    coarsest = rng.uniform(1050, 1400)
    flattening = rng.uniform(0.0, 0.5)
    return Grinder(
        low=low,
        high=high,
        step=step,
        finer_is_lower=bool(rng.random() < 0.8),
        finest_um=finest,
        um_a_unit=(coarsest - finest) / ((high - low) * (1 - 0.5 * flattening)),
        flattening=flattening,
        fines=rng.uniform(0.14, 0.28),
        fines_power=rng.uniform(0.5, 1.0),
    )


def a_kit(rng: Rng, *, coarse: bool = False, fussy: bool = False) -> Kit:
    """Draw a kit; a fussy one is uneven unless it is poured well."""
    draws = {
        "held": rng.normal(2.1, 0.18),
        "flow": _about(rng, 4.2, 0.22),
        "flow_power": rng.uniform(1.6, 2.3),
        "clogs": rng.uniform(0.04, 0.18),
        "clog_pour": rng.uniform(0.05, 0.25),
        "swirl_clogs": rng.uniform(0.0, 0.5),
        "pulses": float(rng.integers(1, 5)),
        "gap_s": rng.uniform(6, 18),
        "loss_c": rng.uniform(1.0, 4.5),
        "digs": rng.uniform(5.0, 7.0) if fussy else rng.uniform(6.0, 11.0),
        "idle": rng.uniform(1.4, 2.4) if fussy else rng.uniform(0.6, 1.6),
        "channels_um": rng.uniform(380, 500),
        "swirl_evens": rng.uniform(0.1, 0.6),
        "swirl_harms": rng.uniform(0.0, 0.3),
        "best_g_s": rng.choice([3.2, 7.5]) if fussy else rng.uniform(3.8, 6.8),
        "pour_width": rng.uniform(0.36, 0.5) if fussy else rng.uniform(0.5, 0.9),
        "pace_s": _about(rng, 16.0, 0.2),
        "pace_power": rng.uniform(1.5, 2.4),
        "choke_um": rng.uniform(340, 470),
        "mud": rng.uniform(0.15, 0.5),
        "pause_s": rng.uniform(10, 55),
        "spread": rng.uniform(0.04, 0.2),
    }
    return Kit(
        grinder=a_grinder(rng, coarse=coarse),
        marched=bool(rng.random() < 0.5),
        dripper=str(rng.choice(DRIPPERS)),
        dose_g=float(rng.choice([15, 18, 20, 20, 22, 25])),
        boiling_c=float(rng.choice([100.0, 100.0, 99.0, 97.0, 94.5])),
        draws=draws,
    )


def a_coffee(rng: Rng, *, fussy: bool = False) -> Coffee:
    """Draw a coffee; what dissolves is 28 to 32 % (Moroney 2015), darker roasts a little more."""
    roast = str(rng.choice(["light", "medium", "dark"], p=[0.4, 0.4, 0.2]))
    darker = {"light": -0.006, "medium": 0.0, "dark": 0.008}[roast]
    days = int(rng.integers(3, 45))
    return Coffee(
        roast=roast,
        days=days,
        soluble=rng.normal(0.287, 0.012) + darker,
        draws={
            "pace": _about(rng, 1.0, 0.16),
            "slow": _about(rng, 1.0, 0.18) * {"light": 1.12, "medium": 1.0, "dark": 0.85}[roast],
            "gas": float(np.clip(rng.uniform(0.2, 0.8) * np.exp(-days / 25.0) * 1.6, 0.03, 0.9)),
            "gas_s": rng.uniform(14, 40),
            "needs_x": rng.uniform(2.4, 3.0) if fussy else rng.uniform(1.5, 2.7),
            "crust_s": rng.uniform(60, 110),
            "soak": rng.uniform(2.0, 2.7) if fussy else rng.uniform(1.1, 2.0),
            "quick": rng.uniform(0.30, 0.38),
            "last": rng.uniform(0.17, 0.26),
            "warmth": rng.uniform(0.012, 0.03),
            "acidity": {"light": 1.15, "medium": 1.0, "dark": 0.8}[roast] * _about(rng, 1, 0.1),
            "roasty": {"light": 0.85, "medium": 1.0, "dark": 1.25}[roast] * _about(rng, 1, 0.1),
            "ripe": rng.normal(0.0, 0.9),
        },
    )


def a_person(rng: Rng, strength_pct: float | None, shapes: tuple[Shape, ...]) -> Person:
    """Draw a person.

    Of 118 drinkers 57 % liked weaker and 43 % stronger cups (Cotter 2021, open data, 1.0 to
    1.5 %); both are set a little stronger, so that ratios of 13 to 18 surround them.
    """
    if strength_pct is None:
        weaker = rng.random() < 0.57
        strength_pct = rng.normal(1.27, 0.07) if weaker else rng.normal(1.48, 0.07)
    return Person(
        family=TasteFamily(
            str(rng.choice([one.value for one in TasteFamily], p=[0.25, 0.4, 0.35]))
        ),
        shape=Shape(str(rng.choice([one.value for one in shapes]))),
        strength_pct=float(strength_pct),
        ripe_shift=rng.normal(0.0, 0.5),
        draws={
            "sharpness": rng.uniform(0.75, 1.35),
            "gain": tuple(np.exp(rng.normal(0, 0.16, 5)).tolist()),
            "bias": tuple(rng.normal(0.0, 0.5, 5).tolist()),
            "mixes": float(rng.choice([0.0, 0.0, 0.1, 0.3])),
            "opposite": float(rng.choice([1.0, 1.0, -1.0])),
            "hides": rng.uniform(0.2, 0.8),
            "top": rng.uniform(7.0, 8.3),
            "wide_pct": rng.uniform(0.19, 0.33),
            "wide_points": rng.uniform(1.6, 2.9),
            "lean": rng.uniform(-0.35, 0.35),
            "steepness": rng.uniform(1.3, 2.2),
            "hates_uneven": rng.uniform(1.5, 4.0),
            "hates_harm": rng.uniform(0.6, 2.0),
            "patience": rng.uniform(2.2, 3.8),
            "sweet_tooth": rng.uniform(0.05, 0.25),
            "zone_gap": rng.uniform(0.34, 0.50),
        },
    )


def system_of(kit: Kit, coffee: Coffee) -> Bed | Column:
    """Return a coffee on a kit."""
    k, c = kit.draws, coffee.draws
    shares = (c["quick"], 1 - c["quick"] - c["last"], c["last"])
    if kit.marched:
        return Bed(
            grinder=kit.grinder,
            dose_g=kit.dose_g,
            soluble=coffee.soluble,
            shares=shares,
            quick_s=16.0,
            slow_s=150.0 * c["slow"],
            last_s=460.0 * c["slow"],
            slow_power=1.7,
            warmth=c["warmth"],
            held_g_g=k["held"],
            flow_g_s=k["flow"] / c["pace"],
            flow_power=k["flow_power"],
            clogs=k["clogs"],
            clog_pour=k["clog_pour"],
            clog_swirl=k["swirl_clogs"],
            pulses=int(k["pulses"]),
            gap_s=k["gap_s"],
            kettle_loss_c=k["loss_c"],
            boiling_c=kit.boiling_c,
            cooling=0.0006,
            needs_x=c["needs_x"],
            gas=c["gas"],
            gas_s=c["gas_s"],
            crust_s=c["crust_s"],
            digs_g_s=k["digs"],
            idle_g_s=k["idle"],
            channels_um=k["channels_um"],
            swirl_evens=k["swirl_evens"],
            swirl_harms=k["swirl_harms"],
        )
    return Column(
        grinder=kit.grinder,
        dose_g=kit.dose_g,
        soluble=coffee.soluble,
        shares=shares,
        pool_s=(22.0, 330.0 * c["slow"], 1100.0 * c["slow"]),
        stretch=0.7,
        size_power=1.3,
        activation_k=c["warmth"] * 131_000,
        partition=0.66,
        held_g_g=k["held"],
        pace_s=k["pace_s"] * c["pace"],
        pace_power=k["pace_power"],
        choke_um=k["choke_um"],
        mud=k["mud"],
        swirl_mud=k["swirl_clogs"],
        pause_s=k["pause_s"],
        kettle_loss_c=k["loss_c"],
        boiling_c=kit.boiling_c,
        bloom_cools=3.0,
        soak=c["soak"],
        gas=c["gas"],
        best_g_s=k["best_g_s"],
        pour_width=k["pour_width"],
        swirl_shift=0.8 * k["swirl_evens"],
        swirl_gain=k["swirl_evens"],
        least_spread=k["spread"],
    )


def ripe_pct(person: Person, coffee: Coffee) -> float:
    """Return the extraction this person takes for neither raw nor spent in this coffee."""
    return 19.6 * coffee.soluble / 0.287 + coffee.draws["ripe"] + person.ripe_shift


def palate_of(person: Person, coffee: Coffee) -> Palate:
    """Return how a person tastes a coffee."""
    d = person.draws
    return Palate(
        family=person.family,
        ripe_pct=ripe_pct(person, coffee),
        usual_pct=0.6 * person.strength_pct + 0.4 * 1.35,
        sharpness=d["sharpness"],
        acidity=coffee.draws["acidity"],
        roastiness=coffee.draws["roasty"],
        gain=d["gain"],
        bias=d["bias"],
        mixes=d["mixes"],
        opposite=d["opposite"],
        hides=d["hides"],
    )


def heart_of(person: Person, coffee: Coffee, *, wider: float = 1.0) -> Heart:
    """Return what a person likes in a coffee."""
    d = person.draws
    ripe = ripe_pct(person, coffee)
    zones = (Zone(strength_pct=person.strength_pct, extraction_pct=ripe, top=d["top"]),)
    if person.shape is Shape.TWO_ZONES:
        away = d["zone_gap"] if person.strength_pct < 1.38 else -d["zone_gap"]
        other = Zone(
            strength_pct=person.strength_pct + away,
            extraction_pct=ripe - 9.0 * away * abs(d["lean"]),
            top=d["top"] - 0.3 * d["sweet_tooth"],
        )
        zones = (*zones, other)
    return Heart(
        shape=person.shape,
        zones=zones,
        wide_pct=d["wide_pct"] * wider,
        wide_points=d["wide_points"] * wider,
        lean=d["lean"],
        steepness=d["steepness"],
        hates_uneven=d["hates_uneven"] / wider,
        hates_harm=d["hates_harm"],
        patience=d["patience"],
        sweet_tooth=d["sweet_tooth"],
    )


def _about(rng: Rng, middle: float, spread: float) -> float:
    return float(middle * np.exp(spread * rng.normal()))
