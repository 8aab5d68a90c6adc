"""How the kettle in use gets water as hot as planned, in words."""

from halfclick.model.recipe import Recipe
from halfclick.service.kettle_loss import wait_off_boil
from halfclick.service.kitchens import KitView
from halfclick_desktop.desk import Desk


def heating_text(desk: Desk, kit: KitView, recipe: Recipe, code: str) -> str:
    """Return what to set the kettle to, or how long to wait; empty where neither is to be said.

    Args:
        desk: words and journal.
        kit: in use.
        recipe: what is to be brewed.
        code: of the sentence for a kettle that shows its temperature.
    """
    wait = wait_off_boil(desk.store, kit, recipe)
    if wait is None or recipe.temperature_c is None:
        return ""
    if kit.kettle is not None and kit.kettle.has_thermometer:
        return desk.words(code, water_c=recipe.temperature_c)
    return desk.words.sentence(wait.message)
