"""Cautions, each shown once where it matters, with its source; advice and no guarantee."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from halfclick.model.kit import DripperMaterial
from halfclick.model.preference import Preference
from halfclick.service.choices import choice, choose
from halfclick.service.done import Done
from halfclick.service.kitchens import KitView, kit_in_use
from halfclick.store.journal import Store
from halfclick.wording import Message


class Caution(StrEnum):
    """What a person is warned of, in the order it is told where two are due."""

    SCALD = "scald"
    GLASS = "glass"
    KETTLE = "kettle"
    SCALE = "scale"
    GRINDER = "grinder"
    MINERALS = "minerals"
    CAFFEINE = "caffeine"
    TASTING = "tasting"
    SAMPLE = "sample"


class Place(StrEnum):
    """Where in the program a caution matters."""

    BREW = "brew"
    LOG = "log"
    ZERO = "zero"
    WATER = "water"
    CAFFEINE = "caffeine"
    TRIAL = "trial"
    MEASURED = "measured"


PLACES = {
    Place.BREW: (Caution.SCALD, Caution.GLASS),
    Place.LOG: (Caution.KETTLE, Caution.SCALE),
    Place.ZERO: (Caution.GRINDER,),
    Place.WATER: (Caution.MINERALS,),
    Place.CAFFEINE: (Caution.CAFFEINE,),
    Place.TRIAL: (Caution.TASTING, Caution.CAFFEINE),
    Place.MEASURED: (Caution.SAMPLE,),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldCaution:
    """A caution in a sentence or two, and what stands behind it."""

    caution: Caution
    message: Message
    source: Message


def caution_due(store: Store, place: Place) -> ToldCaution | None:
    """Return the caution that this person has not seen yet at a place; None where none is due."""
    kit = kit_in_use(store)
    for caution in PLACES[place]:
        if caution is Caution.GLASS and not _has_glass(kit):
            continue
        if choice(store, _key(caution)) is None:
            return told_caution(caution)
    return None


def caution_seen(
    store: Store, caution: Caution, *, clock: Callable[[], datetime]
) -> Done[Preference]:
    """Remember that this person saw a caution; it is not shown to them of itself again.

    Raises:
        StoreError: the journal cannot be written.
    """
    return choose(store, _key(caution), "yes", clock=clock)


def all_cautions() -> tuple[ToldCaution, ...]:
    """Return every caution, to be read again."""
    return tuple(told_caution(caution) for caution in Caution)


def told_caution(caution: Caution) -> ToldCaution:
    """Return one caution with its source."""
    return ToldCaution(
        caution=caution,
        message=Message(f"caution.{caution.value}"),
        source=Message(f"caution.{caution.value}_source"),
    )


def _key(caution: Caution) -> str:
    return f"caution.seen.{caution.value}"


def _has_glass(kit: KitView | None) -> bool:
    """Return whether something of glass is poured into; a server says so by its name alone."""
    if kit is None:
        return False
    named = "glass" in kit.server.name.casefold() if kit.server else False
    return named or kit.dripper.material is DripperMaterial.GLASS
