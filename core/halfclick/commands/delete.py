"""`delete`: a cup taken away with its tastes and photos; `undelete` brings it back."""

import argparse

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import Facts, coffee_facts
from halfclick.commands.finding import coffee_meant, cup_meant
from halfclick.commands.lines import cup_line
from halfclick.service.corrections import delete_cup


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Take a cup away, and say how it is brought back."""
    words = bench.words
    with bench.writing() as store:
        row = coffee_meant(store, options.coffee, bench.today())
        cup = cup_meant(store, row, options.cup)
        done = delete_cup(store, cup.brew.id, clock=bench.clock).value
    facts: Facts = {
        "coffee": coffee_facts(row.coffee, row.lot, row.bag),
        "cup_number": cup.number,
        "brew_id": str(done.brew_id),
        "records": len(done.taken),
    }
    lines = (
        words("commands.deleted", name=row.coffee.name),
        cup_line(words, cup),
        words("commands.deleted_back", id=str(done.brew_id)),
    )
    return Answer(facts=facts, lines=lines)
