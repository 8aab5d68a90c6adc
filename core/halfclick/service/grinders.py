"""A grinder's zeros: the one in force, a new one, and old settings at today's zero."""

from collections.abc import Callable
from datetime import datetime
from uuid import UUID, uuid4

from halfclick.errors import NotFound
from halfclick.model.grinder import (
    Grinder,
    Setting,
    Zero,
    ZeroFound,
    ZeroReason,
    setting_at,
)
from halfclick.model.numbering import parse_reading
from halfclick.service.done import Done, Touched
from halfclick.store.journal import Reader, Store


def zero_in_force(r: Reader, grinder_id: UUID) -> Zero:
    """Return the newest zero of a grinder.

    Raises:
        NotFound: it has none.
    """
    zeros = r.all(Zero, grinder_id=grinder_id)
    if not zeros:
        raise NotFound("grinder.no_zero")
    return zeros[-1]


def zeros_of(store: Store, grinder_id: UUID) -> tuple[Zero, ...]:
    """Return every zero of a grinder, oldest first."""
    with store.reading() as r:
        return tuple(r.all(Zero, grinder_id=grinder_id))


def take_zero(
    store: Store,
    grinder_id: UUID,
    *,
    reading_text: str,
    found: ZeroFound,
    reason: ZeroReason,
    note: str = "",
    clock: Callable[[], datetime],
) -> Done[Zero]:
    """Keep a new zero: a break in the history, from which settings count afresh.

    Args:
        store: the journal.
        grinder_id: which grinder.
        reading_text: what the dial reads where the burrs meet; empty where it is as it was.
        found: how that was found.
        reason: why it was taken.
        note: the person's own words.
        clock: tells the day.

    Raises:
        BadInput: the dial is not written so.
    """
    now = clock()
    with store.writing(now) as w:
        grinder = w.get(Grinder, grinder_id)
        before = zero_in_force(w, grinder_id)
        given = reading_text.strip()
        zero = Zero(
            id=uuid4(),
            grinder_id=grinder_id,
            found_on=now.date(),
            reading=parse_reading(grinder.numbering, given) if given else before.reading,
            found=found,
            reason=reason,
            note=note,
        )
        w.add(zero)
    return Done(zero, Touched.KIT)


def same_burrs(r: Reader, grinder_id: UUID, zero_id: UUID) -> bool:
    """Return whether a zero was taken with the burrs that are in the grinder now."""
    zeros = r.all(Zero, grinder_id=grinder_id)
    ids = [zero.id for zero in zeros]
    if zero_id not in ids:
        return False
    since = zeros[ids.index(zero_id) + 1 :]
    return not any(zero.reason is ZeroReason.NEW_BURRS for zero in since)


def at_zero(grinder: Grinder, zero: Zero, setting: Setting) -> Setting:
    """Return a setting at another zero: as many steps from it, as the dial writes them there.

    Raises:
        BadInput: the dial does not reach it.
    """
    if setting.zero_id == zero.id:
        return setting
    return setting_at(grinder, zero, setting.steps)
