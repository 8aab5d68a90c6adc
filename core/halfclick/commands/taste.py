"""`taste`: keep what a cup tasted like; a cup tasted before gets a correction."""

import argparse

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import Facts, coffee_facts, cup_facts
from halfclick.commands.finding import coffee_meant, cup_meant
from halfclick.commands.lines import cup_line
from halfclick.commands.parser_cups import MARKS
from halfclick.commands.typed import number_of
from halfclick.errors import BadInput
from halfclick.model.tasting import Bed, Complaint, Marks, StrengthFelt, Verdict
from halfclick.service.record import TastingEntry, correct_tasting, record_tasting


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Keep a tasting, and return the cup with it."""
    entry = _entry(options)
    if entry == TastingEntry():
        raise BadInput("commands.nothing_tasted")
    with bench.writing() as store:
        row = coffee_meant(store, options.coffee, bench.today())
        cup = cup_meant(store, row, options.cup)
        if cup.tasting is None:
            record_tasting(store, cup.brew.id, entry, clock=bench.clock)
        else:
            correct_tasting(store, cup.tasting.id, entry, clock=bench.clock)
        tasted = cup_meant(store, row, str(cup.number))
    words = bench.words
    facts: Facts = {
        "coffee": coffee_facts(row.coffee, row.lot, row.bag),
        "cup": cup_facts(words, tasted),
        "corrected": cup.tasting is not None,
    }
    said = words("commands.tasted" if cup.tasting is None else "commands.tasted_again")
    return Answer(facts=facts, lines=(said, cup_line(words, tasted)))


def _entry(options: argparse.Namespace) -> TastingEntry:
    percent = number_of("--strength-percent", options.strength_percent)
    return TastingEntry(
        marks=Marks(**{mark: number_of(f"--{mark}", getattr(options, mark)) for mark in MARKS}),
        strength_felt=StrengthFelt(options.felt) if options.felt else None,
        liking=number_of("--liking", options.liking),
        words=options.words or "",
        verdict=Verdict(options.verdict) if options.verdict else None,
        beverage_g=number_of("--beverage-g", options.beverage_g),
        strength=None if percent is None else percent / 100,
        bed=Bed(options.bed) if options.bed else None,
        complaints=tuple(Complaint(one) for one in options.complaint),
    )
