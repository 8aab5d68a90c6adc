"""`backup`: a checked copy of the journal in `backups` beside it."""

import argparse

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.service.copies import copy_now


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Copy the journal as it is now, also while another program holds it."""
    del options
    with bench.reading() as store:
        copy = copy_now(store, clock=bench.clock)
    facts: dict[str, object] = {"journal": str(bench.path), "copy": str(copy)}
    return Answer(facts=facts, lines=(bench.words("settings.copied", path=str(copy)),))
