"""The kit in use: set up on the first run, looked at, changed."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID, uuid4

from halfclick.errors import BadInput
from halfclick.model.brew import KitUsed
from halfclick.model.grinder import Finer, Grinder, Zero, ZeroFound
from halfclick.model.kit import (
    DrainedRule,
    Dripper,
    DripperShape,
    Kettle,
    Kitchen,
    Paper,
    PaperKind,
    ScaleCarries,
    Server,
    Water,
)
from halfclick.model.numbering import Numbering, Scheme
from halfclick.physics.water import (
    boiling_point_at_pressure_c,
    boiling_point_c,
    pressure_pa,
    station_pressure_pa,
)
from halfclick.service.done import Done, Touched
from halfclick.service.grinders import zero_in_force
from halfclick.service.preheating import preheats
from halfclick.store.journal import Reader, Store

# Of the air's pressure above that of the standard day at a place: more than weather brings (our
# own default, no source).
MOST_ABOVE_PA = 5_000.0
PLAIN_CLICKS = Numbering(scheme=Scheme.CLICKS)

Thing = Grinder | Dripper | Paper | Kettle | Water | Server | Kitchen
K = TypeVar("K", Grinder, Dripper, Paper, Kettle, Water, Server, Kitchen)

# The usual papers by shape; a person changes it where theirs is another.
_PAPER_BY_SHAPE = {DripperShape.THICK_PAPER_CONE: PaperKind.THICK}


@dataclass(frozen=True, slots=True, kw_only=True)
class KitchenEntry:
    """What the first run asks; every answer has a default, so every question can be skipped."""

    grinder_name: str = "My grinder"
    numbering: Numbering = PLAIN_CLICKS
    finer: Finer = Finer.LOWER
    step_um: float | None = None
    purge_g: float = 0.0
    dripper_name: str = "My dripper"
    shape: DripperShape = DripperShape.STEEP_CONE
    top_m: float | None = None
    bottom_m: float | None = None
    height_m: float | None = None
    paper_name: str = "paper"
    kettle_name: str = "kettle"
    kettle_has_thermometer: bool = False
    water_name: str = "tap water"
    server_name: str = "My server"
    server_capacity_g: float | None = None
    altitude_m: float = 0.0
    scale_carries: ScaleCarries = ScaleCarries.DRIPPER_AND_SERVER
    drained_rule: DrainedRule = DrainedRule.LAST_DROP


@dataclass(frozen=True, slots=True, kw_only=True)
class KitView:
    """A kitchen with the things in it, and the grinder's zero in force.

    `preheats` says whether its person warms the dripper before the brew.
    """

    kitchen: Kitchen
    grinder: Grinder
    zero: Zero
    dripper: Dripper
    paper: Paper | None
    kettle: Kettle | None
    water: Water | None
    server: Server | None
    preheats: bool = True


def set_up_kitchen(
    store: Store, entry: KitchenEntry, *, clock: Callable[[], datetime]
) -> Done[Kitchen]:
    """Make the first kit from a few answers, and take the grinder's first zero as unchecked.

    Raises:
        BadInput: an answer cannot be.
    """
    now = clock()
    grinder = Grinder(
        id=uuid4(),
        name=entry.grinder_name,
        numbering=entry.numbering,
        finer=entry.finer,
        step_um=entry.step_um,
        purge_g=entry.purge_g,
    )
    zero = first_zero(grinder, now)
    dripper = Dripper(
        id=uuid4(),
        name=entry.dripper_name,
        shape=entry.shape,
        top_m=entry.top_m,
        bottom_m=entry.bottom_m,
        height_m=entry.height_m,
    )
    kind = _PAPER_BY_SHAPE.get(entry.shape, PaperKind.WHITE)
    paper = Paper(id=uuid4(), name=entry.paper_name, kind=kind)
    kettle = Kettle(
        id=uuid4(), name=entry.kettle_name, has_thermometer=entry.kettle_has_thermometer
    )
    water = Water(id=uuid4(), name=entry.water_name)
    server = Server(id=uuid4(), name=entry.server_name, capacity_g=entry.server_capacity_g)
    kitchen = Kitchen(
        id=uuid4(),
        name="kitchen",
        grinder_id=grinder.id,
        dripper_id=dripper.id,
        paper_id=paper.id,
        kettle_id=kettle.id,
        water_id=water.id,
        server_id=server.id,
        altitude_m=entry.altitude_m,
        scale_carries=entry.scale_carries,
        drained_rule=entry.drained_rule,
    )
    with store.writing(now) as w:
        for record in (grinder, zero, dripper, paper, kettle, water, server, kitchen):
            w.add(record)
    return Done(kitchen, Touched.KIT)


def first_zero(grinder: Grinder, now: datetime) -> Zero:
    """Return the zero a grinder starts with: the dial's 0, or its end where finer is higher.

    Raises:
        BadInput: finer is higher, and where the dial ends was not said.
    """
    reading = 0
    if grinder.finer is Finer.HIGHER:
        if grinder.numbering.highest_reading is None:
            raise BadInput("grinder.needs_highest")
        reading = grinder.numbering.highest_reading
    return Zero(
        id=uuid4(),
        grinder_id=grinder.id,
        found_on=now.date(),
        reading=reading,
        found=ZeroFound.NOT_CHECKED,
    )


def kit_in_use(store: Store) -> KitView | None:
    """Return the kitchen in use with its things; None before the first run."""
    with store.reading() as r:
        kitchens = r.all(Kitchen)
        return _view(r, kitchens[-1]) if kitchens else None


def kit_of(store: Store, used: KitUsed) -> KitView:
    """Return the things a brew was made with, as a kitchen.

    Raises:
        NotFound: the journal has not got one of them.
    """
    with store.reading() as r:
        base = r.all(Kitchen)[-1]
        kitchen = replace(
            base,
            grinder_id=used.grinder_id,
            dripper_id=used.dripper_id,
            paper_id=used.paper_id,
            kettle_id=used.kettle_id,
            water_id=used.water_id,
            server_id=used.server_id,
            altitude_m=used.altitude_m,
            # A barometer's reading is of the place where it was read.
            barometer_pa=base.barometer_pa if used.altitude_m == base.altitude_m else None,
            scale_carries=used.scale_carries,
        )
        return _view(r, kitchen)


def used(kit: KitView) -> KitUsed:
    """Return the identities of a kit's things, as a brew keeps them."""
    kitchen = kit.kitchen
    return KitUsed(
        grinder_id=kit.grinder.id,
        zero_id=kit.zero.id,
        dripper_id=kit.dripper.id,
        paper_id=kitchen.paper_id,
        kettle_id=kitchen.kettle_id,
        water_id=kitchen.water_id,
        server_id=kitchen.server_id,
        altitude_m=kitchen.altitude_m,
        scale_carries=kitchen.scale_carries,
    )


