"""`undelete`: a deleted cup brought back whole, the one deleted last where none is named."""

import argparse
from uuid import UUID

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import Facts, coffee_facts, cup_facts
from halfclick.commands.finding import cup_of_brew
from halfclick.commands.lines import cup_line
from halfclick.commands.typed import shortened
from halfclick.errors import BadInput
from halfclick.service.corrections import bring_back_cup, deleted_cup


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Bring a cup back, and return it as it stands among the others again."""
    brew_id = _id(options.brew_id)
    with bench.writing() as store:
        deleted = deleted_cup(store, brew_id)
        bring_back_cup(store, deleted, clock=bench.clock)
        row, cup = cup_of_brew(store, {one for _, one in deleted.taken}, bench.today())
    facts: Facts = {
        "coffee": coffee_facts(row.coffee, row.lot, row.bag),
        "cup": cup_facts(bench.words, cup),
        "records": len(deleted.taken),
    }
    told = bench.words("commands.undeleted", name=row.coffee.name)
    return Answer(facts=facts, lines=(told, cup_line(bench.words, cup)))


def _id(text: str | None) -> UUID | None:
    if text is None:
        return None
    try:
        return UUID(text.strip())
    except ValueError:
        raise BadInput("commands.not_an_id", text=shortened(text)) from None
