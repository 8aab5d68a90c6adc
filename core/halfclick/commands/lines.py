"""Records as plain lines, from the same catalogues as the window's."""

from halfclick.commands.typed import shortened
from halfclick.model.changes import told
from halfclick.model.recipe import Change, Recipe
from halfclick.service.cups import Cup
from halfclick.wording import Wording, clock


def recipe_lines(words: Wording, recipe: Recipe) -> list[str]:
    """Return a recipe: its levers on one line, then a line a pour."""
    setting = recipe.setting.text if recipe.setting else words("recipe.no_setting")
    levers = [
        words("sheet.dose", dose_g=recipe.dose_g),
        words("recipe.ratio", ratio=recipe.ratio, water_g=recipe.water_g),
        words("recipe.grind", setting=setting),
    ]
    if recipe.temperature_c is not None:
        levers.append(words("recipe.temperature", water_c=recipe.temperature_c))
    lines = [", ".join(levers)]
    for number, pour in enumerate(recipe.pours):
        stirred = recipe.stir_bloom and number == 0
        code = "recipe.pour_line_stirred" if stirred else "recipe.pour_line"
        values = {"until_g": pour.until_g, "rate_g_s": pour.rate_g_s}
        lines.append("  " + words(code, at=clock(pour.start_s), **values))
    if recipe.steep_s is not None:
        lines.append("  " + words("recipe.valve_line", at=clock(recipe.steep_s)))
    return lines


def changes_text(words: Wording, changes: tuple[Change, ...]) -> str:
    """Return changes as one text."""
    return ", ".join(words.sentence(told(change)) for change in changes)


def cup_line(words: Wording, cup: Cup) -> str:
    """Return a cup on one line: when, how it was ground, how it drained and how it was liked."""
    brew, tasting = cup.brew, cup.tasting
    parts = [words("sheet.cup", number=cup.number, date=brew.started_at.astimezone().date())]
    if brew.plan.setting is not None:
        parts.append(words("recipe.grind", setting=brew.plan.setting.text))
    if brew.poured.drained_s.value is not None:
        parts.append(words("sheet.drained", time=clock(brew.poured.drained_s.value)))
    if tasting is not None and tasting.liking is not None:
        parts.append(words("sheet.liking", liking=tasting.liking))
    if tasting is not None and tasting.verdict is not None:
        parts.append(words(f"verdict.{tasting.verdict.value}"))
    if brew.changes:
        parts.append(changes_text(words, brew.changes))
    if tasting is not None and tasting.words:
        parts.append(words("sheet.quoted", text=shortened(tasting.words)))
    return ", ".join(parts)
