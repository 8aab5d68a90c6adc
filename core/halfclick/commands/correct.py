"""`correct`: what truly happened in a brew, as a new version of it; the earlier one is kept."""

import argparse
from dataclasses import replace

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import Facts, coffee_facts, cup_facts
from halfclick.commands.finding import coffee_meant, cup_meant
from halfclick.commands.lines import cup_line
from halfclick.commands.record import slips_said
from halfclick.commands.typed import number_of, seconds_of
from halfclick.errors import BadInput
from halfclick.service.corrections import CupCorrection, correct_cup, correction_of

_WEIGHTS = ("dose_g", "water_g", "temperature_c", "beverage_g")
NOT_KNOWN = "unknown"  # as planned, or not measured where the plan says nothing


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Keep a correction, and return the cup as it stands now."""
    given = _given(options)
    if not given:
        raise BadInput("commands.nothing_to_correct")
    with bench.writing() as store:
        row = coffee_meant(store, options.coffee, bench.today())
        cup = cup_meant(store, row, options.cup)
        said: CupCorrection = replace(correction_of(cup.brew), **given)  # type: ignore[arg-type]
        done = correct_cup(store, cup.brew.id, said, clock=bench.clock)
        changed = done.value.id != cup.brew.id
        mended = cup_meant(store, row, str(cup.number))
    facts: Facts = {
        "coffee": coffee_facts(row.coffee, row.lot, row.bag),
        "cup": cup_facts(bench.words, mended),
        "changed": changed,
        "corrects_brew_id": str(cup.brew.id) if changed else None,
    }
    told = bench.words("commands.corrected" if changed else "commands.corrected_nothing")
    return Answer(facts=facts, lines=(told, cup_line(bench.words, mended)))


def _given(options: argparse.Namespace) -> dict[str, object]:
    given: dict[str, object] = {}
    for name in (*_WEIGHTS, "drained_s"):
        text = getattr(options, name)
        if text is None:
            continue
        option = f"--{name.replace('_', '-')}"
        reads = seconds_of if name == "drained_s" else number_of
        given[name] = None if text.strip() == NOT_KNOWN else reads(option, text)
    if options.slip and options.no_slip:
        raise BadInput("commands.slip_and_none")
    if options.slip or options.no_slip:
        given["slips"] = slips_said(options.slip)
    if options.note is not None:
        given["note"] = options.note
    return given
