"""The arithmetic of a cup that every room needs: water in, beverage out, the usual strength."""

# g liquid kept per g dry grounds. Trade texts say 2.0 to 2.5; 2.1 is our own default until it is
# learned from weighed beverages.
RETAINED_G_PER_G = 2.1

# Share of the dose that an ordinary brew dissolves; stands in where strength was not measured.
USUAL_EXTRACTION = 0.20

# A difference in strength that people notice. Frost, Ristenpart & Guinard (2019), J. Food Sci.,
# abstract: 0.24 % TDS.
NOTICED_STRENGTH = 0.0024


def beverage_g(water_g: float, dose_g: float, retained: float = RETAINED_G_PER_G) -> float:
    """Return the drink that water through a dose gives, g (mass balance; never below zero)."""
    return max(water_g - retained * dose_g, 0.0)


def water_for_beverage_g(
    beverage: float, ratio: float, retained: float = RETAINED_G_PER_G
) -> tuple[float, float]:
    """Return the dose and the water, g, that give a drink at a ratio.

    Raises:
        ValueError: all the water would stay in the grounds.
    """
    if ratio <= retained:
        raise ValueError(f"ratio must exceed {retained}, got {ratio}")
    dose_g = beverage / (ratio - retained)
    return dose_g, dose_g * ratio


def strength_from_yield(extraction: float, beverage: float, dose_g: float) -> float:
    """Return the strength that an extraction gives, a fraction.

    Raises:
        ValueError: there is no beverage.
    """
    if beverage <= 0:
        raise ValueError(f"beverage must be positive, got {beverage}")
    return extraction * dose_g / beverage


def usual_strength(dose_g: float, water_g: float) -> float | None:
    """Estimate strength at the usual extraction, a fraction; None where no drink comes out."""
    beverage = beverage_g(water_g, dose_g)
    return strength_from_yield(USUAL_EXTRACTION, beverage, dose_g) if beverage > 0 else None
