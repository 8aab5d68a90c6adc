"""One field of a plan's size: what is typed in it sizes the plan's recipe, the ratio held."""

from collections.abc import Callable
from typing import Protocol

from halfclick.errors import CoreError
from halfclick.model.recipe import Recipe
from halfclick_desktop.widgets.field import NumberField


class Sized(Protocol):
    """What has a recipe that can be of another size."""

    def recipe(self) -> Recipe | None:
        """Return the recipe as it stands."""

    def resize_recipe(self, recipe: Recipe) -> None:
        """Take a recipe of another size."""

    def said_of(self, error: CoreError | ValueError) -> str:
        """Return what is wrong with what was typed, as a sentence."""


class Sizer:
    """Applies one size field to a page's recipe when its editing is finished."""

    def __init__(
        self, page: Sized, field: NumberField, sized: Callable[[Recipe, float], Recipe]
    ) -> None:
        self._page = page
        self._field = field
        self._sized = sized

    def apply(self) -> None:
        """Take the number typed, where it is another one."""
        recipe = self._page.recipe()
        if recipe is None or not self._field.line.isModified():
            return
        self._field.line.setModified(False)
        try:
            value = self._field.value()
            if value is not None:
                self._page.resize_recipe(self._sized(recipe, value))
        except (CoreError, ValueError) as error:
            self._field.show_error(self._page.said_of(error))
