"""How the kettle in use gets water as hot as planned, in words."""

from collections.abc import Sequence

from halfclick.model.kettle_reading import KettleReading
from halfclick.model.recipe import Recipe
from halfclick.service.kettle_loss import wait_from
from halfclick.service.kettle_readings import readings_of
from halfclick.service.kitchens import KitView
from halfclick_desktop.desk import Desk


def readings_at_hand(desk: Desk, kit: KitView | None) -> tuple[KettleReading, ...]:
    """Return the timed waits of the kettle in use; none where there is none."""
    if kit is None or kit.kettle is None:
        return ()
    return readings_of(desk.store, kit.kettle.id)


def heating_text(
    desk: Desk, kit: KitView, recipe: Recipe, code: str, readings: Sequence[KettleReading]
) -> str:
    """Return what to set the kettle to, or how long to wait; empty where neither is to be said.

    Args:
        desk: its words.
        kit: in use.
        recipe: what is to be brewed.
        code: of the sentence for a kettle that shows its temperature.
        readings: of that kettle, oldest first.
    """
    wait = wait_from(readings, kit, recipe)
    if wait is None or recipe.temperature_c is None:
        return ""
    if kit.kettle is not None and kit.kettle.has_thermometer:
        return desk.words(code, water_c=recipe.temperature_c)
    return desk.words.sentence(wait.message)
