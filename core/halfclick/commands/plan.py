"""`plan`: the next brew, with the reason for every number and what speaks against it."""

import argparse
from dataclasses import replace
from uuid import UUID

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import Facts, change_facts, coffee_facts, recipe_facts, sentences
from halfclick.commands.finding import coffee_meant, kit_there
from halfclick.commands.lines import changes_text, recipe_lines
from halfclick.commands.typed import number_of
from halfclick.errors import BadInput
from halfclick.model.grinder import read_setting
from halfclick.model.limits import DrainedBand
from halfclick.model.moves import with_setting
from halfclick.service.band import own_band
from halfclick.service.coffees import left_in
from halfclick.service.cold_beans import cold_beans
from halfclick.service.first_recipe import FirstRecipe, first_recipe
from halfclick.service.kettle_loss import wait_off_boil
from halfclick.service.kitchens import KitView
from halfclick.service.plan import (
    Planned,
    good_one,
    next_plan,
    planned_from,
    sized_for_cup,
    sized_for_dose,
    sized_for_water,
)
from halfclick.service.plan_check import check_plan
from halfclick.store.journal import Store
from halfclick.wording import Wording, clock

# A cup asked for, g; what the recipe makes of it is bounded by the recipe itself.
_LEAST_CUP_G, _MOST_CUP_G = 20.0, 10_000.0


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Return the next brew of a coffee, sized and ground as asked."""
    words = bench.words
    with bench.reading() as store:
        row = coffee_meant(store, options.coffee, bench.today())
        kit = kit_there(store)
        planned = plan_meant(bench, store, row.bag.id, options, kit)
        planned = _sized(planned, options)
        first = None
        if planned.parent_id is None:
            first = first_recipe(store, row.bag.id, today=bench.today())
        band = own_band(store, planned.recipe, kit)
        warnings = check_plan(planned.recipe, kit, left_in(store, row.bag.id))
        cold = cold_beans(store, row.bag.id)
        warnings = warnings if cold is None else (*warnings, cold)
        wait = wait_off_boil(store, kit, planned.recipe)
    facts: Facts = {
        "coffee": coffee_facts(row.coffee, row.lot, row.bag),
        "mode": planned.mode,
        "recipe": recipe_facts(planned.recipe),
        "changes": change_facts(words, planned.changes),
        "why": sentences(words, planned.why),
        "reasons": _reasons(words, first),
        "drained_band": _band(band),
        "wait_s": [wait.low_s, wait.high_s] if wait else None,
        "warnings": sentences(words, warnings),
    }
    lines = [row.coffee.name, *recipe_lines(words, planned.recipe)]
    lines += _told(words, planned, first, band)
    if wait is not None:
        lines.append(words.sentence(wait.message))
    return Answer(facts=facts, lines=(*lines, *sentences(words, warnings)))


def plan_meant(
    bench: Bench, store: Store, bag_id: UUID, options: argparse.Namespace, kit: KitView
) -> Planned:
    """Return the next plan of a bag, or its good one again, ground as asked.

    Raises:
        BadInput: there is no good one yet, or the dial has no such setting.
    """
    planned = next_plan(store, bag_id, today=bench.today())
    if options.good_one:
        good = good_one(store, bag_id)
        if good is None:
            raise BadInput("commands.no_good_one")
        planned = good
    if options.setting is None:
        return planned
    setting = read_setting(kit.grinder, kit.zero, options.setting)
    why = getattr(options, "why", None) or ""
    return planned_from(store, planned, with_setting(planned.recipe, setting), why)


def _sized(planned: Planned, options: argparse.Namespace) -> Planned:
    recipe = planned.recipe
    dose_g = number_of("--dose-g", options.dose_g)
    water_g = number_of("--water-g", options.water_g)
    cup_g = number_of("--cup-g", options.cup_g)
    if dose_g is not None:
        recipe = sized_for_dose(recipe, dose_g)
    elif water_g is not None:
        recipe = sized_for_water(recipe, water_g)
    elif cup_g is not None:
        if not _LEAST_CUP_G <= cup_g <= _MOST_CUP_G:
            raise BadInput("commands.bad_cup", given_g=cup_g)
        recipe = sized_for_cup(recipe, cup_g)
    return replace(planned, recipe=recipe)


def _told(
    words: Wording, planned: Planned, first: FirstRecipe | None, band: DrainedBand | None
) -> list[str]:
    lines: list[str] = []
    if planned.changes:
        lines.append(words("commands.changed", changes=changes_text(words, planned.changes)))
    elif first is None:
        lines.append(words(f"mode.{planned.mode.value}"))
    lines += sentences(words, planned.why)
    for one in first.reasons if first else ():
        sentence = words.sentence(one.message)
        evidence = words(f"evidence.{one.evidence.value}")
        part = words(f"reason_list.{one.part}")
        lines.append(words("commands.reason", part=part, sentence=sentence, evidence=evidence))
    if band is not None:
        values = {"low": clock(band.low_s), "high": clock(band.high_s), "count": band.brews}
        lines.append(words("commands.band", **values))
    return lines


def _reasons(words: Wording, first: FirstRecipe | None) -> list[Facts]:
    return [
        {
            "part": one.part,
            "sentence": words.sentence(one.message),
            "evidence": one.evidence,
            "low": one.low,
            "high": one.high,
        }
        for one in (first.reasons if first else ())
    ]


def _band(band: DrainedBand | None) -> Facts | None:
    if band is None:
        return None
    return {"low_s": band.low_s, "high_s": band.high_s, "brews": band.brews}
