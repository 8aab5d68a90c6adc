"""`record`: keep a brew that was made by the plan; only departures from it are typed."""

import argparse

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
        for name in ("dose_g", "water_g", "temperature_c", "beverage_g")
    }
    drained_s = seconds_of("--drained-s", options.drained_s)
    slips = tuple(_slip(text) for text in options.slip)
    with bench.writing() as store:
        row = coffee_meant(store, options.coffee, bench.today())
        kit = kit_there(store)
        planned = plan_meant(bench, store, row.bag.id, options, kit)
        entry = BrewEntry(
            planned=planned,
            drained_s=drained_s,
            slips=slips,
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


def _slip(text: str) -> Slip:
    kind, _, size = text.partition("=")
    if kind not in set(SlipKind):
        names = ", ".join(one.value for one in SlipKind)
        raise BadInput("commands.no_such_slip", text=shortened(kind), names=names)
    amount = number_of("--slip", size) if size else None
    if amount is not None and not 0 <= amount <= 20_000:
        raise BadInput("commands.bad_slip", given=amount)
    return Slip(kind=SlipKind(kind), amount=amount)
