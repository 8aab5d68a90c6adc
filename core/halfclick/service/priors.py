"""Typical starts by roast and dripper, where a person's own cups say nothing yet."""

from dataclasses import dataclass, replace

from halfclick.model.coffee import Coffee, Process, Roast
from halfclick.model.kit import DripperShape

# Burr travel from the zero to a medium grind, um, of a grinder that nobody brewed with: half a
# millimetre or so (our own default, no source).
MEDIUM_TRAVEL_UM = 500.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior:
    """A typical start with the band people use; never shown as right."""

    dose_g: float
    water_g: float
    temperature_c: float
    low_c: float
    high_c: float
    pours: int
    steep_s: float | None = None
    gentler: bool = False


# Temperatures by roast: bands that practitioners teach (common practice, no source; two schools
# for light roasts). Batali, Ristenpart & Guinard (2020), Sci. Rep. 10:16450: at equal strength
# and extraction, 87 to 93 C taste the same, so these move extraction and are no flavour knob.
_TEMPERATURES = {
    Roast.LIGHT: (95.0, 89.0, 98.0),
    Roast.MEDIUM: (93.0, 90.0, 94.0),
    Roast.DARK: (88.0, 84.0, 93.0),
}

# Dose, water and pours by dripper shape: common practice, no source.
_SIZES = {
    DripperShape.STEEP_CONE: (15.0, 240.0, 2),
    DripperShape.FLAT_BOTTOM: (20.0, 320.0, 3),
    DripperShape.WEDGE: (18.0, 288.0, 2),
    DripperShape.THICK_PAPER_CONE: (30.0, 500.0, 3),
    DripperShape.IMMERSION: (16.0, 256.0, 1),
}

# Experimental lots and decaf: cooler and gentler (common practice, no source).
GENTLER_K = 2.0

# A valve dripper is opened after two to four minutes (Rao 2010, ch. 9, excerpt: about 19-20 %
# extraction by then).
STEEP_S = 180.0


def prior_of(coffee: Coffee, shape: DripperShape) -> Prior:
    """Return the typical start for a coffee in a dripper."""
    temperature_c, low_c, high_c = _TEMPERATURES[coffee.roast or Roast.MEDIUM]
    dose_g, water_g, pours = _SIZES[shape]
    prior = Prior(
        dose_g=dose_g,
        water_g=water_g,
        temperature_c=temperature_c,
        low_c=low_c,
        high_c=high_c,
        pours=pours,
        steep_s=STEEP_S if shape is DripperShape.IMMERSION else None,
    )
    if coffee.process is Process.ANAEROBIC or coffee.decaf:
        return replace(prior, temperature_c=temperature_c - GENTLER_K, gentler=True)
    return prior
