"""A recipe's levers in words, as every page prints them."""

from halfclick.model.recipe import Lever, Recipe
from halfclick.wording import Wording, clock


def recipe_levers(recipe: Recipe) -> tuple[Lever, ...]:
    """Return the levers a recipe has a value for, in the order they are printed."""
    known = {Lever.GRIND: recipe.setting is not None, Lever.TEMPERATURE: bool(recipe.temperature_c)}
    return tuple(lever for lever in Lever if known.get(lever, True))


def lever_text(words: Wording, lever: Lever, recipe: Recipe) -> str:
    """Return what a recipe asks of one lever, e.g. "grind 16" or "1:16"."""
    match lever:
        case Lever.GRIND:
            text = recipe.setting.text if recipe.setting else words("recipe.no_setting")
            return words("recipe.grind", setting=text)
        case Lever.RATIO:
            return words("recipe.ratio", ratio=recipe.ratio, water_g=recipe.water_g)
        case Lever.TEMPERATURE:
            return words("recipe.temperature", water_c=recipe.temperature_c or 0.0)
        case Lever.POURS:
            return words("recipe.pours", count=max(len(recipe.pours) - 1, 0))
        case Lever.POUR_RATE:
            return words("recipe.pour_rate", rate_g_s=recipe.pours[-1].rate_g_s)
        case Lever.BLOOM:
            code = "recipe.bloom_stirred" if recipe.stir_bloom else "recipe.bloom"
            return words(code, bloom_g=recipe.bloom_g, bloom_s=recipe.bloom_s)


def schedule_text(words: Wording, recipe: Recipe) -> str:
    """Return the pours, a line each: when, to what weight, how fast."""
    lines = [
        words(
            "recipe.pour_line_stirred" if recipe.stir_bloom and number == 0 else "recipe.pour_line",
            at=clock(pour.start_s),
            until_g=pour.until_g,
            rate_g_s=pour.rate_g_s,
        )
        for number, pour in enumerate(recipe.pours)
    ]
    if recipe.steep_s is not None:
        lines.append(words("recipe.valve_line", at=clock(recipe.steep_s)))
    return "\n".join(lines)
