"""The limits of a cup's advice, gathered from kit, kitchen, bag and this person's own band."""

from halfclick.errors import BadInput
from halfclick.model.grinder import Setting, setting_at
from halfclick.model.limits import Limits
from halfclick.model.recipe import Recipe
from halfclick.physics.vessel import BED_ML_PER_G, holds_ml, inside_of
from halfclick.service.band import own_band
from halfclick.service.grinders import at_zero
from halfclick.service.kitchens import KitView
from halfclick.service.plan import boiling_c
from halfclick.store.journal import Store


def limits_of(store: Store, recipe: Recipe, kit: KitView) -> Limits:
    """Return what bounds an advice that starts from a recipe, on a kit, at its zero in force."""
    search = kit.grinder.search_steps
    # Half of one step is no step: a grinder that coarse refines by whole ones.
    half = search // 2
    return Limits(
        boiling_c=boiling_c(kit),
        shape=kit.dripper.shape,
        scale_carries=kit.kitchen.scale_carries,
        search_steps=search,
        finer=_reached(kit, recipe, -search),
        coarser=_reached(kit, recipe, search),
        half_finer=_reached(kit, recipe, -half) if half else None,
        half_coarser=_reached(kit, recipe, half) if half else None,
        band=own_band(store, recipe, kit),
        capacity_g=kit.server.capacity_g if kit.server else None,
        room_g=_room_g(kit, recipe),
    )


def _room_g(kit: KitView, recipe: Recipe) -> float | None:
    inside = inside_of(kit.dripper)
    return holds_ml(inside) - recipe.dose_g * BED_ML_PER_G if inside.measured else None


def _reached(kit: KitView, recipe: Recipe, by_steps: int) -> Setting | None:
    if recipe.setting is None:
        return None
    try:
        here = at_zero(kit.grinder, kit.zero, recipe.setting)
        return setting_at(kit.grinder, kit.zero, here.steps + by_steps)
    except BadInput:
        return None
