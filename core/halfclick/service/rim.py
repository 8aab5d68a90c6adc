"""How much height a person keeps free below the rim: a choice, a centimetre until it is made."""

from collections.abc import Callable
from datetime import datetime

from halfclick.errors import BadInput
from halfclick.model.preference import Preference
from halfclick.physics.vessel import RIM_MARGIN_M
from halfclick.service.choices import choice, choose
from halfclick.service.done import Done
from halfclick.store.journal import Store

KEY = "kept_free.rim_mm"
MM_PER_M = 1000.0
# More is no margin but another dripper (our own default).
MOST_MM = 50.0


def rim_margin_m(store: Store) -> float:
    """Return what this person keeps free below the rim, m."""
    try:
        margin_mm = float(choice(store, KEY) or RIM_MARGIN_M * MM_PER_M)
    except ValueError:
        return RIM_MARGIN_M  # what a later release may have kept there
    return margin_mm / MM_PER_M if 0.0 <= margin_mm <= MOST_MM else RIM_MARGIN_M


def keep_rim_margin(
    store: Store, margin_m: float | None, *, clock: Callable[[], datetime]
) -> Done[Preference]:
    """Keep what is to stay free below the rim, m; None for the usual centimetre.

    Raises:
        BadInput: it is below nothing, or more than a dripper can spare.
    """
    margin_mm = (RIM_MARGIN_M if margin_m is None else margin_m) * MM_PER_M
    if not 0.0 <= margin_mm <= MOST_MM:
        raise BadInput("rim.bad_margin", given_mm=margin_mm)
    return choose(store, KEY, f"{margin_mm:g}", clock=clock)
