"""Records as a script reads them: plain values, a unit in every name, percent for shares."""

from collections.abc import Iterable

from halfclick.commands.typed import day_of
from halfclick.model.changes import told
from halfclick.model.coffee import Bag, Coffee, Lot
from halfclick.model.recipe import Change, Recipe
from halfclick.model.tasting import Mark, Tasting
from halfclick.service.cups import Cup
from halfclick.wording import Message, Wording

Facts = dict[str, object]


def coffee_facts(coffee: Coffee, lot: Lot, bag: Bag) -> Facts:
    """Return which coffee is meant, and the bag in hand."""
    return {
        "id": str(coffee.id),
        "name": coffee.name,
        "roaster": coffee.roaster,
        "origin": coffee.origin,
        "process": coffee.process,
        "roast": coffee.roast,
        "decaf": coffee.decaf,
        "roasted_on": day_of(lot.roasted_on),
        "bag_id": str(bag.id),
        "frozen_on": day_of(bag.frozen_on),
        "thawed_on": day_of(bag.thawed_on),
    }


def recipe_facts(recipe: Recipe) -> Facts:
    """Return a recipe."""
    setting = recipe.setting
    return {
        "dose_g": recipe.dose_g,
        "water_g": recipe.water_g,
        "ratio_g_per_g": round(recipe.ratio, 3),
        "temperature_c": recipe.temperature_c,
        "setting": setting.text if setting else None,
        "setting_steps_from_zero": setting.steps if setting else None,
        "pours": [
            {"start_s": pour.start_s, "until_g": pour.until_g, "rate_g_s": pour.rate_g_s}
            for pour in recipe.pours
        ],
        "stir_bloom": recipe.stir_bloom,
        "steep_s": recipe.steep_s,
    }


def change_facts(words: Wording, changes: Iterable[Change]) -> list[Facts]:
    """Return changes, each with its lever, its amount in the lever's unit, and in words."""
    return [
        {
            "lever": change.lever,
            "amount": change.amount,
            "sentence": words.sentence(told(change)),
        }
        for change in changes
    ]


def sentences(words: Wording, messages: Iterable[Message]) -> list[str]:
    """Return messages in words."""
    return [words.sentence(message) for message in messages]


def cup_facts(words: Wording, cup: Cup) -> Facts:
    """Return a cup: what was planned, what was poured, and what it tasted like."""
    brew, poured = cup.brew, cup.brew.poured
    setting = brew.plan.setting
    return {
        "number": cup.number,
        "brew_id": str(brew.id),
        "brewed_at": brew.started_at.isoformat(),
        "mode": brew.mode,
        "setting": setting.text if setting else None,
        "setting_steps_from_zero": setting.steps if setting else None,
        "dose_g": poured.dose_g.value,
        "water_g": poured.water_g.value,
        "temperature_c": poured.temperature_c.value,
        "beverage_g": poured.beverage_g.value,
        "drained_s": poured.drained_s.value,
        "drained_is": poured.drained_s.how,
        "drained_rule": brew.drained_rule,
        "slips": [
            {"kind": slip.kind, "at_s": slip.at_s, "amount": slip.amount} for slip in brew.slips
        ],
        "counts_for": brew.weight,
        "changes": change_facts(words, brew.changes),
        "why": sentences(words, brew.why),
        "note": brew.note,
        "plan": recipe_facts(brew.plan),
        "tasting": tasting_facts(cup.tasting) if cup.tasting else None,
    }


def tasting_facts(tasting: Tasting) -> Facts:
    """Return what a cup tasted like; marks are 0 none to 10 overwhelming."""
    percent = None if tasting.strength is None else round(tasting.strength * 100, 4)
    return {
        "tasted_at": tasting.tasted_at.isoformat(),
        **{f"{mark.value}_0_to_10": tasting.marks.of(mark) for mark in Mark},
        "strength_felt": tasting.strength_felt,
        "liking_1_to_9": tasting.liking,
        "verdict": tasting.verdict,
        "words": tasting.words,
        "bed": tasting.bed,
        "complaints": list(tasting.complaints),
        "beverage_g": tasting.beverage_g,
        "strength_percent": percent,
    }
