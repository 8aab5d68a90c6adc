"""`zero`: a new zero of the grinder in use, from which settings count afresh."""

import argparse

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.finding import kit_there
from halfclick.model.grinder import ZeroFound, ZeroReason
from halfclick.model.numbering import print_reading
from halfclick.service.grinders import take_zero


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Keep a new zero, and return it as the dial writes it."""
    with bench.writing() as store:
        grinder = kit_there(store).grinder
        zero = take_zero(
            store,
            grinder.id,
            reading_text=options.reading or "",
            found=ZeroFound(options.found),
            reason=ZeroReason(options.reason),
            note=options.note or "",
            clock=bench.clock,
        ).value
    reading = print_reading(grinder.numbering, zero.reading)
    facts: dict[str, object] = {
        "grinder": grinder.name,
        "reading": reading,
        "found": zero.found,
        "reason": zero.reason,
        "found_on": zero.found_on.isoformat(),
    }
    line = bench.words("commands.zeroed", grinder=grinder.name, reading=reading)
    return Answer(facts=facts, lines=(line,))
