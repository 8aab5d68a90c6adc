"""`record`: keep a brew that was made by the plan; only departures from it are typed."""

import argparse

from halfclick.brewing.logged import LOGGED, logged_slip
from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import Facts, coffee_facts, cup_facts
from halfclick.commands.finding import coffee_meant, cup_meant, kit_there
from halfclick.commands.lines import cup_line
from halfclick.commands.plan import plan_meant
from halfclick.commands.typed import number_of, seconds_of, shortened
from halfclick.errors import BadInput
from halfclick.model.brew import Slip, SlipKind
from halfclick.service.record import BrewEntry, record_brew


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Keep a brew, and return it as it stands in the journal."""
    numbers = {
        name: number_of(f"--{name.replace('_', '-')}", getattr(options, name))
        for name in ("dose_g", "water_g", "temperature_c", "beverage_g", "bypass_g")
    }
    drained_s = seconds_of("--drained-s", options.drained_s)
    with bench.writing() as store:
        row = coffee_meant(store, options.coffee, bench.today())
        kit = kit_there(store)
        planned = plan_meant(bench, store, row.bag.id, options, kit)
        entry = BrewEntry(
            planned=planned,
            drained_s=drained_s,
            slips=slips_said(options.slip),
            note=options.note or "",
            **numbers,
        )
        record_brew(store, entry, kit, clock=bench.clock)
        cup = cup_meant(store, row, None)
    facts: Facts = {
        "coffee": coffee_facts(row.coffee, row.lot, row.bag),
        "cup": cup_facts(bench.words, cup),
    }
    lines = (bench.words("commands.recorded", name=row.coffee.name), cup_line(bench.words, cup))
    return Answer(facts=facts, lines=lines)


def slips_said(texts: list[str]) -> tuple[Slip, ...]:
    """Return slips as they were typed, each KIND or KIND=SIZE.

    Raises:
        BadInput: there is no such slip, or it is said twice.
    """
    slips: dict[SlipKind, Slip] = {}
    for text in texts:
        name, _, size = text.partition("=")
        kind = next((one for one in LOGGED if one.value == name), None)
        if kind is None:
            names = ", ".join(one.value for one in LOGGED)
            raise BadInput("commands.no_such_slip", text=shortened(name), names=names)
        if kind in slips:
            raise BadInput("commands.slip_twice", text=name)
        slips[kind] = logged_slip(kind, number_of("--slip", size) if size else None)
    return tuple(slips.values())
