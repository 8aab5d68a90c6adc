"""How often kept forecasts held: what was read of a brew, against what was said before it."""

from collections.abc import Mapping
from dataclasses import dataclass

from halfclick.model.brew import Brew, How, Reading
from halfclick.model.forecast import Forecast
from halfclick.model.tasting import Tasting
from halfclick.store.journal import Reader, Store
from halfclick.wording import Message

# What is read of a brew and forecast under the same name.
READ = ("time_s", "beverage_g", "strength")
# Hands, burrs and the model change: so many of the newest forecasts are looked at.
NEWEST = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """Of one quantity: in how many cups it was read, and in how many of those the band held."""

    quantity: str
    cups: int
    held: int

    @property
    def said(self) -> Message:
        """The record in a sentence."""
        values = {"count": self.cups, "held": self.held}
        return Message(f"model_check.held_{self.quantity}", values)


def held_bands(store: Store) -> tuple[Held, ...]:
    """Return how often the bands for nine brews in ten held, by quantity; empty without a cup.

    A brew that was forecast more than once counts by the newest forecast, and by how it stands
    after corrections; a deleted one does not count.
    """
    tally = dict.fromkeys(READ, (0, 0))
    with store.reading() as r:
        newest = {one.brew_id: one for one in r.all(Forecast)[-NEWEST:]}
        for forecast in newest.values():
            for name, value in _read_of(r, forecast).items():
                if name in forecast.bands:
                    low, _, high = forecast.bands[name]
                    cups, held = tally[name]
                    tally[name] = (cups + 1, held + (low <= value <= high))
    return tuple(
        Held(quantity=name, cups=cups, held=held) for name, (cups, held) in tally.items() if cups
    )


def _read_of(r: Reader, forecast: Forecast) -> Mapping[str, float]:
    """Return what was measured of the brew of a forecast, by the names of the forecast."""
    versions = _versions(r, forecast)
    if not versions:
        return {}
    poured = versions[-1].poured
    drained_s, drink_g = _measured(poured.drained_s), _measured(poured.beverage_g)
    bypass_g = poured.bypass_g.value or 0.0
    tastings = [one for version in versions for one in r.all(Tasting, brew_id=version.id)]
    tasting = max(tastings, key=lambda one: one.tasted_at, default=None)
    found: dict[str, float | None] = {
        "time_s": drained_s,
        # Water added to the cup did not run through the bed, of which the forecast speaks.
        "beverage_g": drink_g - bypass_g if drink_g is not None else None,
        "strength": tasting.strength if tasting is not None and not bypass_g else None,
    }
    return {name: value for name, value in found.items() if value is not None}


def _versions(r: Reader, forecast: Forecast) -> list[Brew]:
    """Return a brew and its corrections, the newest last; none where it was deleted."""
    living = r.all(Brew, corrected=True, id=forecast.brew_id)
    versions = living
    while living:
        living = r.all(Brew, corrected=True, corrects_id=living[-1].id)
        versions = [*versions, *living[-1:]]
    return versions


def _measured(reading: Reading) -> float | None:
    return reading.value if reading.how in {How.MEASURED, How.CORRECTED} else None
