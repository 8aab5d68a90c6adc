"""Sieved grounds: kept as shares of a setting, told, taken away."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid4

from halfclick.errors import BadInput
from halfclick.model.grinder import Grinder, read_setting
from halfclick.model.sieving import Sieving
from halfclick.service.done import Done, Touched
from halfclick.service.grinders import zero_in_force
from halfclick.store.journal import Store

MOST_G = 1_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SieveWeighed:
    """One sieve of the stack and what lay on it; None: not typed."""

    opening_um: float | None
    on_it_g: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SievingEntry:
    """A sieving as it is typed: the setting, what was weighed, and what was put in.

    `sieves` may stand in any order. Where `dose_g` is None, the shares are of what was found;
    else they are of what was put in, and what was lost is told.
    """

    setting_text: str
    sieves: tuple[SieveWeighed, ...]
    pan_g: float | None = None
    dose_g: float | None = None
    note: str = ""


def add_sieving(
    store: Store, grinder_id: UUID, entry: SievingEntry, *, clock: Callable[[], datetime]
) -> Done[Sieving]:
    """Keep a sieving of a grinder at its zero in force.

    Raises:
        BadInput: the dial is not written so, something was not weighed, or cannot be.
        NotFound: the journal has no such grinder, or it has no zero.
    """
    now = clock()
    if not entry.setting_text.strip():
        raise BadInput("sieving.needs_setting")
    if entry.pan_g is None:
        raise BadInput("sieving.needs_pan")
    stack = sorted(map(_typed, entry.sieves), reverse=True)
    with store.writing(now) as w:
        grinder = w.get(Grinder, grinder_id)
        zero = zero_in_force(w, grinder_id)
        sieving = Sieving(
            id=uuid4(),
            grinder_id=grinder_id,
            zero_id=zero.id,
            sieved_at=now,
            setting=read_setting(grinder, zero, entry.setting_text),
            openings_um=tuple(opening_um for opening_um, _ in stack),
            shares=_shares([*(on_it_g for _, on_it_g in stack), entry.pan_g], entry.dose_g),
            dose_g=entry.dose_g,
            note=entry.note.strip(),
        )
        w.add(sieving)
    return Done(sieving, Touched.KIT)


def sievings_of(store: Store, grinder_id: UUID) -> tuple[Sieving, ...]:
    """Return every living sieving of a grinder, oldest first."""
    with store.reading() as r:
        return tuple(r.all(Sieving, grinder_id=grinder_id))


def bury_sieving(store: Store, sieving_id: UUID, *, clock: Callable[[], datetime]) -> Done[UUID]:
    """Take a sieving away; it can be brought back.

    Raises:
        NotFound: the journal has no such sieving.
    """
    with store.writing(clock()) as w:
        w.bury(Sieving, sieving_id)
    return Done(sieving_id, Touched.KIT)


def unbury_sieving(store: Store, sieving_id: UUID, *, clock: Callable[[], datetime]) -> Done[UUID]:
    """Bring a sieving back.

    Raises:
        NotFound: the journal has no such sieving.
    """
    with store.writing(clock()) as w:
        w.unbury(Sieving, sieving_id)
    return Done(sieving_id, Touched.KIT)


def _typed(sieve: SieveWeighed) -> tuple[float, float]:
    """Return an opening, um, and what lay on it, g."""
    if sieve.opening_um is None:
        raise BadInput("sieving.needs_opening", given_g=sieve.on_it_g)
    if sieve.on_it_g is None:
        raise BadInput("sieving.needs_weight", given_um=sieve.opening_um)
    return sieve.opening_um, sieve.on_it_g


def _shares(weighed_g: list[float], dose_g: float | None) -> tuple[float, ...]:
    """Return fractions of the dose, or of what was found where the dose was not weighed."""
    for given_g in weighed_g:
        if not 0 <= given_g <= MOST_G:
            raise BadInput("sieving.bad_weight", given_g=given_g)
    whole_g = sum(weighed_g) if dose_g is None else dose_g
    if whole_g <= 0:
        raise BadInput("sieving.nothing_weighed")
    return tuple(one / whole_g for one in weighed_g)
