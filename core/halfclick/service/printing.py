"""A recipe and a history as they go on paper: what a person at the kettle must know, once."""

from dataclasses import dataclass
from datetime import date

from halfclick.errors import BadInput
from halfclick.model.coffee import Bag, Coffee, Lot, age_days
from halfclick.model.grinder import Setting, setting_at
from halfclick.model.limits import DrainedBand
from halfclick.model.recipe import Recipe
from halfclick.service.band import own_band
from halfclick.service.kitchens import KitView, boils_at_c, kit_in_use
from halfclick.service.plan import Planned
from halfclick.store.journal import Store
from halfclick.wording import Message

# Above this a kettle is at the boil for anyone who pours (our own default).
NEAR_BOILING_C = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PouredLine:
    """One line of the schedule; weights are what the scale reads, from the beginning."""

    at_s: float
    add_g: float
    until_g: float
    rate_g_s: float
    is_bloom: bool
    stirred: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RecipeSheet:
    """A recipe with the kit it belongs to."""

    coffee: Coffee
    age_days: int | None
    recipe: Recipe
    kit: KitView
    lines: tuple[PouredLine, ...]
    band: DrainedBand | None
    corrections: tuple[Message, ...]
    cautions: tuple[Message, ...]


def recipe_sheet(store: Store, planned: Planned, *, today: date) -> RecipeSheet:
    """Return what is printed of a plan.

    Raises:
        BadInput: there is no kit yet.
        NotFound: the journal has no such bag.
    """
    kit = kit_in_use(store)
    if kit is None:
        raise BadInput("print.needs_kit")
    with store.reading() as r:
        bag = r.get(Bag, planned.bag_id)
        lot = r.get(Lot, bag.lot_id)
        coffee = r.get(Coffee, lot.coffee_id)
    return RecipeSheet(
        coffee=coffee,
        age_days=age_days(lot, bag, today),
        recipe=planned.recipe,
        kit=kit,
        lines=schedule(planned.recipe),
        band=own_band(store, planned.recipe, kit),
        corrections=first_corrections(kit, planned.recipe.setting),
        cautions=cautions(kit, planned.recipe),
    )


def schedule(recipe: Recipe) -> tuple[PouredLine, ...]:
    """Return the pours with clock times and cumulative weights."""
    lines: list[PouredLine] = []
    for number, pour in enumerate(recipe.pours):
        before_g = lines[-1].until_g if lines else 0.0
        bloom = number == 0 and len(recipe.pours) > 1
        lines.append(
            PouredLine(
                at_s=pour.start_s,
                add_g=pour.until_g - before_g,
                until_g=pour.until_g,
                rate_g_s=pour.rate_g_s,
                is_bloom=bloom,
                stirred=bloom and recipe.stir_bloom,
            )
        )
    return tuple(lines)


def first_corrections(kit: KitView, setting: Setting | None) -> tuple[Message, ...]:
    """Return what to change first where the cup is off: one search step of the grinder.

    Where taste and clock agree it is the grind (consensus, contested by the lab); strength alone
    is a matter of water.
    """
    strength = Message("print.correct_strength")
    if setting is None:
        return (strength,)
    told: list[Message] = []
    for code, steps in (
        ("finer", -kit.grinder.search_steps),
        ("coarser", kit.grinder.search_steps),
    ):
        try:
            there = setting_at(kit.grinder, kit.zero, setting.steps + steps)
        except BadInput:
            continue  # the dial does not reach it
        told.append(Message(f"print.correct_{code}", {"setting": there.text}))
    return (*told, strength)


def cautions(kit: KitView, recipe: Recipe) -> tuple[Message, ...]:
    """Return what may hurt, once.

    Very hot drinks, above 65 °C, are probably carcinogenic: IARC Monographs, volume 116 (2018).
    """
    told = [Message("print.caution_scald")]
    top_c = boils_at_c(kit.kitchen)
    if recipe.temperature_c is None or recipe.temperature_c > top_c - NEAR_BOILING_C:
        told.append(Message("print.caution_glass"))
    return (*told, Message("print.caution_drink"))
