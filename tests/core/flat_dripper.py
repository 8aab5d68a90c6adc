"""A new user's flat-bottom dripper, and recipes for it, for tests of forecasts and pours."""

from halfclick.model.kit import DripperShape
from halfclick.model.recipe import Recipe, even_pours
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.kitchens import KitchenEntry, set_up_kitchen
from halfclick.store.opening import open_store

FLAT = KitchenEntry(shape=DripperShape.FLAT_BOTTOM, top_m=0.115, bottom_m=0.045, height_m=0.06)


def recipe_of(dose_g: float, count: int = 2) -> Recipe:
    """Return a recipe of 1:16 at 93 degrees Celsius."""
    water_g = dose_g * 16
    return Recipe(
        dose_g=dose_g,
        water_g=water_g,
        pours=even_pours(dose_g, water_g, count=count),
        temperature_c=93.0,
    )


def flat_kitchen(folder, clock_of):
    """Return a journal with the dripper measured, and a bag of coffee."""
    store = open_store(folder / "journal.db", clock=clock_of())
    set_up_kitchen(store, FLAT, clock=clock_of())
    return store, add_coffee(store, CoffeeEntry(name="Tarn Hollow"), clock=clock_of()).value
