"""A cup and its bag as a sheet tells them in words."""

from halfclick.model.recipe import Lever
from halfclick.model.tasting import Mark, Tasting
from halfclick.service.cups import Cup
from halfclick.service.sheet import CoffeeSheet
from halfclick.wording import Wording
from halfclick_desktop.text import minutes
from halfclick_desktop.widgets.recipe_words import lever_text, recipe_levers


def facts_text(words: Wording, sheet: CoffeeSheet) -> str:
    """Return what a sheet says of the bag beside its name."""
    facts = []
    if sheet.coffee.process is not None:
        facts.append(words(f"process.{sheet.coffee.process.value}"))
    if sheet.coffee.roast is not None:
        facts.append(words(f"roast.{sheet.coffee.roast.value}"))
    if sheet.bag.is_frozen:
        facts.append(words("bag.frozen"))
    if sheet.age_days is not None:
        facts.append(words("coffees_page.age", count=sheet.age_days))
    if sheet.brews_left is not None:
        facts.append(words("sheet.brews_left", count=sheet.brews_left))
    return "   ".join(facts)


def cup_text(words: Wording, cup: Cup) -> str:
    """Return a cup as it is told: what was brewed, how it drained, how it tasted."""
    plan = cup.brew.plan
    lines = [words("sheet.cup", number=cup.number, date=cup.brew.started_at.date())]
    lines.append(
        "   ".join(
            lever_text(words, lever, plan)
            for lever in (Lever.GRIND, Lever.RATIO, Lever.TEMPERATURE)
            if lever in recipe_levers(plan)
        )
    )
    drained_s = cup.brew.poured.drained_s.value
    if drained_s is not None:
        lines.append(words("sheet.drained", time=minutes(drained_s)))
    if cup.tasting is None:
        lines.append(words("sheet.untasted"))
        return "\n\n".join(lines)
    return "\n\n".join(line for line in [*lines, *taste_text(words, cup.tasting)] if line)


def taste_text(words: Wording, tasting: Tasting) -> list[str]:
    """Return a taste as it is told: the marks, then the person's words; empty where none is."""
    marks = [
        f"{words(f'mark.{mark.value}')} {value:g}"
        for mark in Mark
        if (value := tasting.marks.of(mark)) is not None and value > 0
    ]
    if tasting.strength_felt is not None:
        marks.append(words(f"strength.{tasting.strength_felt.value}"))
    if tasting.liking is not None:
        marks.append(words("sheet.liking", liking=tasting.liking))
    if tasting.verdict is not None:
        marks.append(words(f"verdict.{tasting.verdict.value}"))
    quoted = words("sheet.quoted", text=tasting.words) if tasting.words else ""
    return [line for line in ("   ".join(marks), quoted) if line]
