"""What a salt brings into a water, and the stock solution it is dosed from."""

from halfclick.errors import BadInput
from halfclick.model.concentrate import Salt
from halfclick.physics.minerals.figures import as_calcium_carbonate
from halfclick.physics.minerals.molar import SALT_IONS, Ion, ion_mass_g, salt_mass_g

HARDNESS_SALTS = (
    Salt.MAGNESIUM_SULFATE_7H2O,
    Salt.MAGNESIUM_CHLORIDE_6H2O,
    Salt.CALCIUM_CHLORIDE_2H2O,
    Salt.CALCIUM_CHLORIDE,
)
ALKALINITY_SALTS = (Salt.SODIUM_BICARBONATE, Salt.POTASSIUM_BICARBONATE)
MG_PER_G = 1000.0


def ions_of(salt: Salt, salt_mg: float) -> dict[Ion, float]:
    """Return the ions that so many mg of a salt, as weighed, bring, in mg each."""
    moles = salt_mg / salt_mass_g(salt)
    return {ion: moles * count * ion_mass_g(ion) for ion, count in SALT_IONS[salt].items()}


def carbonate_per_salt(salt: Salt) -> float:
    """Return the mg as CaCO3 that a mg of a salt brings: its hardness, or its alkalinity."""
    counted = {Ion.CALCIUM, Ion.MAGNESIUM, Ion.BICARBONATE}
    brought = ions_of(salt, 1.0)
    return sum(as_calcium_carbonate(ion, mg) for ion, mg in brought.items() if ion in counted)


def stock_g_per_l(salt: Salt, carbonate_mg_l: float) -> float:
    """Return the salt in a litre of stock, g, for a strength in mg/L as CaCO3.

    At 1000 mg/L, a millilitre in a litre of water is a milligram a litre.
    """
    return carbonate_mg_l / carbonate_per_salt(salt) / MG_PER_G


def stock_strength_mg_l(salt: Salt, g_per_l: float) -> float:
    """Return what a stock holds, mg/L as CaCO3."""
    return g_per_l * MG_PER_G * carbonate_per_salt(salt)


def check_one_bottle(salts: tuple[Salt, ...]) -> None:
    """Check that salts may share a bottle of stock.

    Calcium and bicarbonate at stock strength come down as chalk, and the dose is then unknown;
    magnesium and bicarbonate may, more slowly (common practice, no source).

    Raises:
        BadInput: a hardness salt and a bicarbonate are in one bottle.
    """
    if set(salts) & set(HARDNESS_SALTS) and set(salts) & set(ALKALINITY_SALTS):
        raise BadInput("salts.not_in_one_bottle")


def weighing_share(mass_g: float, scale_step_g: float) -> float:
    """Return how far off a weighing may be: half a step of the scale, as a share of the mass.

    Raises:
        ValueError: mass or step is not positive.
    """
    if mass_g <= 0 or scale_step_g <= 0:
        raise ValueError(f"nothing to weigh: {mass_g} g by {scale_step_g} g")
    return scale_step_g / 2 / mass_g
