"""A brew under way, kept event by event, so that nothing of it is lost with the program."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import UUID, uuid4

from halfclick.brewing.finish import brew_from
from halfclick.brewing.guide import Bodies, Guide, guide_of
from halfclick.errors import NotFound
from halfclick.model.brew import Brew, KitUsed
from halfclick.model.kit import Dripper, Server
from halfclick.model.under_way import GuideEvent, GuideEventKind, UnderWay
from halfclick.service.done import Done, Touched
from halfclick.service.expected import add_forecast
from halfclick.service.kitchens import KitView, used
from halfclick.service.plan import Planned
from halfclick.store.journal import Reader, Store

if TYPE_CHECKING:
    from halfclick.service.forecast import Expected


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenGuide:
    """A brew that was begun and not closed, as the journal knows it."""

    under_way: UnderWay
    guide: Guide


def begin(
    store: Store, planned: Planned, kit: KitView, *, clock: Callable[[], datetime]
) -> Done[UnderWay]:
    """Begin a planned brew."""
    now = clock()
    under_way = UnderWay(
        id=uuid4(),
        bag_id=planned.bag_id,
        kit=used(kit),
        plan=planned.recipe,
        mode=planned.mode,
        drained_rule=kit.kitchen.drained_rule,
        begun_at=now,
        parent_id=planned.parent_id,
        changes=planned.changes,
        proposal_id=planned.proposal_id,
        why=planned.why,
    )
    with store.writing(now) as w:
        w.add(under_way)
    return Done(under_way, Touched.GUIDE)


def note(
    store: Store,
    under_way_id: UUID,
    kind: GuideEventKind,
    value: float | None = None,
    *,
    clock: Callable[[], datetime],
) -> Done[Guide]:
    """Keep an event the moment it happens, and return the brew's new state.

    Raises:
        NotFound: no such brew is under way.
    """
    now = clock()
    with store.writing(now) as w:
        begun = _open(w, under_way_id)
        number = len(w.all(GuideEvent, under_way_id=under_way_id))
        w.add(
            GuideEvent(
                id=uuid4(),
                under_way_id=under_way_id,
                number=number,
                at=now,
                kind=kind,
                value=value,
            )
        )
        guide = _guide(w, begun)
    return Done(guide, Touched.GUIDE)


def under_way(store: Store) -> OpenGuide | None:
    """Return the brew that was begun and not closed; None where there is none."""
    with store.reading() as r:
        begun = r.all(UnderWay, closed_at=None)
        if not begun:
            return None
        return OpenGuide(under_way=begun[-1], guide=_guide(r, begun[-1]))


def finish(
    store: Store,
    under_way_id: UUID,
    *,
    clock: Callable[[], datetime],
    expected: Expected | None = None,
) -> Done[Brew]:
    """Record the brew as what is known of it, with what was expected of it, and close it.

    Raises:
        NotFound: no such brew is under way; one that was closed is not recorded twice.
    """
    now = clock()
    with store.writing(now) as w:
        begun = _open(w, under_way_id)
        brew = brew_from(begun, _guide(w, begun), uuid4(), now)
        w.add(brew)
        add_forecast(w, brew.id, expected, now)
        w.change(replace(begun, closed_at=now))
    return Done(brew, Touched.BREWS | Touched.GUIDE | Touched.COFFEES)


def give_up(store: Store, under_way_id: UUID, *, clock: Callable[[], datetime]) -> Done[UnderWay]:
    """Close a brew without recording it; its events stay in the journal.

    Raises:
        NotFound: no such brew is under way.
    """
    now = clock()
    with store.writing(now) as w:
        closed = replace(_open(w, under_way_id), closed_at=now)
        w.change(closed)
    return Done(closed, Touched.GUIDE)


def _open(r: Reader, under_way_id: UUID) -> UnderWay:
    begun = r.get(UnderWay, under_way_id)
    if begun.closed_at is not None:
        raise NotFound("guide.closed")
    return begun


def _guide(r: Reader, begun: UnderWay) -> Guide:
    events = r.all(GuideEvent, under_way_id=begun.id)
    return guide_of(begun, events, _bodies(r, begun.kit))


def _bodies(r: Reader, kit: KitUsed) -> Bodies:
    dripper = r.find(Dripper, kit.dripper_id)
    server = r.find(Server, kit.server_id) if kit.server_id is not None else None
    return Bodies(
        server_empty_g=server.empty_g if server else None,
        material=dripper.material if dripper else None,
        dripper_g=dripper.mass_g if dripper else None,
    )
