"""Which records a record names, so that none is kept whose others are missing."""

from collections.abc import Iterator
from typing import Any
from uuid import UUID

from halfclick.model.advice import Proposal
from halfclick.model.brew import Brew, KitUsed
from halfclick.model.coffee import Bag, Coffee, Lot
from halfclick.model.forecast import Forecast
from halfclick.model.grinder import Grinder, Zero
from halfclick.model.kettle_reading import KettleReading
from halfclick.model.kit import Dripper, Kettle, Kitchen, Paper, Server, Water
from halfclick.model.photo import Photo
from halfclick.model.recipe import Recipe
from halfclick.model.sieving import Sieving
from halfclick.model.tasting import Tasting
from halfclick.model.trial import Trial
from halfclick.model.trial_finding import TrialFinding
from halfclick.model.trial_round import (
    TrialAnswer,
    TrialOpening,
    TrialRound,
    TrialServing,
    TrialVoid,
)
from halfclick.model.under_way import GuideEvent, UnderWay

Named = tuple[type[Any], UUID]

_KIT: dict[str, type[Any]] = {
    "grinder_id": Grinder,
    "zero_id": Zero,
    "dripper_id": Dripper,
    "paper_id": Paper,
    "kettle_id": Kettle,
    "water_id": Water,
    "server_id": Server,
}
# Fields that name another record, by kind.
_FIELDS: dict[type[Any], dict[str, type[Any]]] = {
    Lot: {"coffee_id": Coffee},
    Bag: {"lot_id": Lot},
    Zero: {"grinder_id": Grinder},
    Kitchen: {name: kind for name, kind in _KIT.items() if name != "zero_id"},
    Brew: {"bag_id": Bag, "parent_id": Brew, "corrects_id": Brew, "proposal_id": Proposal},
    Tasting: {"brew_id": Brew, "corrects_id": Tasting},
    Photo: {"brew_id": Brew},
    Forecast: {"brew_id": Brew},
    KettleReading: {"kettle_id": Kettle},
    # Its setting names the same zero, or the record could not be.
    Sieving: {"grinder_id": Grinder, "zero_id": Zero},
    Proposal: {"brew_id": Brew},
    UnderWay: {"bag_id": Bag, "parent_id": Brew, "proposal_id": Proposal},
    GuideEvent: {"under_way_id": UnderWay},
    Trial: {"bag_id": Bag},
    TrialRound: {"trial_id": Trial},
    TrialServing: {"round_id": TrialRound},
    TrialAnswer: {"round_id": TrialRound},
    TrialVoid: {"round_id": TrialRound},
    TrialOpening: {"round_id": TrialRound},
    TrialFinding: {"trial_id": Trial},
}


def names_in(record: Any) -> Iterator[Named]:
    """Return the kinds and identities that a record names."""
    yield from _named(record, _FIELDS.get(type(record), {}))
    for brew_id in getattr(record, "brew_ids", ()):
        yield Brew, brew_id
    kit = getattr(record, "kit", None)
    if isinstance(kit, KitUsed):
        yield from _named(kit, _KIT)
    for recipe in (getattr(record, "plan", None), getattr(record, "recipe", None)):
        if isinstance(recipe, Recipe) and recipe.setting is not None:
            yield Zero, recipe.setting.zero_id


def own_kind(record: Any) -> list[UUID]:
    """Return the records of its own kind that a record names: they are written before it."""
    return [name for kind, name in names_in(record) if kind is type(record)]


def _named(record: Any, fields: dict[str, type[Any]]) -> Iterator[Named]:
    for field, kind in fields.items():
        name = getattr(record, field)
        if name is not None:
            yield kind, name
