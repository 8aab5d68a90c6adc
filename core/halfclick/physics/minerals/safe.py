"""How much of a mineral may be added: beyond these, a dose is refused."""

from collections.abc import Mapping

from halfclick.errors import BadInput
from halfclick.model.concentrate import Salt
from halfclick.model.minerals import Minerals
from halfclick.physics.minerals.additions import Pair
from halfclick.physics.minerals.figures import mg_l_of
from halfclick.physics.minerals.molar import Ion
from halfclick.wording import Message

# Sodium, chloride and sulfate: indicator values of Directive (EU) 2020/2184, annex I part C (from
# memory). The others are our own defaults, above every published range for brew water and within
# what bottled waters hold.
MOST_MG_L: Mapping[Ion, float] = {
    Ion.SODIUM: 200.0,
    Ion.CHLORIDE: 250.0,
    Ion.SULFATE: 250.0,
    Ion.CALCIUM: 200.0,
    Ion.MAGNESIUM: 100.0,
    Ion.POTASSIUM: 100.0,
    Ion.BICARBONATE: 500.0,
}
# Targets: our own default, about twice the highest published range.
MOST_HARDNESS_MG_L = 350.0
MOST_ALKALINITY_MG_L = 150.0
# Stocks: sodium bicarbonate dissolves to 96 g/L at 20 °C, the others to more than 300 (from
# memory); what stays well below does so in a cold kitchen too (our own default).
MOST_STOCK_G_L: Mapping[Salt, float] = {
    Salt.SODIUM_BICARBONATE: 60.0,
    Salt.POTASSIUM_BICARBONATE: 150.0,
    Salt.MAGNESIUM_SULFATE_7H2O: 200.0,
    Salt.MAGNESIUM_CHLORIDE_6H2O: 200.0,
    Salt.CALCIUM_CHLORIDE: 150.0,
    Salt.CALCIUM_CHLORIDE_2H2O: 200.0,
}


def check_target(target: Pair) -> None:
    """Check that a target is one for a drink.

    Raises:
        BadInput: hardness or alkalinity is negative, or far beyond any published range.
    """
    if not 0.0 <= target.hardness <= MOST_HARDNESS_MG_L:
        raise BadInput("mix.bad_hardness", given=target.hardness, most=MOST_HARDNESS_MG_L)
    if not 0.0 <= target.alkalinity <= MOST_ALKALINITY_MG_L:
        raise BadInput("mix.bad_alkalinity", given=target.alkalinity, most=MOST_ALKALINITY_MG_L)


def check_added(added: Mapping[Ion, float], finished: Minerals | None) -> None:
    """Check that what is added leaves a water fit to drink.

    Args:
        added: mg of each ion that salts bring into a litre.
        finished: the finished water, where all of it is known.

    Raises:
        BadInput: an ion that was added is beyond its bound.
    """
    for ion, mg_l in added.items():
        whole = (finished and mg_l_of(finished, ion)) or mg_l
        if mg_l > 0 and max(whole, mg_l) > MOST_MG_L[ion]:
            raise BadInput(
                "mix.too_much",
                ion=Message(f"minerals.{ion.value}"),
                given=max(whole, mg_l),
                most=MOST_MG_L[ion],
            )


def check_stock(salt: Salt, g_per_l: float) -> None:
    """Check that a stock can be made, and dosed.

    Raises:
        BadInput: so much may not dissolve whole, or there is nothing in it.
    """
    most = MOST_STOCK_G_L[salt]
    if not 0.0 < g_per_l <= most:
        raise BadInput(
            "stock.bad_strength", salt=Message(f"salt.{salt.value}"), given=g_per_l, most=most
        )
