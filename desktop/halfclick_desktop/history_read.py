"""What the history page shows, read from the journal."""

from dataclasses import dataclass
from uuid import UUID

from halfclick.service.ageing import Ageing, bag_ageing
from halfclick.service.history import History, coffee_history, coffees_by_name
from halfclick_desktop.desk import Desk


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryRead:
    """The coffees there are, and the history of one of them."""

    coffees: list[tuple[UUID, str]]
    history: History | None = None
    ageing: Ageing | None = None


def read_history(desk: Desk, coffee_id: UUID | None) -> HistoryRead:
    """Read a coffee's history, else that of the first; also called off the main thread."""
    coffees = coffees_by_name(desk.store)
    ids = [known for known, _ in coffees]
    if not ids:
        return HistoryRead(coffees=coffees)
    chosen = coffee_id if coffee_id in ids else ids[0]
    return HistoryRead(
        coffees=coffees,
        history=coffee_history(desk.store, chosen),
        ageing=bag_ageing(desk.store, chosen),
    )
