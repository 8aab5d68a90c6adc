"""What a kit's brews taught of each of its constants, against what was believed before them."""

from dataclasses import dataclass
from math import exp, floor, log10, sqrt

import numpy as np

from halfclick.model.forecast import Band
from halfclick.physics.brew.arrays import Floats
from halfclick.physics.brew.calibrate import UNTOLD, Belief
from halfclick.physics.brew.paper_water import TIMED
from halfclick.physics.brew.priors import NAMES, PRIORS, Prior
from halfclick.service.learned import BURR_TRAVEL, MEASURED_OUTLETS, SMOOTH_WALL, WEIGHED, Learned
from halfclick.service.measured_kit import SIEVED
from halfclick.wording import Message

# The constants by what they are about, in the order a brew meets them, each with the unit it is
# told in and what it is multiplied by for that.
GROUPS: dict[str, dict[str, tuple[str, float]]] = {
    "grind": {"size_um": ("um", 1.0), "per_step_um": ("um", 1.0)},
    "flow": {
        "permeability_m2": ("um2", 1e12),
        "paper_per_m": ("per_um", 1e-6),
        "outlet_share": ("share", 100.0),
        "early_resistance": ("share", 100.0),
        "early_s": ("s", 1.0),
        "clogging": ("share", 100.0),
        "bypass_share": ("share", 100.0),
    },
    "kept": {
        "grain_g_g": ("g_g", 1.0),
        "between_g_g": ("g_g", 1.0),
        "pore_g_g": ("g_g", 1.0),
        "bed_ml_g": ("ml_g", 1.0),
        "wetting_g_g": ("g_g", 1.0),
        "wetting_s": ("s", 1.0),
        "wetted_easier": ("share", 100.0),
    },
    "dissolved": {
        "soluble_share": ("share", 100.0),
        "soluble_fall": ("share", 100.0),
        "diffusivity_m2_s": ("um2_s", 1e12),
        "surface_s": ("s", 1.0),
        "activation_j_mol": ("kj_mol", 1e-3),
        "partition_per_k": ("share_k", 100.0),
        "mixing_s": ("s", 1.0),
        "mixed_faster": ("times", 1.0),
    },
    "even": {
        "unevenness": ("share", 100.0),
        "uneven_by_rate": ("times", 1.0),
        "uneven_by_dry": ("times", 1.0),
        "uneven_by_surfaces": ("times", 1.0),
    },
    "heat": {
        "grounds_j_g_k": ("j_g_k", 1.0),
        "dripper_j_k": ("j_k", 1.0),
        "dripper_w_k": ("w_k", 1.0),
        "dripper_loss_w_k": ("w_k", 1.0),
        "slurry_loss_w_k": ("w_k", 1.0),
        "pour_loss_k": ("k", 1.0),
    },
}
# What nobody has measured, or what is contested, as the notes of `priors` have it.
UNKNOWN_TO_ALL = frozenset(
    {"paper_per_m", "early_resistance", "clogging", "uneven_by_rate"}
    | {"mixed_faster", "wetted_easier"}
)
OWN_GROUNDS = {
    WEIGHED: "weighed",
    BURR_TRAVEL: "burr_travel",
    SIEVED: "sieved",
    TIMED: "timed_paper",
    SMOOTH_WALL: "smooth_wall",
    MEASURED_OUTLETS: "outlets",
}
# Of a band's width: below the first it was learned, above the second nothing was told of it.
LEARNED_BELOW, UNTOLD_ABOVE = 0.65, 0.92
# Two constants are told only together where they go along so far and each stays so wide.
TOGETHER = 0.35
STAYED_WIDE = 0.4
NINE_OF_TEN_SDS = 1.645


@dataclass(frozen=True, slots=True, kw_only=True)
class Constant:
    """One constant: nine of ten believe it within each band, in the unit of `unit`.

    `state` is learned, little or untold; `source` is the code of where the first belief is from.
    """

    name: str
    group: str
    unit: str
    before: Band
    now: Band
    state: str
    source: str
    unknown_to_all: bool

    def told(self, band: Band) -> Message:
        """Return a band in words."""
        return Message(
            f"taught.band_{self.unit}", {"low": significant(band[0]), "high": significant(band[2])}
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """Two constants that the brews tell together and not each."""

    one: str
    other: str
    correlation: float

    @property
    def opposed(self) -> bool:
        """Whether one goes down as the other goes up."""
        return self.correlation < 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Taught:
    """Every constant of a kit, the two that are told only together, and how many brews taught."""

    constants: tuple[Constant, ...]
    together: Together | None
    brews: int

    def of(self, name: str) -> Constant:
        """Return a constant by name."""
        return next(one for one in self.constants if one.name == name)


def taught_of(learned: Learned) -> Taught:
    """Return what a kit's brews have taught of its constants."""
    constants = tuple(
        _constant(learned, group, name, *told)
        for group, names in GROUPS.items()
        for name, told in names.items()
    )
    return Taught(
        constants=constants, together=confounded(learned.belief), brews=learned.belief.brews
    )


def confounded(belief: Belief) -> Together | None:
    """Return the two constants most told together of those that stayed wide; None for no such."""
    if not belief.brews:
        return None
    spread = spreads(belief)
    wide = [
        place
        for place, name in enumerate(NAMES)
        if name not in UNTOLD and spread[place] > STAYED_WIDE
    ]
    if len(wide) < 2:
        return None
    within = belief.covariance[np.ix_(wide, wide)]
    together = within / np.outer(spread[wide], spread[wide])
    np.fill_diagonal(together, 0.0)
    one, other = divmod(int(np.argmax(np.abs(together))), len(wide))
    if abs(together[one, other]) < TOGETHER:
        return None
    return Together(
        one=NAMES[wide[one]], other=NAMES[wide[other]], correlation=float(together[one, other])
    )


def spreads(belief: Belief) -> Floats:
    """Return the standard deviation of each constant over that of its prior, (constants,)."""
    return np.sqrt(np.diag(belief.covariance)[: len(NAMES)])


def band_of(prior: Prior, mean: float = 0.0, spread: float = 1.0, scale: float = 1.0) -> Band:
    """Return the 5th, 50th and 95th percentile of a constant, times `scale`."""
    low, middle, high = (
        scale * prior.median * exp(prior.spread * (mean + side * NINE_OF_TEN_SDS * spread))
        for side in (-1.0, 0.0, 1.0)
    )
    return low, middle, high


def significant(value: float) -> str:
    """Return a number with two significant digits, as a person reads it."""
    if value == 0:
        return "0"
    decimals = max(1 - floor(log10(abs(value))), 0)
    return f"{value:.{decimals}f}"


def _constant(learned: Learned, group: str, name: str, unit: str, scale: float) -> Constant:
    belief, place = learned.belief, NAMES.index(name)
    prior = belief.priors[name]
    spread = sqrt(belief.covariance[place, place])
    return Constant(
        name=name,
        group=group,
        unit=unit,
        before=band_of(prior, scale=scale),
        now=band_of(prior, float(belief.mean[place]), spread, scale),
        state=_state(spread, float(belief.mean[place])),
        source=f"taught.source_{_ground(name, prior)}",
        unknown_to_all=name in UNKNOWN_TO_ALL,
    )


def _state(spread: float, mean: float) -> str:
    if spread < LEARNED_BELOW:
        return "learned"
    return "untold" if spread > UNTOLD_ABOVE and abs(mean) < 0.5 else "little"


def _ground(name: str, prior: Prior) -> str:
    return name if prior == PRIORS[name] else OWN_GROUNDS.get(prior.source, name)
