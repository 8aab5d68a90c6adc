"""What a water is made of: its ions as told, and the stock solutions in the kitchen."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from uuid import UUID, uuid4

from halfclick.model.concentrate import Concentrate, Salt
from halfclick.model.kit import Water
from halfclick.model.minerals import Minerals
from halfclick.service.done import Done, Touched
from halfclick.store.journal import Store


def edit_water(
    store: Store,
    water_id: UUID,
    *,
    minerals: Minerals | None,
    tds_mg_l: float | None = None,
    ph: float | None = None,
    clock: Callable[[], datetime],
) -> Done[Water]:
    """Write what is dissolved in a water; its name, hardness and alkalinity stay as they are.

    Args:
        store: the journal.
        water_id: which water.
        minerals: its ions; None where they are not known.
        tds_mg_l: everything dissolved, mg/L, as told or measured.
        ph: its pH.
        clock: tells the time.

    Raises:
        BadInput: a value cannot be.
        NotFound: the journal has no such water.
    """
    with store.writing(clock()) as w:
        water = replace(w.get(Water, water_id), minerals=minerals, tds_mg_l=tds_mg_l, ph=ph)
        w.change(water)
    return Done(water, Touched.KIT)


def add_concentrate(
    store: Store,
    *,
    name: str,
    salt: Salt,
    g_per_l: float,
    food_grade: bool = False,
    clock: Callable[[], datetime],
) -> Done[Concentrate]:
    """Keep a stock solution.

    Raises:
        BadInput: it has no name, or its strength cannot be.
    """
    made = Concentrate(
        id=uuid4(), name=name.strip(), salt=salt, g_per_l=g_per_l, food_grade=food_grade
    )
    with store.writing(clock()) as w:
        w.add(made)
    return Done(made, Touched.KIT)


def change_concentrate(
    store: Store, concentrate: Concentrate, *, clock: Callable[[], datetime]
) -> Done[Concentrate]:
    """Write a stock solution over its older self.

    Raises:
        NotFound: the journal has no such stock.
    """
    with store.writing(clock()) as w:
        w.change(concentrate)
    return Done(concentrate, Touched.KIT)


def concentrates(store: Store) -> tuple[Concentrate, ...]:
    """Return every living stock solution, oldest first."""
    with store.reading() as r:
        return tuple(r.all(Concentrate))


def bury_concentrate(
    store: Store, concentrate_id: UUID, *, clock: Callable[[], datetime]
) -> Done[UUID]:
    """Take a stock solution away; it can be brought back.

    Raises:
        NotFound: the journal has no such stock.
    """
    with store.writing(clock()) as w:
        w.bury(Concentrate, concentrate_id)
    return Done(concentrate_id, Touched.KIT)


def unbury_concentrate(
    store: Store, concentrate_id: UUID, *, clock: Callable[[], datetime]
) -> Done[UUID]:
    """Bring a stock solution back.

    Raises:
        NotFound: the journal has no such stock.
    """
    with store.writing(clock()) as w:
        w.unbury(Concentrate, concentrate_id)
    return Done(concentrate_id, Touched.KIT)
