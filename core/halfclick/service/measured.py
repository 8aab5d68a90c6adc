"""What a measured strength says of a cup: its extraction, how sure it is, and what cannot be."""

from dataclasses import dataclass

from halfclick.model.brew import Brew
from halfclick.model.cup import RETAINED_G_PER_G
from halfclick.model.recipe import Recipe
from halfclick.physics.yields import (
    Term,
    dry_yield,
    immersion_yield,
    impossible,
    mixed_yield,
    percolation_yield,
    poured_yield,
    sample_cautions,
    spread_of,
)
from halfclick.wording import Message

# How well the three are known where nobody said: the class of hand refractometers (from memory),
# and a kitchen scale under a full server and under a dose (our own defaults).
STRENGTH_SD = 0.0003
BEVERAGE_SD_G = 1.0
DOSE_SD_G = 0.1
# Poured through after a steep, the last drops are anything from water to as strong as the cup.
LAST_DROPS = (0.0, 0.5, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """An extraction, as a fraction, of the dry dose or of the dose as it was weighed.

    `sd` and `largest` are None where the drink was not weighed. `ends` are its least and its most
    where it depends on how strong the last drops were, which nobody tasted.
    """

    extraction: float
    is_dry: bool
    sd: float | None = None
    largest: Term | None = None
    ends: tuple[float, float] | None = None

    @property
    def message(self) -> Message:
        """What to say of it."""
        basis = "dry" if self.is_dry else "as_is"
        if self.ends is not None:
            low, high = self.ends
            values = {
                "extraction_strength": self.extraction,
                "low_strength": low,
                "high_strength": high,
            }
            return Message(f"measured.mixed_{basis}", values)
        if self.sd is None or self.largest is None:
            return Message(f"measured.rough_{basis}", {"extraction_strength": self.extraction})
        values = {"extraction_strength": self.extraction, "sd_strength": self.sd}
        return Message(f"measured.{basis}_{self.largest.value}", values)


def measured(
    brew: Brew,
    *,
    strength: float | None,
    beverage_g: float | None,
    strength_sd: float | None = None,
    dose_moisture: float | None = None,
) -> Measured | None:
    """Return the extraction that a strength gives; None without a strength or any water.

    A reading below nothing gives nothing: whoever keeps it says so.

    Args:
        brew: what was poured.
        strength: of the drink, a fraction.
        beverage_g: the drink as it was weighed at the tasting; the brew's own weight where not.
        strength_sd: of the reading, a fraction.
        dose_moisture: the water's share of the dose, where it is known.
    """
    poured = brew.poured
    if not strength or strength < 0 or (beverage_g or 0.0) < 0:
        return None
    dose_g = poured.dose_g.value or brew.plan.dose_g
    bypass_g = poured.bypass_g.value or 0.0
    through_g = poured.beverage_g.value
    # The strength is that of the cup, with the water that was added to it.
    drink_g = beverage_g or (through_g + bypass_g if through_g is not None else None)
    is_dry = dose_moisture is not None
    dry = dry_yield(1.0, dose_moisture or 0.0)
    water_g = poured.water_g.value
    if brew.plan.steep_s and water_g is not None:
        last = LAST_DROPS if _poured_through(brew.plan) else (1.0,)
        yields = [_steeped(strength, drink_g, water_g, bypass_g, dose_g, share) for share in last]
        told = [one * dry for one in yields if one is not None]
        if not told:
            return None
        middle, ends = told[len(told) // 2], (told[0], told[-1]) if len(told) > 1 else None
        return Measured(extraction=middle, is_dry=is_dry, ends=ends)
    if drink_g:
        sds = (strength_sd or STRENGTH_SD, poured.beverage_g.sd or BEVERAGE_SD_G, DOSE_SD_G)
        spread = spread_of((strength, drink_g, dose_g), sds)
        extraction = percolation_yield(strength, drink_g, dose_g)
        return Measured(
            extraction=extraction * dry, is_dry=is_dry, sd=spread.sd * dry, largest=spread.largest
        )
    if water_g is None:
        return None
    extraction = poured_yield(strength, water_g + bypass_g, dose_g)
    return Measured(extraction=extraction * dry, is_dry=is_dry)


def _poured_through(plan: Recipe) -> bool:
    """Return whether water is poured through a bed after it was steeped and let go."""
    return any(pour.start_s >= (plan.steep_s or 0.0) for pour in plan.pours[1:])


def _steeped(
    strength: float,
    drink_g: float | None,
    water_g: float,
    bypass_g: float,
    dose_g: float,
    last_share: float,
) -> float | None:
    """Return the extraction of a steep; None where nothing was drawn.

    What the grounds keep is as strong as the last drops, before water was added to the cup: that
    share as strong as all that left them, which is 1 where nothing was poured after the steep.
    """
    drawn_g = (drink_g or water_g + bypass_g - RETAINED_G_PER_G * dose_g) - bypass_g
    if drawn_g <= 0:
        return None
    drawn_strength = strength * (drawn_g + bypass_g) / drawn_g
    if last_share == 1.0:  # then it does not matter how much was drawn
        return immersion_yield(drawn_strength, water_g, dose_g)
    return mixed_yield(drawn_strength, last_share * drawn_strength, drawn_g, water_g, dose_g)


def doubts(
    brew: Brew, *, strength: float | None, beverage_g: float | None, sample_c: float | None = None
) -> tuple[Message, ...]:
    """Return what to mind about a measurement, and what of a record cannot be."""
    dose_g = brew.poured.dose_g.value or brew.plan.dose_g
    water_g = brew.poured.water_g.value or brew.plan.water_g
    bypass_g = brew.poured.bypass_g.value or 0.0
    through_g = brew.poured.beverage_g.value
    drink_g = beverage_g or (through_g + bypass_g if through_g is not None else None)
    return sample_cautions(sample_c) + impossible(dose_g, water_g + bypass_g, drink_g, strength)
