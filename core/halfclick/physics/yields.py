"""Extraction and strength by balances of mass, what errs most, and readings that cannot be.

Strength is dissolved mass over beverage mass; extraction is dissolved mass over the dose as
weighed, moisture included, unless it says dry. Both are fractions.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from halfclick.model.cup import RETAINED_G_PER_G
from halfclick.model.cup import beverage_g as drink_left_g
from halfclick.wording import Message

# How far what the grounds keep is known: between the trade's 2.0 g per g and the 2.48 +/- 0.19 of
# immersion (Liang, Chan & Ristenpart 2021, equation 24, from a public digitisation).
RETAINED_SD_G_G = 0.25
# Nothing yields more: 31.7 % of the finest grounds in much water (Roman-Corrochano 2017, section
# 4.4.1), 28 to 32 % (Moroney et al. 2015), both from a public digitisation.
SOLUBLE_SHARE = 0.32
# A sample is read near the temperature that the instrument was zeroed at (our own default; the
# class of hand instruments is 0.02 to 0.03 % points, from memory).
SAMPLE_WARM_C = 30.0
# Scales and rounding: so much more than the water may be found (own default).
SCALES_SHARE = 0.01


class Term(StrEnum):
    """What an extraction is reckoned from."""

    STRENGTH = "strength"
    BEVERAGE = "beverage"
    DOSE = "dose"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The standard deviation of an extraction, and what most of it comes from."""

    sd: float
    largest: Term


def percolation_yield(strength: float, beverage_g: float, dose_g: float) -> float:
    """Return the extraction of a brew whose beverage was weighed, as a fraction.

    Raises:
        ValueError: there is no dose.
    """
    _need_dose(dose_g)
    return strength * beverage_g / dose_g


def poured_yield(
    strength: float, water_g: float, dose_g: float, retained_g_g: float = RETAINED_G_PER_G
) -> float:
    """Return the extraction of a percolation whose water was weighed and beverage was not.

    Takes what the grounds keep to hold no solids, which is disputed and reads low.

    Raises:
        ValueError: there is no dose, or the strength is not 0 to below 1.
    """
    _need_dose(dose_g)
    return _per_water(strength) * (water_g / dose_g - retained_g_g)


def immersion_yield(strength: float, water_g: float, dose_g: float) -> float:
    """Return the extraction of an immersion: what the grounds keep is as strong as the beverage.

    Source: Liang, Chan & Ristenpart 2021, equation 17.

    Raises:
        ValueError: there is no dose, or the strength is not 0 to below 1.
    """
    _need_dose(dose_g)
    return _per_water(strength) * water_g / dose_g


def equilibrium_strength(soluble_share: float, ratio: float) -> float:
    """Return the strength to which a long steep comes, whatever the grind.

    Args:
        soluble_share: of the dose, a fraction; 0.19 to 0.24 in the source.
        ratio: water over dose, g/g; from 3 on.

    Raises:
        ValueError: the ratio is not positive.

    Source: Liang, Chan & Ristenpart 2021, equation 11.
    """
    if ratio <= 0:
        raise ValueError(f"ratio must be positive, got {ratio}")
    return soluble_share / (ratio + soluble_share)


def mixed_yield(
    strength: float, last_strength: float, beverage_g: float, water_g: float, dose_g: float
) -> float:
    """Return the extraction where what the grounds keep is as strong as the last drops.

    Between percolation (last drops of water) and immersion (as strong as the beverage); derived
    here from the balances of water and solids.

    Raises:
        ValueError: there is no dose, or a strength is not 0 to below 1.
    """
    _need_dose(dose_g)
    of_cup = (strength - last_strength) / (1.0 - last_strength) * beverage_g / dose_g
    return of_cup + _per_water(last_strength) * water_g / dose_g


def strength_of(extraction: float, beverage_g: float, dose_g: float) -> float:
    """Return the strength that an extraction gives a weighed beverage, as a fraction.

    Raises:
        ValueError: there is no beverage.
    """
    if beverage_g <= 0:
        raise ValueError(f"beverage_g must be positive, got {beverage_g}")
    return extraction * dose_g / beverage_g