def boils_at_c(kitchen: Kitchen) -> float:
    """Return where water boils in a kitchen: by its barometer where one was read."""
    if kitchen.barometer_pa is not None:
        return boiling_point_at_pressure_c(kitchen.barometer_pa)
    return boiling_point_c(kitchen.altitude_m)


def list_kit(store: Store, kind: type[K]) -> tuple[K, ...]:
    """Return every living thing of one kind, oldest first."""
    with store.reading() as r:
        return tuple(r.all(kind))


def add_thing(store: Store, thing: Thing, *, clock: Callable[[], datetime]) -> Done[Thing]:
    """Add a thing to the kit; a grinder gets its first zero with it.

    Raises:
        BadInput: a grinder's first zero cannot be told.
    """
    now = clock()
    with store.writing(now) as w:
        w.add(thing)
        if isinstance(thing, Grinder):
            w.add(first_zero(thing, now))
    return Done(thing, Touched.KIT)


def change_thing(store: Store, thing: Thing, *, clock: Callable[[], datetime]) -> Done[Thing]:
    """Write a thing of the kit over its older self.

    Raises:
        BadInput: it cannot be so.
    """
    _check_barometer(thing)
    with store.writing(clock()) as w:
        w.change(thing)
    return Done(thing, Touched.KIT)


def change_things(
    store: Store, things: Iterable[Thing], *, clock: Callable[[], datetime]
) -> Done[None]:
    """Write things of the kit over their older selves, all of them or none.

    Raises:
        BadInput: one of them cannot be so.
    """
    for thing in things:
        _check_barometer(thing)
    with store.writing(clock()) as w:
        for thing in things:
            w.change(thing)
    return Done(None, Touched.KIT)


def _check_barometer(thing: Thing) -> None:
    """Refuse a pressure that is reduced to the sea, as weather reports print it."""
    if not isinstance(thing, Kitchen) or thing.barometer_pa is None:
        return
    if thing.barometer_pa - pressure_pa(thing.altitude_m) > MOST_ABOVE_PA:
        here_pa = station_pressure_pa(thing.barometer_pa, thing.altitude_m)
        raise BadInput(
            "kitchen.reduced_barometer",
            given_hpa=round(thing.barometer_pa / 100),
            altitude_m=thing.altitude_m,
            here_hpa=round(here_pa / 100),
        )


def put_to_use(store: Store, thing: Thing, *, clock: Callable[[], datetime]) -> Done[Kitchen]:
    """Put a thing into the kitchen in use, in place of its like.

    Raises:
        ValueError: there is no kitchen yet.
    """
    kit = kit_in_use(store)
    if kit is None or isinstance(thing, Kitchen):
        raise ValueError("no kitchen to put it into")
    place: dict[str, Any] = {f"{type(thing).__name__.lower()}_id": thing.id}
    kitchen = replace(kit.kitchen, **place)
    with store.writing(clock()) as w:
        w.change(kitchen)
    return Done(kitchen, Touched.KIT)


def _view(r: Reader, kitchen: Kitchen) -> KitView:
    return KitView(
        kitchen=kitchen,
        grinder=r.get(Grinder, kitchen.grinder_id),
        zero=zero_in_force(r, kitchen.grinder_id),
        dripper=r.get(Dripper, kitchen.dripper_id),
        paper=_found(r, Paper, kitchen.paper_id),
        kettle=_found(r, Kettle, kitchen.kettle_id),
        water=_found(r, Water, kitchen.water_id),
        server=_found(r, Server, kitchen.server_id),
        preheats=preheats(r),
    )


def _found(r: Reader, kind: type[K], record_id: UUID | None) -> K | None:
    return None if record_id is None else r.find(kind, record_id)
