"""`add`: a coffee with its first bag, or a new bag of one that is known."""

import argparse

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import coffee_facts
from halfclick.commands.finding import coffee_meant
from halfclick.commands.typed import date_of, number_of
from halfclick.errors import BadInput
from halfclick.model.coffee import Process, Roast
from halfclick.service.coffees import CoffeeEntry, add_coffee, buy_again, shelf

# What belongs to the coffee itself: a new bag cannot change it.
_OF_COFFEE = ("roaster", "origin", "process", "roast", "altitude_m", "decaf", "note")


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Add what a label says, and return it as it stands on the shelf."""
    entry = _entry(options)
    with bench.writing() as store:
        today = bench.today()
        if options.again:
            row = coffee_meant(store, options.name, today)
            done = buy_again(store, row.coffee.id, entry, clock=bench.clock)
        else:
            _require_new(entry.name, [row.coffee.name for row in shelf(store, today)])
            done = add_coffee(store, entry, clock=bench.clock)
        row = next(one for one in shelf(store, today) if one.bag.id == done.value.id)
    code = "commands.added_again" if options.again else "commands.added"
    return Answer(
        facts={"coffee": coffee_facts(row.coffee, row.lot, row.bag), "again": options.again},
        lines=(bench.words(code, name=row.coffee.name),),
    )


def _entry(options: argparse.Namespace) -> CoffeeEntry:
    if options.again:
        said = [name for name in _OF_COFFEE if getattr(options, name) not in (None, False)]
        if said:
            option = f"--{said[0].replace('_', '-')}"
            raise BadInput("commands.of_the_coffee", option=option)
    return CoffeeEntry(
        name=options.name,
        roaster=options.roaster or "",
        origin=options.origin or "",
        process=Process(options.process) if options.process else None,
        roast=Roast(options.roast) if options.roast else None,
        altitude_m=number_of("--altitude-m", options.altitude_m),
        decaf=options.decaf,
        note=options.note or "",
        lot_code=options.lot_code or "",
        batch_code=options.batch_code or "",
        weight_g=number_of("--weight-g", options.weight_g),
        roasted_on=date_of("--roasted-on", options.roasted_on),
        opened_on=date_of("--opened-on", options.opened_on),
        frozen_on=date_of("--frozen-on", options.frozen_on),
        thawed_on=date_of("--thawed-on", options.thawed_on),
    )


def _require_new(name: str, there: list[str]) -> None:
    """Refuse a name that is on the shelf: a script run twice makes no second coffee."""
    wanted = " ".join(name.casefold().split())
    if any(" ".join(one.casefold().split()) == wanted for one in there):
        raise BadInput("commands.added_already", name=name.strip())