def dry_yield(extraction: float, moisture: float) -> float:
    """Return the extraction of the dry mass; `moisture` is the water's share of the dose.

    Raises:
        ValueError: the moisture is not 0 to below 1.
    """
    if not 0 <= moisture < 1:
        raise ValueError(f"moisture must be 0 to below 1, got {moisture}")
    return extraction / (1.0 - moisture)


def spread_of(reading: tuple[float, float, float], sds: tuple[float, float, float]) -> Spread:
    """Return how sure a percolation's extraction is, errors being independent and small.

    Args:
        reading: strength, beverage in g and dose in g, each positive.
        sds: their standard deviations, in the same order and units.

    Raises:
        ValueError: a reading is not positive.
    """
    if min(reading) <= 0:
        raise ValueError(f"readings must be positive, got {reading}")
    shares = [sd / value for value, sd in zip(reading, sds, strict=True)]
    extraction = percolation_yield(*reading)
    largest = max(range(3), key=shares.__getitem__)
    return Spread(sd=extraction * math.hypot(*shares), largest=tuple(Term)[largest])


def sample_cautions(sample_c: float | None) -> tuple[Message, ...]:
    """Return what to mind about a refractometer's sample by how warm it was, where that is told.

    What nobody writes down, its zero and the water that leaves it, is a caution of its own.
    """
    if sample_c is None or sample_c <= SAMPLE_WARM_C:
        return ()
    return (Message("yields.sample_warm", {"sample_c": sample_c, "most_c": SAMPLE_WARM_C}),)


def impossible(
    dose_g: float, water_g: float, beverage_g: float | None, strength: float | None
) -> tuple[Message, ...]:
    """Return what of a record cannot be; nothing where all of it can.

    Args:
        dose_g: dry grounds, g; positive.
        water_g: all water, g; positive.
        beverage_g: the drink, g, where weighed.
        strength: as a fraction, where read.
    """
    found: list[Message] = []
    if beverage_g is not None:
        found += _impossible_beverage(water_g, beverage_g, dose_g)
    if strength is None:
        return tuple(found)
    if beverage_g is not None and beverage_g > 0:
        extraction = percolation_yield(strength, beverage_g, dose_g)
        if extraction > SOLUBLE_SHARE:
            values = {"extraction_share": extraction, "most_share": SOLUBLE_SHARE}
            found.append(Message("yields.too_much_extracted", values))
        return tuple(found)
    # Every soluble gram in what is surely in the cup's or the bed's water.
    most = equilibrium_strength(SOLUBLE_SHARE, water_g / dose_g)
    if strength > _strongest(dose_g, water_g, most):
        values = {"given_strength": strength, "most_strength": _strongest(dose_g, water_g, most)}
        found.append(Message("yields.too_strong", values))
    return tuple(found)


def _strongest(dose_g: float, water_g: float, immersed: float) -> float:
    """Return the strongest cup that a dose can give: all solubles, what is kept being water."""
    left_g = drink_left_g(water_g, dose_g, RETAINED_G_PER_G + 2 * RETAINED_SD_G_G)
    if left_g <= 0:
        return 1.0
    solubles_g = SOLUBLE_SHARE * dose_g
    return max(solubles_g / (solubles_g + left_g), immersed)


def _impossible_beverage(water_g: float, drink_g: float, dose_g: float) -> list[Message]:
    # Dissolved solids add their own mass to the drink.
    whole_g = water_g * (1.0 + SCALES_SHARE) + SOLUBLE_SHARE * dose_g
    if drink_g > whole_g:
        return [Message("yields.more_than_poured", {"beverage_g": drink_g, "water_g": water_g})]
    if drink_g > water_g:
        return [Message("yields.nothing_kept", {"beverage_g": drink_g, "water_g": water_g})]
    return []


def _per_water(strength: float) -> float:
    if not 0 <= strength < 1:
        raise ValueError(f"strength must be 0 to below 1, got {strength}")
    return strength / (1.0 - strength)


def _need_dose(dose_g: float) -> None:
    if dose_g <= 0:
        raise ValueError(f"dose_g must be positive, got {dose_g}")
